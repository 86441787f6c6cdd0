"""What is known of a gap: between what, how wide, where, and whether it will do."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from trimwright.clearance.convex import Points
from trimwright.clearance.obstacles import Kind
from trimwright.room import Frame, Room

__all__ = ["Clearance", "Place", "clashes", "place_of", "to_frame"]

MESHED = 0.05
"""What the chords of a piece may take off a gap between true surfaces (mm): one short by less is as wanted."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a point is, told on a wall: station, distance out, height."""

    wall: int
    station: float
    out: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """The least gap between a piece and an obstacle, 0 if they touch; below 0: they lie in each other by as much.

    It is between the point `at` on the piece and the point `to` on the obstacle. Where the obstacle is a piece of
    another trim, `other` is the id of that piece and `other_trim` the name of its trim.
    """

    trim: str
    piece: str
    obstacle: str
    kind: Kind
    wanted: float
    actual: float
    at: Place
    to: Place
    other: str = ""
    other_trim: str = ""

    @property
    def overlap(self) -> bool:
        """True if they lie in each other."""
        return self.actual < 0

    @property
    def ok(self) -> bool:
        """True if the gap is as wide as wanted."""
        return not self.overlap and self.actual >= self.wanted - MESHED


def clashes(found: Iterable[Clearance]) -> tuple[Clearance, ...]:
    """Those that do not have the gap wanted."""
    return tuple(c for c in found if not c.ok)


def to_frame(frame: Frame, points: Points) -> Points:
    """Room coordinates as (station, out, height) of a straight frame; lengths stay, handedness does not."""
    (x, y), (ax, ay) = frame.origin, frame.along
    dx, dy = points[:, 0] - x, points[:, 1] - y
    return np.column_stack([dx * ax + dy * ay, dx * ay - dy * ax, points[:, 2]])


def place_of(room: Room, wall: int, frame: Frame, point: Points) -> Place:
    """Where a point (station, out, height) of a straight frame lies on a wall."""
    station, out = room.walls[wall].frame.locate(frame.plan(float(point[0]), float(point[1])))
    return Place(wall, station, out, float(point[2]))
