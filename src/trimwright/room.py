"""The room: walls, corners, openings, pipes and fittings, in plan and on each wall.

Plan is seen from above, x right, y up. Walls run clockwise, so the room lies on the right of each. On a wall a
place is (station, out, height): along from the left corner, out from the wall face, up from the floor datum. On a
curved wall the station runs along its face.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

from trimwright.frame import AnyFrame, Bend, Frame, PlanPoint
from trimwright.tolerance import CHORD, FOLLOWED, SEGMENT_SAGITTA, TOUCH
from trimwright.units import Units

__all__ = [
    "AnyFrame",
    "Bend",
    "Corner",
    "Fitting",
    "Frame",
    "Opening",
    "Pipe",
    "PlanPoint",
    "Room",
    "Wall",
    "WallPoint",
    "followed",
    "segments_within",
]

WallPoint = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Wall:
    """One wall, straight or an arc: `index` counts from 0 clockwise; `length` is measured along its face.

    `sagitta` is how far the straight segments of a trim may stand off a curved one, mm.
    """

    index: int
    name: str
    length: float
    frame: AnyFrame
    sagitta: float = SEGMENT_SAGITTA

    @property
    def start(self) -> PlanPoint:
        """Plan point of its left end."""
        return self.frame.plan(0.0)

    @property
    def end(self) -> PlanPoint:
        """Plan point of its right end."""
        return self.frame.plan(self.length)

    @property
    def bend(self) -> Bend | None:
        """Its arc, if it is curved."""
        return self.frame if isinstance(self.frame, Bend) else None

    def stations(self, chord: float = CHORD) -> tuple[float, ...]:
        """Stations from end to end that divide its face into chords within `chord` mm of it."""
        count = 1 if self.bend is None else segments_within(self.bend, self.length, chord)
        return tuple(self.length * k / count for k in range(count + 1))


@dataclass(frozen=True, slots=True)
class Corner:
    """Where wall `left` ends and wall `right` begins; `angle` is measured in the room, internal below 180.

    At a curved wall it is that of the tangent. `angle_sd` is its standard deviation, if a survey gave one. A `seam`
    is no corner of the room but the place where two straight segments of a trim meet along one curved wall.
    """

    left: int
    right: int
    angle: float
    plan: PlanPoint
    angle_sd: float | None = None
    seam: bool = False

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
    """A door, window or plain opening; stations and heights of its clear edges, `architrave` the casing width.

    `casing` is how far the casing stands out from the wall. `hinge` (left, right or both) says that leaves swing into
    the room from there, through `swing` degrees.
    """

    wall: int
    kind: str
    station: float
    width: float
    sill: float
    head: float
    architrave: float = 0.0
    name: str = ""
    casing: float = 15.0
    hinge: str = ""
    swing: float = 90.0

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
    """A pipe near a wall, its axis from `start` to `end` as (station, out, height), bent at each point of `via`.

    `collar`: slots round it are covered by split collars. `notch` is what its owner wants to be done with trim that it
    stands in: a slot open to the "back" or the "front", a "hole", a "joint", a "stop"; empty for what takes least.
    """

    wall: int
    name: str
    start: WallPoint
    end: WallPoint
    diameter: float
    temperature: float | None = None
    via: tuple[WallPoint, ...] = ()
    collar: bool = False
    notch: str = ""

    @property
    def vertical(self) -> bool:
        """True if it is straight and keeps its station and its distance out."""
        return not self.via and self.start[:2] == self.end[:2]

    @property
    def legs(self) -> tuple[Pipe, ...]:
        """Its straight parts, each a pipe of the same name, upright ones from the lower end up."""
        if not self.via and self.start[2] <= self.end[2]:
            return (self,)
        points = (self.start, *self.via, self.end)
        return tuple(replace(self, start=a, end=b, via=()) for a, b in (_upwards(pair) for pair in pairwise(points)))

    @property
    def radius(self) -> float:
        """Half the diameter."""
        return self.diameter / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """A box in the way: stations left to right, heights bottom to top, from `back` to `out` off the wall face.

    `round`: upright and round in plan, as a detector or a lamp under the ceiling. `kind` is what it is (box, track,
    detector, grille, light, cupboard); `free` is how deep the space before it is kept free. `hinge` (left, right or
    both) says that its front opens from there through `swing` degrees. `let_in`: the trims that may be cut out for it.
    """

    wall: int
    name: str
    left: float
    right: float
    bottom: float
    top: float
    out: float
    back: float = 0.0
    kind: str = "box"
    round: bool = False
    free: float = 0.0
    hinge: str = ""
    swing: float = 90.0
    let_in: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
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
    def legs(self) -> tuple[Pipe, ...]:
        """The straight parts of all pipes."""
        return tuple(leg for pipe in self.pipes for leg in pipe.legs)

    def name_of(self, opening: Opening) -> str:
        """An opening's own name, else what it is and where; numbered if the wall has several of the kind."""
        if opening.name:
            return opening.name
        like = [o for o in self.openings if (o.kind, o.wall, o.name) == (opening.kind, opening.wall, "")]
        number = f" {like.index(opening) + 1}" if len(like) > 1 else ""
        return f"{opening.kind}{number} in {self.walls[opening.wall].name}"

    @cached_property
    def ceiling(self) -> float:
        """The lowest ceiling height: what a level trim at the ceiling is set to."""
        return min([*self.ceilings, *(height for points in self.between for _, height in points)])

    @property
    def highest(self) -> float:
        """The highest ceiling height that was measured."""
        return max([*self.ceilings, *(height for points in self.between for _, height in points)])

    def ceiling_ends(self, wall: int) -> tuple[float, float]:
        """Ceiling heights at the left and the right end of a wall."""
        return self.ceilings[wall], self.ceilings[(wall + 1) % len(self.ceilings)]

    def ceiling_line(self, wall: int) -> tuple[tuple[float, float], ...]:
        """(station, height) of the ceiling along a wall, from corner to corner through the points measured between."""
        left, right = self.ceiling_ends(wall)
        between = self.between[wall] if self.between else ()
        length = self.walls[wall].length
        inner = tuple(p for p in between if 0 < p[0] < length)
        return ((0.0, left), *inner, (length, right))

    def ceiling_at(self, wall: int, station: float) -> float:
        """Ceiling height at a station: straight between the readings, level beyond the first and the last."""
        points = self.ceiling_line(wall)
        for (s0, h0), (s1, h1) in pairwise(points):
            if station <= s1:
                return h0 if s1 == s0 else h0 + (h1 - h0) * min(1.0, max(0.0, (station - s0) / (s1 - s0)))
        return points[-1][1]

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

    def outline(self, chord: float = CHORD) -> tuple[PlanPoint, ...]:
        """The faces of the walls as a line: corner points, and along curved walls chords within `chord` mm."""
        points = tuple(self._along(chord))
        return points if self.closed else (*points, self.walls[-1].end)

    def _along(self, chord: float) -> Iterator[PlanPoint]:
        for wall in self.walls:
            yield from (wall.frame.plan(s) for s in wall.stations(chord)[:-1])


def _upwards(leg: tuple[WallPoint, WallPoint]) -> tuple[WallPoint, WallPoint]:
    """The two ends of an upright leg, the lower one first; of any other leg as they are."""
    (a, b) = leg
    return (b, a) if a[:2] == b[:2] and a[2] > b[2] else leg


def segments_within(bend: Bend, length: float, sagitta: float, out: float = 0.0) -> int:
    """Least number of equal chords that lie within `sagitta` of an arc: r (1 - cos(a / 2n)) is its rise over each.

    `length` is the arc's along the face; `out` takes the concentric line there instead of the face.
    """
    radius, sweep = bend.radius_at(out), length / bend.radius
    most = 2 * math.acos(max(0.0, 1 - sagitta / radius))
    return max(1, math.ceil(sweep / most - 1e-9))


def followed(frame: AnyFrame, a: WallPoint, b: WallPoint) -> tuple[WallPoint, ...]:
    """The points that the axis of a pipe runs through from `a`, left out, to `b`.

    Along a curved wall it follows the face. What is level there is an arc; what rises or leaves the face as it goes
    round is taken as chords within `FOLLOWED` of its way.
    """
    if not isinstance(frame, Bend) or abs(b[0] - a[0]) < TOUCH or math.dist(a[1:], b[1:]) < TOUCH:
        return (b,)
    count = segments_within(frame, abs(b[0] - a[0]), FOLLOWED, max(a[1], b[1]))
    parts = (k / count for k in range(1, count + 1))
    return tuple((a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t, a[2] + (b[2] - a[2]) * t) for t in parts)
