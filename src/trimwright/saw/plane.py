"""The plane on which an end of a piece lies, in the frame of the piece: (station, out, height)."""

from __future__ import annotations

from typing import NamedTuple

from trimwright.profile.outline import Point
from trimwright.setout.piece import End, Side

__all__ = ["EndPlane", "opposite", "plane_of"]


class EndPlane(NamedTuple):
    """station = `station` + `per_out` * out + `per_height` * height; a level trim has nothing per height."""

    station: float
    per_out: float = 0.0
    per_height: float = 0.0

    def at(self, point: Point) -> float:
        """Station of the plane at a point (out, height) of the section."""
        return self.station + self.per_out * point[0] + self.per_height * point[1]

    @property
    def normal(self) -> tuple[float, float, float]:
        """Normal that points right along the wall, not of unit length."""
        return (1.0, -self.per_out, -self.per_height)


def plane_of(end: End) -> EndPlane:
    """The plane of an end; of a cope, that of the mitre which is cut first."""
    return EndPlane(end.station, end.slope)


def opposite(side: Side) -> Side:
    """The other side."""
    return Side.LEFT if side is Side.RIGHT else Side.RIGHT
