"""A closed outline of a drawing as walls.

Walls from a drawing are what somebody meant to build; the room file says that no tape has checked them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from trimwright.errors import RoomFileError
from trimwright.measuring.notes import CornerNote, WallNote
from trimwright.room import PlanPoint
from trimwright.survey.closing import closing_gap

__all__ = ["Drawing", "Outline", "drawn_walls"]

STRAIGHT = 0.5
"""A corner that leaves the line between its neighbours by less than this (mm) is none."""

SAME = 0.05
"""Corners nearer than this (mm) are one."""

CLOSES = 1.0
"""Angles are written with as many decimals, one at least, as it takes to close the room to this (mm)."""

SMALLEST, LARGEST = 300.0, 100_000.0
"""A room is no narrower and no wider than this (mm); else the unit of the drawing is not what was said."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed polyline in drawing units; `curved` names its first arc, if it has one."""

    layer: str
    points: tuple[PlanPoint, ...]
    curved: str = ""

    @property
    def area(self) -> float:
        """Signed area in drawing units squared, anticlockwise positive (shoelace formula)."""
        turned = (*self.points[1:], self.points[0])
        return sum(x * v - u * y for (x, y), (u, v) in zip(self.points, turned, strict=True)) / 2


@dataclass(frozen=True, slots=True)
class Drawing:
    """The closed outlines of a drawing, largest first, and mm per drawing unit if the drawing says so."""

    path: Path
    outlines: tuple[Outline, ...]
    scale: float | None


def drawn_walls(outline: Outline, scale: float) -> tuple[WallNote, ...]:
    """The outline as walls, clockwise, the first one running right from the corner at the top left.

    `scale` is mm per drawing unit. Lengths are written to 0.1 mm, angles to 0.1 degree (finer only where the room
    would not close). Raises RoomFileError for arcs, which no straight wall can follow, and for sizes no room has.
    """
    if outline.curved:
        raise RoomFileError(
            f"the outline on layer '{outline.layer}' has an arc {outline.curved}; trims run along straight walls:"
            " draw it as the straight pieces you will build"
        )
    points = [(x * scale, y * scale) for x, y in outline.points]
    if outline.area > 0:
        points.reverse()
    points = _from_top_left(_corners(points))
    _check_size(points)
    return _walls(points)


def _corners(points: list[PlanPoint]) -> list[PlanPoint]:
    """Without doubled points and those in the middle of a straight wall."""
    left = [p for k, p in enumerate(points) if math.dist(p, points[k - 1]) > SAME]
    k = 0
    while k < len(left) and len(left) > 2:
        if _straight(left[k - 1], left[k], left[(k + 1) % len(left)]):
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


def _from_top_left(points: list[PlanPoint]) -> list[PlanPoint]:
    """The same corners, beginning with the one nearest the upper left."""
    corner = (min(x for x, _ in points), max(y for _, y in points))
    first = min(range(len(points)), key=lambda k: math.dist(points[k], corner))
    return points[first:] + points[:first]


def _check_size(points: Sequence[PlanPoint]) -> None:
    sides = [max(p[axis] for p in points) - min(p[axis] for p in points) for axis in (0, 1)]
    if len(points) < 3 or min(sides) < SMALLEST or max(sides) > LARGEST:
        raise RoomFileError(
            f"the room would be {sides[0] / 1000:.3g} m by {sides[1] / 1000:.3g} m;"
            " if the drawing is in another unit than it says, give it with --unit"
        )


def _walls(points: Sequence[PlanPoint]) -> tuple[WallNote, ...]:
    """Walls between corners in order, angles as fine as it takes."""
    count = len(points)
    lengths = [round(math.dist(points[k], points[(k + 1) % count]), 1) for k in range(count)]
    exact = [_angle(points[k], points[(k + 1) % count], points[(k + 2) % count]) for k in range(count)]
    for decimals in range(1, 5):
        angles = [round(angle, decimals) for angle in exact]
        if closing_gap(lengths, angles).size <= CLOSES:
            break
    return tuple(WallNote(_whole(size), _corner(angle, decimals)) for size, angle in zip(lengths, angles, strict=True))


def _angle(a: PlanPoint, b: PlanPoint, c: PlanPoint) -> float:
    """The angle in the room at b, coming from a and going on to c clockwise."""
    (ux, uy), (vx, vy) = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    return 180 - math.degrees(math.atan2(uy * vx - ux * vy, ux * vx + uy * vy))


def _corner(angle: float, decimals: int) -> CornerNote:
    return CornerNote(angle > 180, _whole(round(360 - angle if angle > 180 else angle, decimals)))


def _whole(value: float) -> float:
    return int(value) if value == int(value) else value
