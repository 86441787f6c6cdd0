"""Quick plans: best-fit decreasing over several kinds of bar, and each bar changed for the cheapest that holds it."""

from __future__ import annotations

from collections.abc import Sequence

from trimwright.stock.task import Packed, Pattern, Task, basket_of, cost_of, size_of

__all__ = ["best", "fullest", "greedy_plan", "rank", "shrink"]

MOST_SUMS = 5000
"""Sums that are remembered in filling one bar; the fullest of so many is full enough."""


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
    plans = [pack(task, order) for pack in (_best_fit, _fill) for order in orders]
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
    """Bar after bar by `order`, each begun with the longest piece left and filled as full as it will go."""
    left = [kind.limit for kind in task.kinds]
    demand = list(task.demand)
    bars = []
    while any(demand):
        first = next(i for i, n in enumerate(demand) if n)
        kind = next((s for s in order if left[s] and task.kinds[s].capacity >= task.widths[first]), None)
        if kind is None:
            return None
        left[kind] -= 1
        demand[first] -= 1
        room = task.kinds[kind].capacity - task.widths[first]
        pattern = fullest(task, demand, room)
        demand = [d - n for d, n in zip(demand, pattern, strict=True)]
        bars.append(Packed(kind, tuple(n + (i == first) for i, n in enumerate(pattern))))
    return bars


def fullest(task: Task, demand: Sequence[int], room: int) -> Pattern:
    """The pattern that leaves least of a room: all sums up to it, each remembered with its last piece."""
    reached: dict[int, tuple[int, int]] = {0: (-1, 0)}
    for i, width in enumerate(task.widths):
        for _ in range(min(demand[i], room // width)):
            fresh = {s + width: (i, s) for s in reached if s + width <= room and s + width not in reached}
            if not fresh or len(reached) > MOST_SUMS:
                break
            reached |= fresh
    pattern = [0] * len(task.widths)
    total = max(reached)
    while total:
        i, total = reached[total]
        pattern[i] += 1
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
