"""The part of the search that needs a solver: column generation, dives, and whole-number programmes over patterns."""

from __future__ import annotations

import time
from dataclasses import dataclass

from trimwright.stock.completion import Packing, pack_into
from trimwright.stock.dive import dive
from trimwright.stock.greedy import shrink
from trimwright.stock.master import ZERO, Columns, Master
from trimwright.stock.patterns import choose, patterns_within
from trimwright.stock.progress import Progress, try_in_order
from trimwright.stock.task import Basket, Packed

__all__ = ["improve"]

EFFORT = 3000
"""Bars tried by completion for one basket."""
MOST_PATTERNS = 20_000
"""With more patterns than this the whole-number programme is not attempted."""

FIRST_PART = 0.5
"""Part of the time after which a plan is sought from the relaxed problem though it is not yet solved."""
DIVE_TIME = 2.0
"""Seconds for a dive into one basket."""
CROWDS = (1000, 4000)
"""Most baskets listed in one range of cost; the second only where the first was not enough and time is left."""
LARGE = 60
"""Tasks of more pieces also get a whole-number programme over the patterns found, before baskets are tried."""
CLOSE_ENOUGH = 0.001
PATIENCE = 1.0
"""A plan within this part of its bound is not sought to be bettered for more than so many seconds."""


def improve(progress: Progress, deadline: float) -> None:
    """Raise the bound, better the plan, and settle which baskets will do, as far as time allows."""
    task, columns = progress.task, Columns()
    columns.add(progress.bars or [])
    costs = [float(kind.cost) for kind in task.kinds]
    master = Master(task, columns, costs, [20 * max([*costs, 1.0])] * len(task.widths))
    begun = time.monotonic()
    relaxed = master.relax(begun + FIRST_PART * (deadline - begun))
    _offer(progress, dive(task, columns, None, deadline))
    if not relaxed.done:
        progress.cuts.append(relaxed.cut)
        relaxed = master.relax(deadline)
    progress.cuts.append(relaxed.cut)
    progress.raise_bound()
    if not progress.proven and task.pieces > LARGE:
        seconds = min(1.5, deadline - time.monotonic())
        _offer(progress, choose(task, None, columns.bars, seconds).bars)
        columns.add(progress.bars or [])
    begun = time.monotonic()

    def tired() -> bool:
        now = time.monotonic()
        return now > deadline or (now > begun + PATIENCE and _close(progress))

    judge = _Judge(progress, columns, deadline)
    for most in CROWDS:
        if try_in_order(progress, judge, most, tired) or not progress.crowded or tired() or _close(progress):
            break


def _close(progress: Progress) -> bool:
    return progress.bars is not None and progress.top[0] <= progress.bound * (1 + CLOSE_ENOUGH)


def _offer(progress: Progress, bars: list[Packed] | None) -> None:
    if bars is not None:
        progress.offer(shrink(progress.task, bars))


@dataclass(slots=True)
class _Judge:
    """Decides baskets: relaxed first, then by dives, then over all patterns that are left."""

    progress: Progress
    columns: Columns
    deadline: float

    def __call__(self, basket: Basket) -> Packing:
        task = self.progress.task
        packing = pack_into(task, basket, EFFORT)
        if packing.bars is not None or packing.impossible:
            return packing
        if self._too_little(basket):
            return Packing(None, True)
        bars = dive(task, self.columns, basket, min(self.deadline, time.monotonic() + DIVE_TIME))
        if bars is not None or self._left() <= 0:
            return Packing(bars, False)
        every = patterns_within(task, basket, self.progress.cuts, MOST_PATTERNS)
        if every is None or self._left() <= 0:
            return Packing(None, False)
        return choose(task, basket, every, self._left() / 3)

    def _left(self) -> float:
        return self.deadline - time.monotonic()

    def _too_little(self, basket: Basket) -> bool:
        """True if the basket does not do even in fractions; the cut that says so is kept."""
        task = self.progress.task
        longest = max(kind.capacity for kind in task.kinds)
        master = Master(task, self.columns, [0.0] * len(task.kinds), [w / longest for w in task.widths])
        master.set_limits(basket)
        relaxed = master.relax(self.deadline)
        if relaxed.uncut <= ZERO or relaxed.cut.slack(basket) >= 0:
            return False
        self.progress.cuts.append(relaxed.cut)
        return True
