"""Does a room close? The walk round its walls as read, the gap it leaves, and the compass rule that shares it out.

Light on purpose (no numpy): every reader of a room file passes here. Angles are measured in the room, corner i
of these lists being at the right-hand end of wall i; None stands for a corner that was not measured.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from trimwright.room import PlanPoint

__all__ = ["SQUARE", "ClosingGap", "closing_gap", "on_first_wall", "shared_out", "walk"]

SQUARE = 90.0
"""What a corner is taken for when nobody measured it."""


@dataclass(frozen=True, slots=True)
class ClosingGap:
    """From the first corner to where the walk ended: (dx, dy) in plan, its size, its direction in words.

    `angle_error` is the sum of the corner angles less (n - 2) * 180, what the readings turn too much or too little.
    """

    dx: float
    dy: float
    size: float
    direction: str
    angle_error: float


def walk(lengths: Sequence[float], angles: Sequence[float | None]) -> tuple[PlanPoint, ...]:
    """Corner points from (0, 0) along +x, wall by wall; one more than there are walls.

    `angles[i]` is the corner at the right end of wall i and turns the heading clockwise by 180 - angle. The last
    wall's is not needed, and a missing one is taken as square.
    """
    x = y = heading = 0.0
    points: list[PlanPoint] = [(x, y)]
    for i, length in enumerate(lengths):
        x += length * math.cos(math.radians(heading))
        y += length * math.sin(math.radians(heading))
        points.append((x, y))
        angle = angles[i] if i < len(angles) else None
        heading -= 180 - (SQUARE if angle is None else angle)
    return tuple(points)


def closing_gap(lengths: Sequence[float], angles: Sequence[float | None]) -> ClosingGap:
    """How far, and which way, the walk round a closed room misses the corner it began at."""
    (x0, y0), *_, (x1, y1) = walk(lengths, angles)
    dx, dy = x1 - x0, y1 - y0
    total = sum(SQUARE if a is None else a for a in angles)
    return ClosingGap(dx, dy, math.hypot(dx, dy), _direction(dx, dy), total - 180 * (len(lengths) - 2))


def _direction(dx: float, dy: float) -> str:
    """The gap as one sees it facing wall 1: along it to the left or right, and into the room or behind the wall."""
    parts = [
        f"{abs(amount):.1f} mm {words[int(amount > 0)]}"
        for amount, words in (
            (dx, ("to the left along wall 1", "to the right along wall 1")),
            (dy, ("into the room", "behind wall 1")),
        )
        if abs(amount) >= 0.05
    ]
    return " and ".join(parts) or "none"


def shared_out(points: Sequence[PlanPoint], end: PlanPoint | None = None) -> tuple[PlanPoint, ...]:
    """The walk with its gap shared among the walls by the compass (Bowditch) rule, each in proportion to its length.

    `end` is where the walk should have ended: its first point unless told. The correction of each wall is
    -gap * length / perimeter, so a corner takes the share of all walls before it. The last point returned is `end`.
    """
    end = points[0] if end is None else end
    gap_x, gap_y = points[-1][0] - end[0], points[-1][1] - end[1]
    so_far = [0.0]
    for a, b in pairwise(points):
        so_far.append(so_far[-1] + math.dist(a, b))
    if so_far[-1] == 0:
        return tuple(points)
    shares = [s / so_far[-1] for s in so_far]
    return tuple((x - gap_x * s, y - gap_y * s) for (x, y), s in zip(points, shares, strict=True))


def on_first_wall(points: Sequence[PlanPoint]) -> tuple[PlanPoint, ...]:
    """The same shape moved and turned so that the first wall starts at (0, 0) along +x."""
    (x0, y0), (x1, y1), *rest = points
    length = math.hypot(x1 - x0, y1 - y0)
    c, s = (x1 - x0) / length, (y1 - y0) / length
    turned = (((x - x0) * c + (y - y0) * s, (y - y0) * c - (x - x0) * s) for x, y in rest)
    return ((0.0, 0.0), (length, 0.0), *turned)
