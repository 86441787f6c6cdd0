"""Quick plans: best-fit decreasing over several kinds of bar, and each bar changed for the cheapest that holds it."""

from __future__ import annotations

from collections.abc import Sequence

from trimwright.stock.task import Packed, Pattern, Task, basket_of, cost_of, doublings, size_of

__all__ = ["best", "fullest", "greedy_plan", "rank", "shrink"]

LARGE = 2000
"""Best fit looks at every open bar for every piece: not for tasks of more pieces than this."""


def rank(task: Task, bars: list[Packed]) -> tuple[int, int]:
    """What plans are compared by: cost, then size."""
    basket = basket_of(task, bars)
    return (cost_of(task, basket), size_of(task, basket))


def best(task: Task, plans: Sequence[list[Packed] | None]) -> list[Packed] | None:
    """The plan of least cost, then least size; the first of equals."""
    known = [plan for plan in plans if plan is not None]
    return min(known, key=lambda plan: rank(task, plan), default=None)


def greedy_plan(task: Task) -> list[Packed] | None:
    """The best of several quick plans, or None where all of them run out of bars."""
    by_rate = sorted(range(len(task.kinds)), key=lambda s: (task.kinds[s].cost / max(1, task.kinds[s].capacity), s))
    free = [s for s in by_rate if task.kinds[s].cost == 0]
    orders = [by_rate] + [[*free, s, *(t for t in by_rate if t != s and t not in free)] for s in by_rate]
    ways = (_fill,) if task.pieces > LARGE else (_best_fit, _fill)
    plans = [pack(task, order) for pack in ways for order in orders]
    return best(task, [None if plan is None else shrink(task, plan) for plan in plans])


def _best_fit(task: Task, order: list[int]) -> list[Packed] | None:
    """Longest pieces first, each into the fullest open bar that still holds it, else into a new bar by `order`."""
    left = [kind.limit for kind in task.kinds]
    bars: list[tuple[int, list[int]]] = []
    room: list[int] = []
    for i, width in enumerate(task.widths):
        for _ in range(task.demand[i]):
            fits = [(r, b) for b, r in enumerate(room) if r >= width]
            if fits:
                b = min(fits)[1]
            else:
                kind = next((s for s in order if left[s] and task.kinds[s].capacity >= width), None)
                if kind is None:
                    return None
                left[kind] -= 1
                b = len(bars)
                bars.append((kind, [0] * len(task.widths)))
                room.append(task.kinds[kind].capacity)
            bars[b][1][i] += 1
            room[b] -= width
    return [Packed(kind, tuple(pattern)) for kind, pattern in bars]


def _fill(task: Task, order: list[int]) -> list[Packed] | None:
    """Bar after bar by `order`, each begun with the longest piece left, filled as full as it goes, and repeated."""
    left = [kind.limit for kind in task.kinds]
    demand = list(task.demand)
    bars = []
    while any(demand):
        first = next(i for i, n in enumerate(demand) if n)
        kind = next((s for s in order if left[s] and task.kinds[s].capacity >= task.widths[first]), None)
        if kind is None:
            return None
        demand[first] -= 1
        rest = fullest(task, demand, task.kinds[kind].capacity - task.widths[first])
        demand[first] += 1
        pattern = tuple(n + (i == first) for i, n in enumerate(rest))
        times = min(left[kind], *(d // n for d, n in zip(demand, pattern, strict=True) if n))
        left[kind] -= times
        demand = [d - times * n for d, n in zip(demand, pattern, strict=True)]
        bars += [Packed(kind, pattern)] * times
    return bars


def fullest(task: Task, demand: Sequence[int], room: int) -> Pattern:
    """The pattern that leaves least of a room. The sums that can be reached are the set bits of one long integer."""
    reach, mask = 1, (1 << (room + 1)) - 1
    steps: list[tuple[int, int, int]] = []
    for i, width in enumerate(task.widths):
        for number in doublings(min(demand[i], room // width)):
            before, reach = reach, reach | reach << number * width & mask
            if reach != before:
                steps.append((i, number, before))
        if reach >> room:
            break
    total = reach.bit_length() - 1
    pattern = [0] * len(task.widths)
    for i, number, before in reversed(steps):
        if not before >> total & 1:
            pattern[i] += number
            total -= number * task.widths[i]
    return tuple(pattern)


def shrink(task: Task, bars: list[Packed]) -> list[Packed]:
    """Each bar changed, fullest first, for the cheapest kind that holds its pieces and is not used up."""
    left = [kind.limit for kind in task.kinds]
    kept = []
    for bar in sorted(bars, key=lambda b: -task.width_of(b.pattern)):
        need = task.width_of(bar.pattern)
        fits = [s for s, kind in enumerate(task.kinds) if left[s] and kind.capacity >= need]
        if not fits:
            return bars
        kind = min(fits, key=lambda s: (task.kinds[s].cost, task.kinds[s].size))
        left[kind] -= 1
        kept.append(Packed(kind, bar.pattern))
    return kept if rank(task, kept) <= rank(task, bars) else bars
