"""A closed outline of a drawing as walls.

Walls from a drawing are what somebody meant to build; the room file says that no tape has checked them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from trimwright.errors import RoomFileError
from trimwright.measuring.notes import CornerNote, WallNote
from trimwright.room import PlanPoint
from trimwright.survey.closing import closing_gap

__all__ = ["Drawing", "Outline", "Side", "drawn_walls"]

STRAIGHT = 0.5
"""A corner, or the middle of an arc, that leaves a straight line by less than this (mm) is part of it."""

SAME = 0.05
"""Corners nearer than this (mm) are one."""

CLOSES = 1.0
"""Angles are written with as many decimals, one at least, as it takes to close the room to this (mm)."""

SMALLEST, LARGEST = 500.0, 100_000.0
"""A room is no narrower and no wider than this (mm); else the unit of the drawing is not what was said."""


class Side(NamedTuple):
    """A corner and the side that begins there; `bulge` is the tangent of a quarter of its arc's angle (DXF).

    Positive: the arc runs anticlockwise and bows to the right of the line to the next corner.
    """

    start: PlanPoint
    bulge: float = 0.0


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed polyline in drawing units."""

    layer: str
    sides: tuple[Side, ...]

    @property
    def area(self) -> float:
        """Signed area of the corners in drawing units squared, anticlockwise positive (shoelace formula)."""
        points = [side.start for side in self.sides]
        return sum(x * v - u * y for (x, y), (u, v) in zip(points, [*points[1:], points[0]], strict=True)) / 2


@dataclass(frozen=True, slots=True)
class Drawing:
    """The closed outlines of a drawing, largest first, and mm per drawing unit if the drawing says so."""

    path: Path
    outlines: tuple[Outline, ...]
    scale: float | None


def drawn_walls(outline: Outline, scale: float) -> tuple[WallNote, ...]:
    """The outline as walls, clockwise, the first one running right from the corner at the top left.

    `scale` is mm per drawing unit. Lengths are written to 0.1 mm, angles to 0.1 degree (finer only where the room
    would not close). Raises RoomFileError for sizes no room has.
    """
    sides = [Side((x * scale, y * scale), bulge) for (x, y), bulge in outline.sides]
    sides = _from_top_left(_corners(_turned_round(sides) if outline.area > 0 else sides))
    _check_size([side.start for side in sides])
    return _walls(sides)


def _turned_round(sides: Sequence[Side]) -> list[Side]:
    """The same outline walked the other way: a side begins where it ended, and bows to the other hand."""
    count = len(sides)
    return [Side(sides[(k + 1) % count].start, -sides[k].bulge) for k in reversed(range(count))]


def _corners(sides: Sequence[Side]) -> list[Side]:
    """Without doubled corners and those in the middle of a straight wall; arcs too flat to see become straight."""
    count = len(sides)
    spans = [math.dist(sides[k].start, sides[(k + 1) % count].start) for k in range(count)]
    left = [
        side if abs(side.bulge) * span / 2 >= STRAIGHT else Side(side.start)
        for side, span in zip(sides, spans, strict=True)
        if span > SAME
    ]
    k = 0
    while k < len(left) and len(left) > 2:
        before, here, after = left[k - 1], left[k], left[(k + 1) % len(left)]
        if not before.bulge and not here.bulge and _straight(before.start, here.start, after.start):
            del left[k]
            k = max(0, k - 1)
        else:
            k += 1
    return left


def _straight(a: PlanPoint, b: PlanPoint, c: PlanPoint) -> bool:
    """True if the way from a to c runs on through b."""
    (ax, ay), (bx, by), (cx, cy) = a, b, c
    whole = math.dist(a, c)
    off = abs((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / whole if whole else math.inf
    return off < STRAIGHT and (bx - ax) * (cx - bx) + (by - ay) * (cy - by) > 0


def _from_top_left(sides: list[Side]) -> list[Side]:
    """The same corners, beginning with the one nearest the upper left."""
    points = [side.start for side in sides]
    corner = (min(x for x, _ in points), max(y for _, y in points))
    first = min(range(len(points)), key=lambda k: math.dist(points[k], corner))
    return sides[first:] + sides[:first]


def _check_size(points: Sequence[PlanPoint]) -> None:
    sides = [max(p[axis] for p in points) - min(p[axis] for p in points) for axis in (0, 1)]
    if len(points) < 3 or min(sides) < SMALLEST or max(sides) > LARGEST:
        raise RoomFileError(
            f"the room would be {sides[0] / 1000:.3g} m by {sides[1] / 1000:.3g} m:"
            " the drawing must be in another unit (--unit)"
        )


def _walls(sides: Sequence[Side]) -> tuple[WallNote, ...]:
    """Walls between corners in order, angles as fine as it takes; of a curved wall they are those of its chord."""
    count = len(sides)
    ends = [[sides[(k + step) % count].start for step in range(3)] for k in range(count)]
    lengths = [round(math.dist(a, b), 1) for a, b, _ in ends]
    exact = [_angle(a, b, c) for a, b, c in ends]
    for decimals in range(1, 5):
        angles = [round(angle, decimals) for angle in exact]
        if closing_gap(lengths, angles).size <= CLOSES:
            break
    return tuple(
        WallNote(_whole(size), _corner(angle, decimals), radius=_radius(size, side.bulge), inward=side.bulge > 0)
        for side, size, angle in zip(sides, lengths, angles, strict=True)
    )


def _radius(chord: float, bulge: float) -> float | None:
    """Of the arc over a chord whose bulge is t, the tangent of a quarter of its angle: c (1 + t²) / 4 t.

    From c = 2 r sin(2 q) and sin(2 q) = 2 t / (1 + t²), q being the quarter angle.
    """
    return _whole(round(chord * (1 + bulge**2) / (4 * abs(bulge)), 1)) if bulge else None


def _angle(a: PlanPoint, b: PlanPoint, c: PlanPoint) -> float:
    """The angle in the room at b, coming from a and going on to c clockwise."""
    (ux, uy), (vx, vy) = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    return 180 - math.degrees(math.atan2(uy * vx - ux * vy, ux * vx + uy * vy))


def _corner(angle: float, decimals: int) -> CornerNote:
    return CornerNote(angle > 180, _whole(round(360 - angle if angle > 180 else angle, decimals)))


def _whole(value: float) -> float:
    return int(value) if value == int(value) else value
