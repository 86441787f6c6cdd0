"""The state of a search, and the baskets tried one after another from the lower bound upwards."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from trimwright.stock.baskets import baskets_between
from trimwright.stock.bound import Cut, cost_bound, next_attainable
from trimwright.stock.completion import Packing
from trimwright.stock.greedy import best, rank
from trimwright.stock.task import Basket, Packed, Task, cost_of, size_of

__all__ = ["Judge", "Progress", "try_in_order"]


@dataclass(slots=True)
class Progress:
    """The state of a search: the best plan, the cuts known, and the least cost that is not ruled out.

    `crowded`: there were more baskets at that cost than could be listed. With a `limit` only plans of less count.
    """

    task: Task
    bars: list[Packed] | None
    cuts: list[Cut]
    bound: int
    crowded: bool = False
    limit: int | None = None

    @property
    def top(self) -> tuple[int, int]:
        """Cost and size that a better plan must stay under: that of the best, the limit, or all bars there are."""
        if self.bars is not None:
            return rank(self.task, self.bars)
        if self.limit is not None:
            return (self.limit, 0)
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
