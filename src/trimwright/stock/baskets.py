"""Which baskets of bars are worth trying: all that satisfy the cuts within a range of cost, best first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor

from trimwright.stock.bound import Cut, cost_bound
from trimwright.stock.task import Basket, Kind, Task, cost_of, size_of

__all__ = ["baskets_between"]

EASE = 1e-9
"""Relative ease given to pruning in floating point; what is kept is tested in whole numbers."""
VISITS = 30
"""Places of the count that are looked at for each basket allowed, before it is given up."""
GUIDES = 4
"""Cuts used for pruning, the strongest; all are tested in the end."""


@dataclass(frozen=True, slots=True)
class _Level:
    """One kind of bar, and the most that the kinds after it can carry: for nothing, and for each unit of money."""

    kind: Kind
    carries: tuple[int, ...]
    free_after: tuple[float, ...]
    rate_after: tuple[float, ...]


class _TooMany(Exception):
    """More baskets than anyone can try."""


def baskets_between(task: Task, cuts: Sequence[Cut], low: int, high: int, most: int) -> list[Basket] | None:
    """Baskets with low <= cost <= high that no cut forbids, by cost, then by size; None if more than `most`.

    Kinds are counted one after another; a branch ends when the money left, spent at the best rate of the kinds
    to come, cannot satisfy some cut.
    """
    order = sorted(range(len(task.kinds)), key=lambda s: (task.kinds[s].cost > 0, task.kinds[s].capacity))
    guides = sorted(cuts, key=lambda cut: -cost_bound([cut], task.kinds))[:GUIDES]
    count = _Count([_level(task, guides, order, place) for place in range(len(order))], VISITS * most)
    places = [order.index(s) for s in range(len(order))]
    found: list[Basket] = []
    try:
        for counts in count.walk(0, low, high, tuple(cut.needed for cut in guides)):
            basket = tuple(counts[place] for place in places)
            if all(cut.slack(basket) >= 0 for cut in cuts):
                found.append(basket)
            if len(found) > most:
                return None
    except _TooMany:
        return None
    return sorted(found, key=lambda b: (cost_of(task, b), size_of(task, b), b))


def _level(task: Task, guides: list[Cut], order: list[int], place: int) -> _Level:
    after = order[place + 1 :]
    free = [sum(g.carries[s] * task.kinds[s].limit for s in after if task.kinds[s].cost == 0) for g in guides]
    rate = [max((g.carries[s] / task.kinds[s].cost for s in after if task.kinds[s].cost), default=0) for g in guides]
    carries = tuple(g.carries[order[place]] for g in guides)
    return _Level(task.kinds[order[place]], carries, tuple(map(float, free)), tuple(map(float, rate)))


class _Count:
    """Counts the bars of every kind in turn, and tires after so many visits."""

    def __init__(self, levels: list[_Level], visits: int) -> None:
        self.levels, self.visits = levels, visits
        self.counts = [0] * len(levels)

    def walk(self, place: int, low: int, left: int, needs: tuple[int, ...]) -> Iterator[list[int]]:
        """Counts from a place on that cost from `low` to `left` and meet the needs as far as the guides tell."""
        self.visits -= 1
        if self.visits < 0:
            raise _TooMany
        level, last = self.levels[place], place + 1 == len(self.levels)
        least, top = _range(level, left, needs)
        if last and low > 0:
            least = max(least, -(-low // level.kind.cost)) if level.kind.cost else top + 1
        for n in range(top, least - 1, -1):
            self.counts[place] = n
            if last:
                yield self.counts
                continue
            spent = n * level.kind.cost
            after = tuple(need - n * v for need, v in zip(needs, level.carries, strict=True))
            yield from self.walk(place + 1, low - spent, left - spent, after)


def _range(level: _Level, left: int, needs: tuple[int, ...]) -> tuple[int, int]:
    """Fewest and most bars of a kind with which the rest of the money can still meet every need.

    need <= n v + free + (left - n cost) rate, solved for n.
    """
    kind = level.kind
    least, top = 0, kind.limit if kind.cost == 0 else min(kind.limit, left // kind.cost)
    for need, v, free, rate in zip(needs, level.carries, level.free_after, level.rate_after, strict=True):
        gain, missing = v - kind.cost * rate, need - free - left * rate
        ease = EASE * max(1.0, abs(need), left * rate)
        if abs(gain) <= ease:
            top = top if missing <= ease * (1 + top) else -1
        elif gain > 0:
            least = max(least, ceil((missing - ease) / gain))
        else:
            top = min(top, floor((missing - ease) / gain))
    return least, top
