"""One edge of a drawing from which an outline is traced, before its true size is known."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from trimwright.profile.outline import Point, Segment

__all__ = ["Curve", "Drawn"]


@dataclass(frozen=True, slots=True)
class Curve:
    """A spline, ellipse or Bézier curve as points close along it; simplified once its true size is known."""

    points: tuple[Point, ...]

    @property
    def start(self) -> Point:
        """First point."""
        return self.points[0]

    @property
    def end(self) -> Point:
        """Last point."""
        return self.points[-1]

    @property
    def length(self) -> float:
        """Length along the points."""
        return sum(math.dist(a, b) for a, b in pairwise(self.points))

    def reversed(self) -> Curve:
        """The same curve, run the other way."""
        return Curve(self.points[::-1])

    def extremes(self) -> tuple[Point, ...]:
        """Points among which its extents are found."""
        return self.points


Drawn = Segment | Curve
"""One edge in a drawing, in the drawing's units, y up."""
