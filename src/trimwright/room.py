"""The room: walls, corners, openings, pipes and fittings, in plan and on each wall.

Plan is seen from above, x right, y up. Walls run clockwise, so the room lies on the right of each. On a wall a
place is (station, out, height): along from the left corner, out from the wall face, up from the floor datum.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trimwright.units import Units

__all__ = ["Corner", "Fitting", "Frame", "Opening", "Pipe", "PlanPoint", "Room", "Wall"]

PlanPoint = tuple[float, float]
WallPoint = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Frame:
    """A vertical plane seen from the room: `origin` at station 0 and unit `along` towards the right."""

    origin: PlanPoint
    along: PlanPoint

    @property
    def outward(self) -> PlanPoint:
        """Unit vector from the wall face into the room (to the right of `along`)."""
        return (self.along[1], -self.along[0])

    def plan(self, station: float, out: float = 0.0) -> PlanPoint:
        """Plan point at a station and a distance out."""
        (x, y), (ax, ay), (nx, ny) = self.origin, self.along, self.outward
        return (x + station * ax + out * nx, y + station * ay + out * ny)

    def room_point(self, station: float, out: float, height: float) -> tuple[float, float, float]:
        """The same in three dimensions: x, y of the plan and z the height."""
        x, y = self.plan(station, out)
        return (x, y, height)

    def locate(self, point: PlanPoint) -> PlanPoint:
        """(station, out) of a plan point."""
        dx, dy = point[0] - self.origin[0], point[1] - self.origin[1]
        (ax, ay), (nx, ny) = self.along, self.outward
        return (dx * ax + dy * ay, dx * nx + dy * ny)


@dataclass(frozen=True, slots=True)
class Wall:
    """One straight wall: `index` counts from 0 clockwise; `left` and `right` are indices of its corners."""

    index: int
    name: str
    length: float
    frame: Frame

    @property
    def start(self) -> PlanPoint:
        """Plan point of its left end."""
        return self.frame.origin

    @property
    def end(self) -> PlanPoint:
        """Plan point of its right end."""
        return self.frame.plan(self.length)


@dataclass(frozen=True, slots=True)
class Corner:
    """Where wall `left` ends and wall `right` begins; `angle` is measured in the room, internal below 180.

    `angle_sd` is its standard deviation, if a survey gave one.
    """

    left: int
    right: int
    angle: float
    plan: PlanPoint
    angle_sd: float | None = None

    @property
    def internal(self) -> bool:
        """True for a corner that points away from the room."""
        return self.angle < 180

    @property
    def cot(self) -> float:
        """Cotangent of the corner angle."""
        return 1 / math.tan(math.radians(self.angle)) if abs(self.angle - 90) > 1e-12 else 0.0

    @property
    def half_cot(self) -> float:
        """Cotangent of half the corner angle: station lost on each side per mm out; negative if external."""
        return 1 / math.tan(math.radians(self.angle / 2))


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A door, window or plain opening; stations and heights of its clear edges, `architrave` the casing width."""

    wall: int
    kind: str
    station: float
    width: float
    sill: float
    head: float
    architrave: float = 0.0
    name: str = ""

    @property
    def left(self) -> float:
        """Station of the casing's left edge."""
        return self.station - self.architrave

    @property
    def right(self) -> float:
        """Station of the casing's right edge."""
        return self.station + self.width + self.architrave

    @property
    def bottom(self) -> float:
        """Height of the casing's lower edge: the floor for a door, below the sill for a window."""
        return max(0.0, self.sill - self.architrave) if self.sill > 0 else self.sill

    @property
    def top(self) -> float:
        """Height of the casing's upper edge."""
        return self.head + self.architrave


@dataclass(frozen=True, slots=True, kw_only=True)
class Pipe:
    """A straight pipe near a wall, its axis from `start` to `end` as (station, out, height)."""

    wall: int
    name: str
    start: WallPoint
    end: WallPoint
    diameter: float
    temperature: float | None = None

    @property
    def vertical(self) -> bool:
        """True if it keeps its station and its distance out."""
        return self.start[:2] == self.end[:2]

    @property
    def radius(self) -> float:
        """Half the diameter."""
        return self.diameter / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """A box in the way on a wall: stations left to right, heights bottom to top, from the wall face `out`."""

    wall: int
    name: str
    left: float
    right: float
    bottom: float
    top: float
    out: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A measured room whose walls, corners and openings agree with each other.

    `corners[k]` is the left end of wall k. In an open run the first corner and the right end of the last wall
    are free ends: `corner_left` and `corner_right` give None there. `ceilings[k]` is the ceiling height at
    corner k (an open run has one more, for the last free end); `between[k]` holds further points of the ceiling
    along wall k as (station, height), left to right. `units`: how whoever measured it wants lengths written.
    """

    name: str
    closed: bool
    walls: tuple[Wall, ...]
    corners: tuple[Corner | None, ...]
    ceilings: tuple[float, ...]
    between: tuple[tuple[tuple[float, float], ...], ...] = ()
    openings: tuple[Opening, ...] = ()
    pipes: tuple[Pipe, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    units: Units = Units.MM

    @property
    def ceiling(self) -> float:
        """The lowest ceiling height: what a level trim at the ceiling is set to."""
        return min([*self.ceilings, *(height for points in self.between for _, height in points)])

    def ceiling_ends(self, wall: int) -> tuple[float, float]:
        """Ceiling heights at the left and the right end of a wall."""
        return self.ceilings[wall], self.ceilings[(wall + 1) % len(self.ceilings)]

    def corner_left(self, wall: int) -> Corner | None:
        """The corner at the left end of a wall, or None at a free end."""
        return self.corners[wall]

    def corner_right(self, wall: int) -> Corner | None:
        """The corner at the right end of a wall, or None at a free end."""
        last = len(self.walls) - 1
        if wall == last:
            return self.corners[0] if self.closed else None
        return self.corners[wall + 1]

    @property
    def plan(self) -> tuple[PlanPoint, ...]:
        """Corner points in order; an open run ends with its free end."""
        points = tuple(wall.start for wall in self.walls)
        return points if self.closed else (*points, self.walls[-1].end)
