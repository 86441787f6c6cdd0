"""Do these pieces go into these bars? Answered by filling one bar at a time, with a limit on the effort.

R. E. Korf, A new algorithm for optimal bin packing, AAAI 2002: the longest piece left must lie in some bar; it
is enough to try the sets that fill that bar up (nothing left fits the rest of it), and together the bars may not
waste more than they have over.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from trimwright.stock.task import Basket, Packed, Pattern, Task

__all__ = ["Packing", "pack_into"]

WIDEST = 400
"""Ways of filling one bar that are looked at; with more, a failure proves nothing."""
MOST_BARS = 500
"""Bars filled one within another, each a level of recursion; more are left to other means."""


@dataclass(slots=True)
class Packing:
    """What came of it: the bars if the pieces fit; else `impossible` tells whether that is proven."""

    bars: list[Packed] | None
    impossible: bool


@dataclass(slots=True)
class _Search:
    task: Task
    effort: int
    complete: bool = True
    dead: set[tuple[Pattern, Basket]] = field(default_factory=set)

    def fill(self, demand: Pattern, basket: Basket, slack: int) -> list[Packed] | None:
        """Bars for all of `demand`, wasting `slack` at most, or None."""
        if not any(demand):
            return []
        if (demand, basket) in self.dead:
            return None
        for kind, pattern, waste in self._choices(demand, basket, slack):
            self.effort -= 1
            if self.effort < 0:
                self.complete = False
                return None
            rest = self.fill(_less(demand, pattern), _one_less(basket, kind), slack - waste)
            if rest is not None:
                return [Packed(kind, pattern), *rest]
        if self.complete:
            self.dead.add((demand, basket))
        return None

    def _choices(self, demand: Pattern, basket: Basket, slack: int) -> list[tuple[int, Pattern, int]]:
        """Ways to cut the longest piece left, least waste first."""
        first = next(i for i, n in enumerate(demand) if n)
        choices: list[tuple[int, Pattern, int]] = []
        for kind, left in enumerate(basket):
            room = self.task.kinds[kind].capacity - self.task.widths[first]
            if not left or room < 0:
                continue
            patterns = _fillings(self.task.widths, _less_one(demand, first), first, room, slack)
            for found, (pattern, waste) in enumerate(patterns):
                if found == WIDEST:
                    self.complete = False
                    break
                choices.append((kind, _more_one(pattern, first), waste))
        return sorted(choices, key=lambda choice: (choice[2], [-n for n in choice[1]], choice[0]))


def pack_into(task: Task, basket: Basket, effort: int) -> Packing:
    """Cut all pieces from the bars of a basket, trying at most `effort` bars."""
    if sum(basket) > MOST_BARS:
        return Packing(None, False)
    capacity = sum(kind.capacity * n for kind, n in zip(task.kinds, basket, strict=True))
    search = _Search(task, effort)
    slack = capacity - task.volume
    bars = search.fill(task.demand, basket, slack) if slack >= 0 else None
    return Packing(bars, bars is None and search.complete)


def _fillings(
    widths: tuple[int, ...], demand: Pattern, start: int, room: int, slack: int
) -> Iterator[tuple[Pattern, int]]:
    """Patterns from place `start` on that fill `room` up: what is left is at most `slack` and holds no piece left."""
    chosen = [0] * len(widths)
    reach = [0] * (len(widths) + 1)
    for i in range(len(widths) - 1, start - 1, -1):
        reach[i] = reach[i + 1] + widths[i] * demand[i]

    def choose(i: int, left: int, missed: int) -> Iterator[tuple[Pattern, int]]:
        """`missed`: the narrowest piece not taken so far, which must not fit in what is left in the end."""
        while i < len(widths) and (demand[i] == 0 or widths[i] > left):
            if demand[i]:
                missed = widths[i]
            i += 1
        if i == len(widths):
            if left < missed and left <= slack:
                yield tuple(chosen), left
            return
        if left - reach[i] > slack:
            return
        top = min(demand[i], left // widths[i])
        for n in range(top, -1, -1):
            chosen[i] = n
            yield from choose(i + 1, left - n * widths[i], missed if n == demand[i] else widths[i])
        chosen[i] = 0

    yield from choose(start, room, room + 1)


def _less(demand: Pattern, pattern: Pattern) -> Pattern:
    return tuple(d - n for d, n in zip(demand, pattern, strict=True))


def _one_less(basket: Basket, kind: int) -> Basket:
    return tuple(n - (s == kind) for s, n in enumerate(basket))


def _less_one(demand: Pattern, place: int) -> Pattern:
    return _one_less(demand, place)


def _more_one(pattern: Pattern, place: int) -> Pattern:
    return tuple(n + (s == place) for s, n in enumerate(pattern))
