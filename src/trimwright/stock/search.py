"""The search for the cheapest basket that holds all pieces, and the proof that no cheaper one does.

Cost and waste depend on the basket alone, so baskets are tried in order of cost, then of size; the first that
holds the pieces is the best there is. Small tasks are settled by arithmetic alone (`_settle_small`); others call
`linear`, which brings in the solver.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

from trimwright.stock.bound import cheap_cuts
from trimwright.stock.completion import Packing, pack_into
from trimwright.stock.greedy import greedy_plan
from trimwright.stock.progress import Progress, try_in_order
from trimwright.stock.task import Basket, Packed, Task

__all__ = ["Answer", "cheaper", "solve"]

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


def solve(task: Task, seconds: float | None) -> Answer:
    """The cheapest plan, then the least waste, within a time; proven where the bound equals its cost.

    With no time at all it is what can be had without the solver; with None, by so much work and not by the clock.
    """
    small = task.pieces <= SMALL_PIECES
    progress = Progress(task, greedy_plan(task) if small or seconds is not None else None, cheap_cuts(task), 0)
    progress.raise_bound()
    if _settle_small(progress) or seconds == 0:
        return Answer(progress.bars, progress.bound)
    if seconds is None:
        from trimwright.stock.steady import steady

        bars, cuts = steady(task)
        progress.offer(bars)
        progress.cuts += cuts
        progress.raise_bound()
    else:
        from trimwright.stock.linear import improve

        improve(progress, time.monotonic() + seconds)
    return Answer(progress.bars, progress.bound)


def cheaper(task: Task, limit: int) -> list[Packed] | None:
    """A plan that costs less than a limit, as `solve` finds it with no time at all; None if it finds none.

    Most tasks are settled by the few baskets that cost less, without a quick plan to begin with.
    """
    progress = Progress(task, None, cheap_cuts(task), 0, limit=limit)
    progress.raise_bound()
    if progress.bound < limit and not _settle_small(progress):
        progress.offer(greedy_plan(task))
    return progress.bars if progress.top[0] < limit else None


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
