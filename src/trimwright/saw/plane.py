"""The plane on which an end of a piece lies, in the frame of the piece: (station, out, height)."""

from __future__ import annotations

from typing import NamedTuple

from trimwright.profile.outline import Point
from trimwright.setout.piece import Piece, Side

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


def plane_of(piece: Piece, side: Side) -> EndPlane:
    """The plane of an end in the frame of the piece as it lies on the saw; of a cope, that of its first mitre.

    A piece on a slope t keeps its ends plumb. At s along the slope and v above the line of its pivot it lies at
    station s cos t - v sin t, so that station = a + b * out becomes s = (a + b * out) / cos t + v tan t: every one of
    its cuts leans, square ends too. A bent piece is cut straight, before it is bent.
    """
    end, incline = piece.end(side), piece.incline
    if incline is None:
        return EndPlane(end.station, end.slope)
    stretch, rise = incline.stretch, incline.rise
    return EndPlane(end.station * stretch - rise * incline.pivot, end.slope * stretch, rise)


def opposite(side: Side) -> Side:
    """The other side."""
    return Side.LEFT if side is Side.RIGHT else Side.RIGHT
