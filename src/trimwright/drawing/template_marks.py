"""What full-size templates have in common: bodies of wall, broken-off pieces, check bars."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from trimwright.drawing.arrises import plan_lines
from trimwright.drawing.marks import Anchor, Hatch, Layer, Mark, Path, Text, polyline
from trimwright.profile.outline import Line, Point
from trimwright.setout.piece import Joint, Piece, Side

__all__ = ["ACROSS", "BAR", "WALL", "Place", "body_marks", "check_bars", "far_station", "wall_strip"]

KEEP = 75.0
"""A piece is broken off this far beyond its joint if the paper allows."""

LEAST = 25.0
"""And never nearer than this."""

ACROSS = 164.0
"""What a template may measure across so that with its margins and check bar it fits A4, and its least width."""

WALL = 6.0
"""Thickness of wall drawn beside a piece."""

LEAST_ACROSS = 30.0
"""Hatching crosses the face of a wall at no less than this, degrees."""

CHORDS = 16
"""Chords for the hand's breadth of a curve on a template: over 100 mm of a radius of 500 they are 0.01 off."""

BAR = 100.0
"""Length of the bars to measure after printing."""

Place = Callable[[float, float], Point]
"""From (station, out) of a piece to the template."""


def far_station(piece: Piece, side: Side, legs: int = 1) -> tuple[float, bool]:
    """Where a piece is broken off, seen from its joint on one side, and whether it ends there anyhow.

    `legs`: how many of the two pieces lie along the width of the sheet, one at a corner, two in line.
    """
    edges, end = piece.trim.edges, piece.end(side)
    keep = max(LEAST, min(KEEP, (ACROSS - WALL - edges.front) / legs))
    inward = 1.0 if side is Side.LEFT else -1.0
    stations = [end.at(edges.back), end.at(edges.front)]
    if end.joint is Joint.SQUARE and end.corner is not None and end.corner < 180:
        # The mate lies over the end as far as the mitre would reach.
        stations.append(end.station + inward * edges.front / math.tan(math.radians(end.corner / 2)))
    low, high = piece.extent
    if side is Side.RIGHT:
        station = min(stations) - keep
        return (low, True) if station <= low else (station, False)
    station = max(stations) + keep
    return (high, True) if station >= high else (station, False)


def body_marks(piece: Piece, side: Side, place: Place, legs: int = 1) -> Iterator[Mark]:
    """Back, front and arrises of a piece from one end to where it is broken off, seen from above."""
    end, other = piece.end(side), piece.end(Side.LEFT if side is Side.RIGHT else Side.RIGHT)
    far, whole = far_station(piece, side, legs)
    for out, seen in plan_lines(piece.trim.outline):
        stop = other.at(out) if whole else far
        line = _run(place, end.at(out), stop, out, curved=piece.bend is not None)
        yield polyline(line, Layer.TRIM if seen else Layer.HIDDEN)
    back, _, front, _ = piece.trim.edges
    if whole:
        yield polyline([place(other.at(back), back), place(other.at(front), front)], Layer.TRIM)
        return
    middle = (back + front) / 2
    zigzag = [(far, back - 4), (far, middle - 4), (far + 3, middle - 2), (far - 3, middle + 2), (far, middle + 4)]
    yield polyline([place(*p) for p in (*zigzag, (far, front + 4))], Layer.DIMENSION)


def wall_strip(
    place: Place, start: float, end: float, past: tuple[float, float], curved: bool = False
) -> Iterator[Mark]:
    """The face of a wall between two stations and a hatched strip behind it; `past`: the strip's own two ends."""
    face, rear = _run(place, start, end, 0.0, curved), _run(place, *past[::-1], -WALL, curved)
    yield polyline(face, Layer.WALL)
    yield Hatch(polyline([*face, *rear], Layer.WALL, closed=True).segments, angle=_across(face), spacing=2.0)


def _across(face: list[Point]) -> float:
    """45 degrees, unless hatching would then run along the wall instead of across it."""
    (x, y), (u, v) = face[0], face[-1]
    along = math.degrees(math.atan2(v - y, u - x))
    apart = abs((45.0 - along + 90.0) % 180.0 - 90.0)
    return 45.0 if apart >= LEAST_ACROSS else along + 45.0


def _run(place: Place, start: float, stop: float, out: float, curved: bool) -> list[Point]:
    """A line along a piece or a wall; a curved one in so many chords that paper shows none."""
    parts = CHORDS if curved else 1
    return [place(start + (stop - start) * k / parts, out) for k in range(parts + 1)]


def check_bars(corner: Point) -> tuple[Mark, ...]:
    """Two bars of 100 mm from a point, one to the right and one upwards, with ticks at both ends and the middle."""
    x, y = corner
    marks: list[Mark] = [
        Path((Line((x, y), (x + BAR, y)),), Layer.CHECK),
        Path((Line((x, y), (x, y + BAR)),), Layer.CHECK),
    ]
    for part, tick in ((0.0, 3.0), (0.5, 1.5), (1.0, 3.0)):
        at = BAR * part
        marks.append(Path((Line((x + at, y - tick / 2), (x + at, y + tick / 2)),), Layer.CHECK))
        marks.append(Path((Line((x - tick / 2, y + at), (x + tick / 2, y + at)),), Layer.CHECK))
    words = f"{BAR:.0f} mm"
    marks.append(Text((x + 0.75 * BAR, y + 1.2), words, 2.5, Layer.CHECK, Anchor.BASE))
    marks.append(Text((x - 1.2, y + 0.75 * BAR), words, 2.5, Layer.CHECK, Anchor.BASE, angle=90.0))
    return tuple(marks)
