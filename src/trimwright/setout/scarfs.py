"""Where a wall longer than any stock is joined: evenly, or where one who plans the cutting would rather have it."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from trimwright.errors import DoesNotFit
from trimwright.tolerance import MOST_PIECES

__all__ = [
    "CLEAR_OF_CORNER",
    "CLEAR_OF_CUTOUT",
    "CLEAR_OF_JOINT",
    "Division",
    "Keepout",
    "LongStretch",
    "keep_out_zones",
    "stations",
]

CLEAR_OF_CORNER = 300.0
"""No joint along a wall within this of a corner. Common practice, no source."""

CLEAR_OF_MIDDLE = 150.0
"""No joint within this of the middle of an opening below. Common practice, no source."""

CLEAR_OF_JOINT = 300.0
"""No joint within this of a joint in the batten or trim behind. Common practice, no source."""

CLEAR_OF_CUTOUT = 300.0
"""No joint within this of what is cut out for a pipe or a fitting. Common practice, no source."""

GRID = 50.0
"""Joints are looked for at whole multiples of this from the left end, and at the even division."""

Keepout = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Division:
    """Stations of the joints, and whether every rule could be kept."""

    stations: tuple[float, ...]
    by_the_rules: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LongStretch:
    """A stretch joined along its wall: where its joints are, and what is needed to choose others.

    `low`, `high` and `lap` are stations as in `stations`. A piece from station a to b, laps included, takes
    `scale` * (b - a) + `overhang` of stock, of which there is `longest` in one length.
    """

    key: str
    wall: int
    low: float
    high: float
    lap: float
    scale: float
    overhang: float
    longest: float
    zones: tuple[Keepout, ...]
    division: Division

    def lengths(self, joints: Sequence[float]) -> tuple[float, ...]:
        """What its pieces take from stock, left to right."""
        edges = [self.low + self.lap, *joints, self.high - self.lap]
        return tuple((b - a + 2 * self.lap) * self.scale + self.overhang for a, b in pairwise(edges))

    def allows(self, joints: Sequence[float]) -> bool:
        """True if as many joints as are needed, no more, keep every rule, and no piece is too long or all lap."""
        clear = all(not a < joint < b for joint in joints for a, b in self.zones)
        apart = all(b - a >= CLEAR_OF_CORNER for a, b in pairwise(joints))
        fit = all(length <= self.longest + 1e-9 for length in self.lengths(joints))
        return len(joints) == len(self.division.stations) and clear and apart and fit


def keep_out_zones(low: float, high: float, middles: Sequence[float], joints: Sequence[float]) -> list[Keepout]:
    """Stretches where no joint may fall: near the ends, over openings' middles, in line with joints behind."""
    return [
        (-math.inf, low + CLEAR_OF_CORNER),
        (high - CLEAR_OF_CORNER, math.inf),
        *((m - CLEAR_OF_MIDDLE, m + CLEAR_OF_MIDDLE) for m in middles),
        *((j - CLEAR_OF_JOINT, j + CLEAR_OF_JOINT) for j in joints),
    ]


def stations(low: float, high: float, lap: float, longest: float, zones: Sequence[Keepout], what: str) -> Division:
    """Joints that cut low..high into the fewest pieces no longer than `longest`, as even as the rules allow.

    `low` and `high` are the extreme stations the piece would reach in one length; `lap` is what one joint adds to
    each of its two pieces. Rules that cannot be kept are dropped rather than a piece more be cut; the result says so.
    Raises DoesNotFit if no stock can serve at all.
    """
    if high - low <= longest:
        return Division((), True)
    if longest <= 2 * lap:
        raise DoesNotFit(f"{what}: stock of {longest:g} is too short to be joined along the wall")
    count = max(2, math.ceil((high - low - 2 * lap) / (longest - 2 * lap) - 1e-9))
    if count > MOST_PIECES:
        raise DoesNotFit(f"{what}: stock of {longest:g} would have to be joined {count - 1} times; give a longer one")
    for allowed in (zones, ()):
        found = _most_even(low, high, lap, longest, count, allowed)
        if found is not None:
            return Division(found, bool(allowed) or not zones)
    return Division(_even(low, high, lap, count), False)


def _even(low: float, high: float, lap: float, count: int) -> tuple[float, ...]:
    """Joints of `count` pieces of equal length (the end pieces have one lap, the others two)."""
    length = (high - low + 2 * (count - 1) * lap) / count
    return tuple(low + length - lap + k * (length - 2 * lap) for k in range(count - 1))


def _most_even(
    low: float, high: float, lap: float, longest: float, count: int, zones: Sequence[Keepout]
) -> tuple[float, ...] | None:
    """The joints nearest to the even division (least squares) that keep the rules, by dynamic programming.

    Joint k lies where k pieces reach from the left and the rest from the right: few places, since none is to spare.
    """
    ideal = _even(low, high, lap, count)
    grid = [low + GRID * k for k in range(1, math.ceil((high - low) / GRID))]
    edges = [e for zone in zones for e in zone if low < e < high]
    places = sorted(p for p in {*grid, *ideal, *edges} if all(not a < p < b for a, b in zones))
    best: dict[float, tuple[float, tuple[float, ...]]] = {low + lap: (0.0, ())}
    reach = longest - 2 * lap
    for k, goal in enumerate(ideal, 1):
        layer: dict[float, tuple[float, tuple[float, ...]]] = {}
        first, last = high - lap - (count - k) * reach - 1e-9, low + lap + k * reach + 1e-9
        for place in places[bisect_left(places, first) : bisect_right(places, last)]:
            options = [
                (cost + (place - goal) ** 2, (*chosen, place))
                for before, (cost, chosen) in best.items()
                if before < place and place - before + 2 * lap <= longest + 1e-9
            ]
            if options:
                layer[place] = min(options)
        best = layer
    ends = [option for place, option in best.items() if high - place + lap <= longest + 1e-9]
    return min(ends)[1] if ends else None
