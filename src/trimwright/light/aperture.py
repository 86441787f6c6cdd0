"""Where a channel opens: the mouth its light leaves by, and the bed on which the strip is stuck."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from trimwright.profile.outline import Outline, Point
from trimwright.tolerance import TRACE

__all__ = ["Aperture", "aperture"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Aperture:
    """The mouth of a channel in its section, from `start` to `end` with the inside on the left, and the strip's bed.

    `closed` is the section with a diffuser across the mouth, anticlockwise, first point `end`, last point `start`: the
    edge between these two is what shines.
    """

    start: Point
    end: Point
    bed: Point
    bed_width: float
    closed: tuple[Point, ...]

    @property
    def width(self) -> float:
        """Width of the mouth, mm."""
        return math.dist(self.start, self.end)

    @property
    def facing(self) -> Point:
        """Unit direction (out, up) that the mouth faces."""
        (x0, y0), (x1, y1) = self.start, self.end
        return ((y1 - y0) / self.width, (x0 - x1) / self.width)

    @property
    def words(self) -> str:
        """The direction in a word or two: 'up', 'down and out'."""
        out, up = self.facing
        said = [word for part, word in ((up, "up"), (-up, "down"), (out, "out"), (-out, "to the wall")) if part > 0.26]
        return " and ".join(said)


def aperture(outline: Outline, chord: float = TRACE) -> Aperture | None:
    """The widest mouth of a section: between two neighbouring points of its hull that its outline dips between.

    None for a section with no hollow open to the outside.
    """
    points = outline.points(chord)
    on = [k for k, point in enumerate(points) if _on_hull(point, points)]
    gaps = [(a, b) for a, b in pairwise([*on, on[0] + len(points)]) if b - a > 1] if on else []
    if not gaps:
        return None
    a, b = max(gaps, key=lambda gap: math.dist(points[gap[0]], points[gap[1] % len(points)]))
    pocket = [points[k % len(points)] for k in range(a, b + 1)]
    start, end = pocket[0], pocket[-1]
    rest = [points[k % len(points)] for k in range(b, a + len(points) + 1)]
    bed, width = _bed(pocket, start, end)
    return Aperture(start=start, end=end, bed=bed, bed_width=width, closed=tuple(rest))


def _on_hull(point: Point, points: list[Point]) -> bool:
    """True if some straight line through a point has the whole section on one side."""
    away = sorted(math.atan2(y - point[1], x - point[0]) for x, y in points if math.dist((x, y), point) > TRACE / 10)
    gaps = [b - a for a, b in pairwise([*away, away[0] + math.tau])]
    return max(gaps) > math.pi - 1e-4


def _bed(pocket: list[Point], start: Point, end: Point) -> tuple[Point, float]:
    """Middle and width of the longest edge of a hollow that looks at its mouth."""
    width = math.dist(start, end)
    mouth = ((end[0] - start[0]) / width, (end[1] - start[1]) / width)
    best = max(pairwise(pocket), key=lambda e: (e[1][0] - e[0][0]) * mouth[0] + (e[1][1] - e[0][1]) * mouth[1])
    (x0, y0), (x1, y1) = best
    return ((x0 + x1) / 2, (y0 + y1) / 2), math.dist(*best)
