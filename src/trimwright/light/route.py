"""How the strip is laid: whole cut intervals on each leg, and what stays dark at corners, pipes and ends.

A strip is cut at its marks only, so each stretch of it leaves up to one interval dark, to be shared between its two
ends. Where it starts on each stretch is found by an exact search over every whole millimetre, so that the longest dark
length is as short as can be, and then the rest are as even as can be (least sum of squares).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from trimwright.light.channel import Leg
from trimwright.room import PlanPoint

__all__ = ["Dark", "Join", "Route", "Stretch", "lay"]

Floats = NDArray[np.float64]

Join = str
"""How a strip passes a corner: "link" (soldered wires), "connector", or "bend" (it runs on)."""

CLEAR = {"link": 5.0, "connector": 12.0, "bend": 5.0}
"""Kept between the last mark and the end of a leg, mm: the wire's turn or the connector's body. Common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Strip in one length over one leg, or over several with bends between: `count` whole intervals.

    `start` is the dark before it in the first leg, `rest` the dark after it in the last.
    """

    legs: tuple[Leg, ...]
    count: int
    interval: float
    start: float
    rest: float

    @property
    def length(self) -> float:
        """Length of strip, mm."""
        return self.count * self.interval

    def place(self, along: float) -> tuple[Leg, float]:
        """The leg under a point of the strip, and the distance from that leg's left end; `along` in mm of strip."""
        at = self.start + along
        for leg in self.legs[:-1]:
            if at <= leg.length:
                return leg, at
            at -= leg.length
        return self.legs[-1], min(at, self.legs[-1].length)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dark:
    """A length without light: `where` in words, `before` and `after` a corner or pipe, and the gap between, mm."""

    where: str
    plan: PlanPoint
    before: float
    gap: float
    after: float

    @property
    def length(self) -> float:
        """All of it."""
        return self.before + self.gap + self.after


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """The strip of one run, clockwise from its start; `bends`: how far each bend lies from the nearest mark, mm."""

    stretches: tuple[Stretch, ...]
    closed: bool
    join: Join
    darks: tuple[Dark, ...]
    bends: tuple[float, ...] = ()

    @property
    def length(self) -> float:
        """All strip, mm."""
        return sum(s.length for s in self.stretches)

    @property
    def darkest(self) -> float:
        """The longest dark length, mm."""
        return max((dark.length for dark in self.darks), default=0.0)


def lay(legs: Sequence[Leg], closed: bool, interval: float, join: Join, first: int = 0) -> Route | None:
    """Lay strip along a run, from leg `first` on if the run is closed; None if no leg takes a whole interval.

    With bends, a closed run without pipes may start at any corner: that at which bends lie nearest to marks is taken.
    """
    order = [*legs[first:], *legs[:first]] if closed else [*legs]
    groups = _groups(order, join)
    if join == "bend" and closed and len(groups) == 1 and order[-1].gap == 0:
        turned = [_groups([*order[k:], *order[:k]], join) for k in range(len(order))]
        laid = [_laid(group, closed, interval, join) for group in turned]
        found = [route for route in laid if route is not None]
        return min(found, key=lambda route: max(route.bends, default=0.0), default=None)
    return _laid(groups, closed, interval, join)


def _groups(legs: Sequence[Leg], join: Join) -> list[tuple[Leg, ...]]:
    """Legs that one length of strip covers: each by itself, or with bends all that no pipe parts.

    Straight segments of a channel along one curved wall turn so little that any strip follows them.
    """
    groups: list[list[Leg]] = [[]]
    for leg in legs:
        groups[-1].append(leg)
        if leg.gap > 0 or (join != "bend" and not leg.seam):
            groups.append([])
    return [tuple(group) for group in groups if group]


def _laid(groups: Sequence[tuple[Leg, ...]], closed: bool, interval: float, join: Join) -> Route | None:
    clear = CLEAR[join]
    lengths = [sum(leg.length for leg in group) for group in groups]
    counts = [max(0, int((length - 2 * clear) / interval + 1e-9)) for length in lengths]
    if not any(counts):
        return None
    spare = [length - count * interval for length, count in zip(lengths, counts, strict=True)]
    gaps = [group[-1].gap for group in groups]
    choices = [_choices(room, clear) for room in spare]
    bends = [
        [_misfit(group, start, interval) for start in options] for group, options in zip(groups, choices, strict=True)
    ]
    starts = _search(spare, gaps, choices, [np.array([max(b, default=0.0) for b in fits]) for fits in bends], closed)
    stretches = tuple(
        Stretch(legs=group, count=count, interval=interval, start=start, rest=room - start)
        for group, count, start, room in zip(groups, counts, starts, spare, strict=True)
    )
    misfits = [m for group, s in zip(groups, starts, strict=True) for m in _misfit(group, s, interval)]
    return Route(
        stretches=stretches, closed=closed, join=join, darks=tuple(_darks(stretches, closed)), bends=tuple(misfits)
    )


def _choices(spare: float, clear: float) -> Floats:
    """Where a stretch may start: every millimetre of what it leaves over."""
    room = max(0.0, spare - 2 * clear)
    return np.asarray(np.minimum(clear, spare / 2) + np.linspace(0.0, room, int(np.ceil(room)) + 1))


def _misfit(legs: Sequence[Leg], start: float, interval: float) -> list[float]:
    """How far each corner inside a stretch lies from the nearest mark of the strip."""
    ends = accumulate(leg.length for leg in legs[:-1])
    corners = [end for end, leg in zip(ends, legs, strict=False) if not leg.seam]
    return [abs((corner - start + interval / 2) % interval - interval / 2) for corner in corners]


def _search(
    spare: Sequence[float], gaps: Sequence[float], choices: Sequence[Floats], own: Sequence[Floats], closed: bool
) -> list[float]:
    """The start of each stretch: shortest longest dark, then least sum of squares. Both by dynamic programming.

    `own` is a cost of each choice by itself (bends off the marks). An open run has two ends that are dark alone.
    """
    after = [*range(1, len(spare)), 0]
    darks = [(spare[k] - choices[k])[:, None] + gaps[k] + choices[after[k]][None, :] for k in range(len(spare))]
    if not closed:
        darks[-1] = np.zeros_like(darks[-1])
        ends = (choices[0], spare[-1] - choices[-1])
    else:
        ends = (np.zeros(len(choices[0])), np.zeros(len(choices[-1])))
    costs = [c.astype(float).copy() for c in own]
    worst = [np.maximum(dark, cost[:, None]) for dark, cost in zip(darks, costs, strict=True)]
    worst[0] = np.maximum(worst[0], ends[0][:, None])
    worst[-1] = np.maximum(worst[-1], ends[1][:, None])
    longest, _ = _best(worst, np.maximum)
    squares = [
        np.where(top > longest + 1e-6, np.inf, dark**2 + cost[:, None] ** 2)
        for top, dark, cost in zip(worst, darks, costs, strict=True)
    ]
    squares[0] = squares[0] + ends[0][:, None] ** 2
    squares[-1] = squares[-1] + ends[1][:, None] ** 2
    _, picks = _best(squares, np.add)
    return [float(options[pick]) for options, pick in zip(choices, picks, strict=True)]


def _best(steps: Sequence[Floats], join: np.ufunc) -> tuple[float, list[int]]:
    """Cheapest way round: steps[k][i, j] leads from choice i of stretch k to choice j of the next, back to the first.

    Exact: for every first choice, the best cost to reach each choice of each stretch in turn.
    """
    if len(steps) == 1:
        alone = np.diagonal(steps[0])
        return float(alone.min()), [int(alone.argmin())]
    cost = steps[0]
    came: list[NDArray[np.intp]] = []
    for step in steps[1:-1]:
        ways = join(cost[:, :, None], step[None, :, :])
        came.append(ways.argmin(axis=1))
        cost = ways.min(axis=1)
    closing = join(cost, steps[-1].T)
    first, last = np.unravel_index(int(closing.argmin()), closing.shape)
    picks = [int(last)]
    for table in came[::-1]:
        picks.append(int(table[first, picks[-1]]))
    return float(closing[first, last]), [int(first), *picks[::-1]]


def _darks(stretches: Sequence[Stretch], closed: bool) -> list[Dark]:
    """Every place without light, in order: the first end of an open run, corners and pipes, the last end."""
    first, last = stretches[0].legs[0], stretches[-1].legs[-1]
    found = [] if closed else [Dark(where="start", plan=first.plan(0.0), before=0.0, gap=0.0, after=stretches[0].start)]
    round_ = [*stretches, stretches[0]] if closed else stretches
    for one, two in pairwise(round_):
        leg = one.legs[-1]
        where = f"corner {leg.corner}" if leg.corner else "pipe"
        found.append(Dark(where=where, plan=leg.plan(leg.length), before=one.rest, gap=leg.gap, after=two.start))
    if not closed:
        found.append(Dark(where="end", plan=last.plan(last.length), before=stretches[-1].rest, gap=0.0, after=0.0))
    return found
