"""The search for the cheapest basket that holds all pieces, and the proof that no cheaper one does.

Cost and waste depend on the basket alone, so baskets are tried in order of cost, then of size; the first that
holds the pieces is the best there is. Small tasks are settled by arithmetic alone (`settle_small`); others call
`linear`, which brings in the solver.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from trimwright.stock.baskets import baskets_between
from trimwright.stock.bound import Cut, cheap_cuts, cost_bound, next_attainable
from trimwright.stock.completion import Packing, pack_into
from trimwright.stock.greedy import best, greedy_plan, rank
from trimwright.stock.task import Basket, Packed, Task, cost_of, size_of

__all__ = ["Answer", "Judge", "Progress", "solve", "try_in_order"]

SMALL_PIECES = 40
"""Tasks up to this size are tried without the solver first."""
SMALL_EFFORT = 2000
"""Bars tried for one basket before the solver is called."""
SMALL_TRIES = 12
"""Baskets tried before the solver is called."""
SMALL_BASKETS = 100
"""Most baskets listed in one range of cost meanwhile."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The best plan found (None: no way was found), and the cost below which there is proven to be none."""

    bars: list[Packed] | None
    bound: int


@dataclass(slots=True)
class Progress:
    """The state of a search: the best plan, the cuts known, and the least cost that is not ruled out.

    `crowded`: there were more baskets at that cost than could be listed.
    """

    task: Task
    bars: list[Packed] | None
    cuts: list[Cut]
    bound: int
    crowded: bool = False

    @property
    def top(self) -> tuple[int, int]:
        """Cost and size that a plan must stay under to be better; without a plan, those of all bars there are."""
        if self.bars is not None:
            return rank(self.task, self.bars)
        everything = tuple(kind.limit for kind in self.task.kinds)
        return (cost_of(self.task, everything), size_of(self.task, everything) + 1)

    @property
    def proven(self) -> bool:
        """No plan can cost less."""
        return self.bars is not None and self.bound >= self.top[0]

    def offer(self, bars: list[Packed] | None) -> None:
        """Keep a plan if it is the best so far."""
        self.bars = best(self.task, [self.bars, bars])

    def raise_bound(self) -> None:
        """What the cuts prove, rounded up to a cost that bars can add up to."""
        bound = cost_bound(self.cuts, self.task.kinds)
        self.bound = max(self.bound, next_attainable(bound, self.task.kinds, self.top[0]))


Judge = Callable[[Basket], Packing]
"""Tries to cut the pieces from a basket."""


def solve(task: Task, seconds: float) -> Answer:
    """The cheapest plan, then the least waste, within a time; proven where the bound equals its cost."""
    progress = Progress(task, greedy_plan(task), cheap_cuts(task), 0)
    progress.raise_bound()
    if not _settle_small(progress):
        from trimwright.stock.linear import improve

        improve(progress, time.monotonic() + seconds)
    return Answer(progress.bars, progress.bound)


def _settle_small(progress: Progress) -> bool:
    """Try to settle the task without a solver: few baskets, each decided quickly. True if it is settled."""
    if progress.task.pieces > SMALL_PIECES:
        return progress.proven and len(progress.task.kinds) == 1
    tries = failures = 0

    def judge(basket: Basket) -> Packing:
        nonlocal tries, failures
        packing = pack_into(progress.task, basket, SMALL_EFFORT)
        tries += 1
        failures += not packing.bars and not packing.impossible
        return packing

    return try_in_order(progress, judge, SMALL_BASKETS, lambda: failures > 1 or tries > SMALL_TRIES)


def try_in_order(progress: Progress, judge: Judge, most: int, tired: Callable[[], bool]) -> bool:
    """Judge baskets from the bound upwards until one holds the pieces. True if all before it were ruled out."""
    undecided = False
    for basket in _in_order(progress, most):
        progress.crowded = basket is None
        if basket is None or tired():
            return False
        if any(cut.slack(basket) < 0 for cut in progress.cuts):
            continue
        if not undecided:
            progress.bound = max(progress.bound, cost_of(progress.task, basket))
        packing = judge(basket)
        if packing.bars is not None:
            progress.offer(packing.bars)
            break
        undecided = undecided or not packing.impossible
    if not undecided:
        progress.bound = progress.top[0]
    return not undecided


def _in_order(progress: Progress, most: int) -> Iterator[Basket | None]:
    """Baskets better than the best plan, cheapest first, in ever wider ranges of cost; None if there are too many."""
    low = progress.bound
    step = max(1, min((k.cost for k in progress.task.kinds if k.cost), default=1) // 4)
    while low <= progress.top[0]:
        high = min(low + step - 1, progress.top[0])
        group = baskets_between(progress.task, progress.cuts, low, high, most)
        if group is None and step == 1:
            yield None
            return
        if group is None:
            step = max(1, step // 4)
            continue
        for basket in group:
            if (cost_of(progress.task, basket), size_of(progress.task, basket)) < progress.top:
                yield basket
        low, step = high + 1, step * 2
