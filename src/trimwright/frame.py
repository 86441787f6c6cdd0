"""Where a place on a wall lies in plan: along a straight face, or along one that is an arc.

A place is (station, out): along the face from its left end, and square off it into the room. Both kinds of frame
answer the same questions, so whatever asks only those works on straight and on curved walls alike.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["AnyFrame", "Bend", "Frame", "PlanPoint", "corner_angle"]

PlanPoint = tuple[float, float]


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
        return (*self.plan(station, out), height)

    def locate(self, point: PlanPoint) -> PlanPoint:
        """(station, out) of a plan point."""
        dx, dy = point[0] - self.origin[0], point[1] - self.origin[1]
        (ax, ay), (nx, ny) = self.along, self.outward
        return (dx * ax + dy * ay, dx * nx + dy * ny)

    def scale(self, out: float) -> float:
        """Length along the piece for each mm of station, at a distance out: always 1 on a straight face."""
        return 1.0

    def tangent(self, station: float) -> Frame:
        """The straight frame that begins at a station and runs on from there."""
        return Frame(self.plan(station), self.along)


@dataclass(frozen=True, slots=True)
class Bend:
    """A face that is an arc in plan: stations are measured along it, `out` along its radii.

    `start` is the direction from `centre` to station 0, radians anticlockwise from x. `inward` is true for a face
    that bulges into the room; one that bulges away (a bow window seen from inside) has its centre before it.
    """

    centre: PlanPoint
    radius: float
    start: float
    inward: bool

    @classmethod
    def between(cls, start: PlanPoint, end: PlanPoint, radius: float, inward: bool) -> Bend:
        """The arc of less than a half turn from `start` to `end`, the room on its right.

        Its centre lies sqrt(r² - (c/2)²) off the middle of the chord c, on the side away from the bulge. Raises
        ValueError if the radius is less than half the chord.
        """
        (x0, y0), (x1, y1) = start, end
        half = math.dist(start, end) / 2
        if half > radius:
            raise ValueError(f"a radius of {radius:g} cannot span {2 * half:g}")
        away = math.sqrt(radius * radius - half * half) * (-1 if inward else 1) / (2 * half)
        centre = ((x0 + x1) / 2 + (y1 - y0) * away, (y0 + y1) / 2 - (x1 - x0) * away)
        return cls(centre, radius, math.atan2(y0 - centre[1], x0 - centre[0]), inward)

    @property
    def side(self) -> int:
        """1 if `out` leads away from the centre and stations run anticlockwise round it, -1 the other way."""
        return 1 if self.inward else -1

    def radius_at(self, out: float) -> float:
        """Radius of the line at a distance out."""
        return self.radius + self.side * out

    def direction(self, station: float) -> float:
        """Direction from the centre to a station, radians."""
        return self.start + self.side * station / self.radius

    def plan(self, station: float, out: float = 0.0) -> PlanPoint:
        """Plan point at a station along the face and a distance out."""
        angle, reach = self.direction(station), self.radius_at(out)
        return (self.centre[0] + reach * math.cos(angle), self.centre[1] + reach * math.sin(angle))

    def room_point(self, station: float, out: float, height: float) -> tuple[float, float, float]:
        """The same in three dimensions: x, y of the plan and z the height."""
        return (*self.plan(station, out), height)

    def locate(self, point: PlanPoint) -> PlanPoint:
        """(station, out) of a plan point, the station within half a turn of the left end."""
        dx, dy = point[0] - self.centre[0], point[1] - self.centre[1]
        turn = math.remainder(math.atan2(dy, dx) - self.start, math.tau)
        return (self.side * turn * self.radius, self.side * (math.hypot(dx, dy) - self.radius))

    def scale(self, out: float) -> float:
        """Length along the piece for each mm of station, at a distance out: radius there / radius of the face."""
        return self.radius_at(out) / self.radius

    def tangent(self, station: float) -> Frame:
        """The straight frame that touches the face at a station and begins there."""
        angle = self.direction(station)
        return Frame(self.plan(station), (-self.side * math.sin(angle), self.side * math.cos(angle)))


AnyFrame = Frame | Bend
"""A straight face or a curved one."""


def corner_angle(before: Frame, after: Frame) -> float:
    """Angle in the room, degrees, where a face along `before` ends and one along `after` begins."""
    (ax, ay), (bx, by) = before.along, after.along
    turn_right = math.degrees(math.atan2(ay * bx - ax * by, ax * bx + ay * by))
    return 180 - turn_right
