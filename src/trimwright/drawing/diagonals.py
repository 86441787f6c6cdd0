"""Check diagonals on the plan: what the room makes of each, and beside it what was read, if it was measured.

A fitter who lays the tape from corner to corner and reads what stands here knows that the plan is the room.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, islice

from trimwright.drawing.labels import Label, along
from trimwright.drawing.marks import Anchor, Layer, Mark, polyline
from trimwright.profile.outline import Point
from trimwright.room import Room
from trimwright.survey.adjust import Check
from trimwright.survey.reading import Kind

__all__ = ["Diagonal", "check_diagonals", "diagonal_labels", "diagonal_lines"]

ENOUGH = 2
"""So many diagonals are shown even if none was measured."""

TRIED = 400
"""Of the unmeasured ones the longest that many are looked at: in a room of many corners most leave it."""

PARTS = (0.5, 0.45, 0.55, 0.4, 0.6, 0.35, 0.65, 0.3, 0.7, 0.25, 0.75)


@dataclass(frozen=True, slots=True)
class Diagonal:
    """From corner to corner (numbered from 1, in plan), as read; None: not measured."""

    corners: tuple[int, int]
    start: Point
    end: Point
    read: float | None = None


def check_diagonals(room: Room, checks: Sequence[Check] = ()) -> tuple[Diagonal, ...]:
    """All that were measured, and the longest of the others that run inside the room, up to `ENOUGH`."""
    places = [wall.start for wall in room.walls]
    found = {(c.reading.at[0], c.reading.at[1]): c.reading.value for c in checks if c.reading.kind is Kind.DIAGONAL}
    made = [
        Diagonal((a + 1, b + 1), places[a], places[b], read)
        for (a, b), read in found.items()
        if max(a, b) < len(places)
    ]
    if room.closed and len(made) < ENOUGH:
        taken = {frozenset(pair) for pair in found}
        neighbours = {frozenset((k, (k + 1) % len(places))) for k in range(len(places))}
        pairs = [pair for pair in combinations(_inward(room), 2) if frozenset(pair) not in taken | neighbours]
        pairs.sort(key=lambda pair: -math.dist(places[pair[0]], places[pair[1]]))
        clear = (pair for pair in pairs[:TRIED] if _inside(places, *pair))
        made += [Diagonal((a + 1, b + 1), places[a], places[b]) for a, b in islice(clear, ENOUGH - len(made))]
    return tuple(made)


def diagonal_lines(diagonals: Sequence[Diagonal]) -> Iterator[Mark]:
    """The lines that the tape takes."""
    for diagonal in diagonals:
        yield polyline([diagonal.start, diagonal.end], Layer.CENTRE)


def diagonal_labels(room: Room, diagonals: Sequence[Diagonal], scale: float) -> list[Label]:
    """What each diagonal measures, beside its line."""
    return [_label(room, diagonal, scale) for diagonal in diagonals]


def _label(room: Room, diagonal: Diagonal, scale: float) -> Label:
    length = math.dist(diagonal.start, diagonal.end)
    text = f"{diagonal.corners[0]} to {diagonal.corners[1]}: {room.units.written(length)}"
    if diagonal.read is not None:
        text += f" (read {room.units.read(diagonal.read)})"
    spots = [
        spot
        for away in (2.0, 5.0, 9.0)
        for up, anchor in ((1.0, Anchor.BASE), (-1.0, Anchor.TOP), (0.0, Anchor.LEFT), (0.0, Anchor.RIGHT))
        for spot in along(diagonal.start, diagonal.end, PARTS, _aside(anchor, up, away / scale), anchor)
    ]
    return Label(text=text, spots=tuple(spots), target=(diagonal.start, diagonal.end))


def _aside(anchor: Anchor, up: float, away: float) -> Point:
    across = {Anchor.LEFT: away, Anchor.RIGHT: -away}.get(anchor, 0.0)
    return (across, up * away)


def _inward(room: Room) -> list[int]:
    """Internal corners: into them a tape can be held."""
    return [corner.right for corner in room.corners if corner is not None and corner.internal]


def _inside(places: Sequence[Point], first: int, last: int) -> bool:
    """True if the line from corner to corner meets no wall but at its ends: its middle is inside, nothing crosses."""
    start, end = places[first], places[last]
    walls = list(zip(places, (*places[1:], places[0]), strict=True))
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    return _within(middle, walls) and not any(_crossed(start, end, a, b) for a, b in walls)


def _crossed(a: Point, b: Point, c: Point, d: Point) -> bool:
    """True if the stretches a-b and c-d cross; sharing an end is no crossing, one that touches the other is."""
    if {a, b} & {c, d}:
        return False
    return _side(a, b, c) * _side(a, b, d) <= 0 and _side(c, d, a) * _side(c, d, b) <= 0


def _side(a: Point, b: Point, p: Point) -> float:
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def _within(point: Point, walls: Sequence[tuple[Point, Point]]) -> bool:
    """By the even-odd rule."""
    x, y = point
    over = [(a, b) for a, b in walls if (a[1] <= y) != (b[1] <= y)]
    return sum(a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) > x for a, b in over) % 2 == 1
