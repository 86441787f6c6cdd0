"""A plan by so much work and not by the clock: the same on a fast machine and on a busy one, and quick for a site.

The relaxed problem is solved whole and turned into bars by one dive. With many different pieces that is done lot by
lot: each lot has a like mix of lengths, and the bars of a lot that leave most give their pieces to the next, so that
only the last lot has to make do with its ends.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import inf

from trimwright.stock.bound import Cut
from trimwright.stock.dive import dive
from trimwright.stock.greedy import greedy_plan, shrink
from trimwright.stock.master import Columns, Master
from trimwright.stock.pricing import knapsack
from trimwright.stock.task import Packed, Task

__all__ = ["steady"]

LOT = 300
"""Different widths in a lot, about: more make the relaxed problem slow, fewer make the ends of the lots dear."""
GIVEN_BACK = 3
"""One bar in so many, those that leave most, gives its pieces to the next lot."""


def steady(task: Task) -> tuple[list[Packed] | None, list[Cut]]:
    """A plan, None where no way was found, and the cuts that bound what any plan costs."""
    bars: list[Packed] = []
    cuts: list[Cut] = []
    returned = [0] * len(task.widths)
    left = [kind.limit for kind in task.kinds]
    lots = list(_dealt(task))
    for number, lot in enumerate(lots, 1):
        demand = [n + m for n, m in zip(lot, returned, strict=True)]
        packed, cut = _one_lot(task, demand, left)
        cuts.append(cut)
        if packed is None:
            return greedy_plan(task), cuts
        packed.sort(key=lambda bar: task.kinds[bar.kind].capacity - task.width_of(bar.pattern))
        kept = packed[: len(packed) - len(packed) // GIVEN_BACK] if number < len(lots) else packed
        returned = [sum(column) for column in zip(*(b.pattern for b in packed[len(kept) :]), strict=True)] or returned
        for bar in kept:
            left[bar.kind] -= 1
        bars += kept
    return shrink(task, bars), cuts


def _dealt(task: Task) -> Iterator[list[int]]:
    """The demand of each lot: widths are dealt out like cards, longest first."""
    count = max(1, round(len(task.widths) / LOT))
    for lot in range(count):
        yield [n if i % count == lot else 0 for i, n in enumerate(task.demand)]


def _one_lot(task: Task, demand: Sequence[int], left: Sequence[int]) -> tuple[list[Packed] | None, Cut]:
    """Bars for a part of the demand, in the widths of the whole task, and a cut on the whole task."""
    wanted = [i for i, n in enumerate(demand) if n]
    part = Task(
        tuple(task.widths[i] for i in wanted),
        tuple(demand[i] for i in wanted),
        tuple(replace(kind, limit=n) for kind, n in zip(task.kinds, left, strict=True)),
    )
    columns = Columns()
    costs = [float(kind.cost) for kind in part.kinds]
    relaxed = Master(part, columns, costs, [20 * max([*costs, 1.0])] * len(part.widths)).relax(inf)
    bars = dive(part, columns, None, inf) or greedy_plan(part)
    cut = relaxed.cut if len(part.widths) == len(task.widths) else _on_all(task, part, relaxed.cut)
    return (None if bars is None else [_widened(task, wanted, bar) for bar in bars]), cut


def _widened(task: Task, wanted: Sequence[int], bar: Packed) -> Packed:
    pattern = [0] * len(task.widths)
    for i, n in zip(wanted, bar.pattern, strict=True):
        pattern[i] = n
    return Packed(bar.kind, tuple(pattern))


def _on_all(task: Task, part: Task, cut: Cut) -> Cut:
    """A cut of a lot as one of the whole: every width is worth what the next one down is worth in the lot."""
    known = sorted(zip(part.widths, cut.values, strict=True))
    widths = [width for width, _ in known]
    values = []
    for width in task.widths:
        at = bisect_right(widths, width)
        values.append(known[at - 1][1] if at else 0)
    table = knapsack(task, task.demand, values)
    needed = sum(v * n for v, n in zip(values, task.demand, strict=True))
    return Cut(tuple(values), tuple(table.value(kind.capacity) for kind in task.kinds), needed)
