"""A plan from the relaxed problem: take its whole bars, solve again for what is left, until nothing is left."""

from __future__ import annotations

import time
from math import floor

from trimwright.stock.master import ZERO, Columns, Master, Relaxed
from trimwright.stock.task import Basket, Packed, Task, basket_of

__all__ = ["dive"]

ROUNDS = 4
"""Rounds of pattern finding after each bar taken; the first relaxed answer is already complete."""


def dive(task: Task, columns: Columns, basket: Basket | None, deadline: float) -> list[Packed] | None:
    """Whole bars for every piece: cheap ones, or those of a basket. None if it ends in a dead end."""
    costs = [float(kind.cost) if basket is None else 0.0 for kind in task.kinds]
    dearest = max([*costs, 1.0])
    longest = max(kind.capacity for kind in task.kinds)
    penalty = [20 * dearest if basket is None else w / longest for w in task.widths]
    master = Master(task, columns, costs, penalty)
    limits = basket or tuple(kind.limit for kind in task.kinds)
    demand, taken = list(task.demand), list[Packed]()
    while any(demand):
        used = basket_of(task, taken)
        master.set_limits(tuple(n - u for n, u in zip(limits, used, strict=True)))
        master.set_demand(demand)
        relaxed = master.relax(deadline, ROUNDS)
        fixed = _whole_bars(columns, relaxed, demand)
        if not fixed or time.monotonic() > deadline or (basket is not None and relaxed.uncut > ZERO):
            return None
        for bar in fixed:
            demand = [d - n for d, n in zip(demand, bar.pattern, strict=True)]
        taken += fixed
    return taken


def _whole_bars(columns: Columns, relaxed: Relaxed, demand: list[int]) -> list[Packed]:
    """The whole part of the answer; if it has none, the bar of the greatest part, cut down to the demand."""
    left = list(demand)
    fixed: list[Packed] = []
    for bar, number in zip(columns.bars, relaxed.taken, strict=False):
        for _ in range(floor(number + ZERO)):
            _take(bar, left, fixed)
    if fixed or not relaxed.taken:
        return fixed
    first = max(range(len(relaxed.taken)), key=lambda c: relaxed.taken[c])
    if relaxed.taken[first] > ZERO:
        _take(columns.bars[first], left, fixed)
    return fixed


def _take(bar: Packed, left: list[int], fixed: list[Packed]) -> None:
    pattern = tuple(min(n, d) for n, d in zip(bar.pattern, left, strict=True))
    if any(pattern):
        fixed.append(Packed(bar.kind, pattern))
        left[:] = [d - n for d, n in zip(left, pattern, strict=True)]
