"""A closed outline of straight lines and true arcs, with exact area, centroid, length and extents.

Points are (out, height): out from the wall to the right, height up. An `Outline` runs anticlockwise in that
frame, so that the material lies on its left. Arcs stay arcs until a pen asks for chords.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple, Protocol

from trimwright.tolerance import CHORD, COINCIDENT

__all__ = ["Arc", "Bounds", "Line", "Outline", "Pen", "Point", "Segment", "arc_through", "chord_points"]

Point = tuple[float, float]
TURN = 2 * math.pi
QUARTERS = ((0.0, 1, 0), (math.pi / 2, 0, 1), (math.pi, -1, 0), (3 * math.pi / 2, 0, -1))
"""Directions of the quarter points of a circle: angle, and where they lie on the unit circle."""


class Bounds(NamedTuple):
    """The four edges of a section: least and greatest out, least and greatest height."""

    back: float
    bottom: float
    front: float
    top: float


class Pen(Protocol):
    """Whatever an outline can draw itself on: a kernel wire, an SVG path, a polyline."""

    def move_to(self, point: Point) -> None: ...  # noqa: D102
    def line_to(self, point: Point) -> None: ...  # noqa: D102
    def arc_to(self, end: Point, centre: Point, clockwise: bool) -> None: ...  # noqa: D102
    def close(self) -> None: ...  # noqa: D102


@dataclass(frozen=True, slots=True)
class Line:
    """A straight edge from `start` to `end`."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """Length in mm."""
        return math.dist(self.start, self.end)

    def moved(self, out: float, height: float) -> Line:
        """The same edge, moved."""
        return Line(_moved(self.start, out, height), _moved(self.end, out, height))

    def reversed(self) -> Line:
        """The same edge, run the other way."""
        return Line(self.end, self.start)

    def extremes(self) -> Iterator[Point]:
        """Points among which the extents of the edge are found."""
        yield self.start
        yield self.end


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular edge from `start` to `end` round `centre`, less than a full turn."""

    start: Point
    end: Point
    centre: Point
    clockwise: bool

    @property
    def radius(self) -> float:
        """Radius in mm."""
        return math.dist(self.start, self.centre)

    @property
    def start_angle(self) -> float:
        """Direction from the centre to the start, radians."""
        return math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])

    @property
    def sweep(self) -> float:
        """Signed angle from start to end, radians, positive anticlockwise."""
        x, y = self.centre
        turn = (math.atan2(self.end[1] - y, self.end[0] - x) - math.atan2(self.start[1] - y, self.start[0] - x)) % TURN
        return turn - TURN if self.clockwise else turn

    @property
    def length(self) -> float:
        """Length along the arc in mm."""
        return self.radius * abs(self.sweep)

    @property
    def middle(self) -> Point:
        """The point half-way along the arc."""
        return self.at(0.5)

    def at(self, part: float) -> Point:
        """The point at `part` (0 to 1) of the way along."""
        angle, radius = self.start_angle + part * self.sweep, self.radius
        return (self.centre[0] + radius * math.cos(angle), self.centre[1] + radius * math.sin(angle))

    def moved(self, out: float, height: float) -> Arc:
        """The same arc, moved."""
        start, end, centre = (_moved(p, out, height) for p in (self.start, self.end, self.centre))
        return Arc(start, end, centre, self.clockwise)

    def reversed(self) -> Arc:
        """The same arc, run the other way."""
        return Arc(self.end, self.start, self.centre, not self.clockwise)

    def extremes(self) -> Iterator[Point]:
        """Points among which the extents of the arc are found: its ends and the quarter points it passes."""
        yield self.start
        yield self.end
        sweep, first, radius = abs(self.sweep), self.start_angle, self.radius
        cx, cy = self.centre
        for angle, across, up in QUARTERS:
            passed = (first - angle) % TURN if self.clockwise else (angle - first) % TURN
            if passed < sweep:
                yield (cx + radius * across, cy + radius * up)


Segment = Line | Arc


def arc_through(start: Point, through: Point, end: Point) -> Segment:
    """The arc from `start` to `end` that passes `through`; the straight line if the three are in line."""
    (ax, ay), (bx, by), (cx, cy) = start, through, end
    twice = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
    if abs(twice) < COINCIDENT * max(1.0, math.dist(start, end)):
        return Line(start, end)
    a2, b2, c2 = ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy
    ux = (a2 * (by - cy) + b2 * (cy - ay) + c2 * (ay - by)) / twice
    uy = (a2 * (cx - bx) + b2 * (ax - cx) + c2 * (bx - ax)) / twice
    return Arc(start, end, (ux, uy), clockwise=twice < 0)


def chord_points(arc: Arc, tolerance: float) -> list[Point]:
    """Points after the start that stand for the arc, the end included.

    Inner points are moved radially so that the polygon has the arc's own area: with n chords of angle t each
    side of a circle of radius r is drawn at r * sqrt(t / sin t) (equal areas of sector and triangle), but the
    two ends stay where they are, so only the part between inner points gains; the distance from the true arc
    stays under `tolerance`.
    """
    sweep, radius = abs(arc.sweep), arc.radius
    if radius <= tolerance:
        return [arc.end]
    step = 2 * math.acos(max(-1.0, 1 - tolerance / radius))
    count = max(1, math.ceil(sweep / step))
    if count == 1:
        return [arc.end]
    angle = sweep / count
    # Fan area with both ends at r and the inner points at q: sin t * (2 r q + (n-2) q^2) / 2 = n t r^2 / 2.
    inner = count - 2
    total = count * angle / math.sin(angle)
    stretch = total / 2 if inner == 0 else (math.sqrt(1 + inner * total) - 1) / inner
    points = []
    for k in range(1, count):
        x, y = arc.at(k / count)
        points.append((arc.centre[0] + (x - arc.centre[0]) * stretch, arc.centre[1] + (y - arc.centre[1]) * stretch))
    points.append(arc.end)
    return points


@dataclass(frozen=True)
class Outline:
    """A closed loop of segments, anticlockwise; each starts where the one before it ends.

    Its bounds are asked for at every turn, so they are worked out once.
    """

    segments: tuple[Segment, ...]

    @staticmethod
    def of(segments: Iterable[Segment]) -> Outline:
        """Close a loop: zero-length edges dropped, run anticlockwise. Validity is checked by the reader."""
        kept = tuple(s for s in segments if s.length > COINCIDENT)
        loop = Outline(kept)
        return loop if loop.signed_area >= 0 else Outline(tuple(s.reversed() for s in reversed(kept)))

    @cached_property
    def bounds(self) -> Bounds:
        """Extents: back, bottom, front, top."""
        points = [p for s in self.segments for p in s.extremes()]
        outs, heights = [p[0] for p in points], [p[1] for p in points]
        return Bounds(min(outs), min(heights), max(outs), max(heights))

    @property
    def signed_area(self) -> float:
        """Area in mm², positive anticlockwise (Green's theorem; circular segments r²(t - sin t)/2)."""
        return self._moments()[0]

    @property
    def area(self) -> float:
        """Area in mm²."""
        return abs(self.signed_area)

    @property
    def centroid(self) -> Point:
        """Centre of area (out, height)."""
        area, first_out, first_height = self._moments()
        return (first_out / area, first_height / area)

    @property
    def perimeter(self) -> float:
        """Length all round, mm."""
        return sum(s.length for s in self.segments)

    def _moments(self) -> tuple[float, float, float]:
        """Signed area and first moments: polygon of the vertices plus the segment cut off by each arc.

        A circular segment of angle t has area r²(t - sin t)/2 and its centroid lies 4 r sin³(t/2) /
        (3 (t - sin t)) from the centre on the bisector.
        """
        area = first_out = first_height = 0.0
        for s in self.segments:
            (x0, y0), (x1, y1) = s.start, s.end
            cross = x0 * y1 - x1 * y0
            area += cross / 2
            first_out += (x0 + x1) * cross / 6
            first_height += (y0 + y1) * cross / 6
            if isinstance(s, Arc):
                sweep = s.sweep
                cap = s.radius**2 * (sweep - math.sin(sweep)) / 2
                if cap:
                    distance = s.radius**3 * (2 / 3) * math.sin(abs(sweep) / 2) ** 3 / abs(cap)
                    mx, my = s.middle
                    ux, uy = (mx - s.centre[0]) / s.radius, (my - s.centre[1]) / s.radius
                    area += cap
                    first_out += cap * (s.centre[0] + distance * ux)
                    first_height += cap * (s.centre[1] + distance * uy)
        return area, first_out, first_height

    def moved(self, out: float, height: float) -> Outline:
        """The same outline, moved."""
        return Outline(tuple(s.moved(out, height) for s in self.segments))

    def points(self, tolerance: float = CHORD) -> list[Point]:
        """Vertices of a polygon that stands for the outline, anticlockwise, not repeated at the end.

        Arcs become chords within `tolerance` mm that keep the area.
        """
        points: list[Point] = []
        for s in self.segments:
            points.append(s.start)
            if isinstance(s, Arc):
                points.extend(chord_points(s, tolerance)[:-1])
        return points

    def draw(self, pen: Pen) -> None:
        """Run `pen` once round the outline."""
        pen.move_to(self.segments[0].start)
        for s in self.segments:
            if isinstance(s, Arc):
                pen.arc_to(s.end, s.centre, s.clockwise)
            else:
                pen.line_to(s.end)
        pen.close()


def _moved(point: Point, out: float, height: float) -> Point:
    return (point[0] + out, point[1] + height)
