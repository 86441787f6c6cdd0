"""What is in the way, as convex shapes in plan coordinates: what is there, what swings, and what must stay free."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Protocol

import numpy as np

from trimwright.clearance.convex import Convex, Prism, Rod, arc_points
from trimwright.room import AnyFrame, Bend, Fitting, Opening, Pipe, Room, WallPoint, followed, segments_within
from trimwright.tolerance import FOLLOWED, TOUCH

__all__ = ["Kind", "Obstacle", "Source", "Wanted", "obstacles"]

SWUNG = 0.2
"""Chords stand for the arc of a leaf's edge within this (mm)."""

Source = Pipe | Opening | Fitting


class Kind(StrEnum):
    """What an obstacle is."""

    PIPE = "pipe"
    CASING = "casing"
    LEAF = "leaf"
    FITTING = "fitting"
    DOOR = "cupboard door"
    AIR = "air"
    TRIM = "trim"


class Wanted(Protocol):
    """The gaps wanted, mm."""

    @property
    def pipe(self) -> float: ...  # noqa: D102
    @property
    def fitting(self) -> float: ...  # noqa: D102
    @property
    def opening(self) -> float: ...  # noqa: D102
    @property
    def door(self) -> float: ...  # noqa: D102
    @property
    def detector(self) -> float: ...  # noqa: D102


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Obstacle:
    """One thing in the way: its shapes in the room, the gap wanted round it, and the entry it comes from."""

    name: str
    kind: Kind
    wanted: float
    parts: tuple[Convex, ...]
    source: Source

    @property
    def wall(self) -> int:
        """The wall it was measured on."""
        return self.source.wall


def obstacles(room: Room, wanted: Wanted) -> tuple[Obstacle, ...]:
    """All of them: pipes, then openings, then fittings, in the order of the file."""
    return tuple(_all(room, wanted))


def _all(room: Room, wanted: Wanted) -> Iterator[Obstacle]:
    for pipe in room.pipes:
        rods = tuple(_rods(pipe, room.walls[pipe.wall].frame))
        yield Obstacle(name=f"pipe {pipe.name}", kind=Kind.PIPE, wanted=wanted.pipe, parts=rods, source=pipe)
    for opening in room.openings:
        yield from _of_opening(opening, room.name_of(opening), room.walls[opening.wall].frame, wanted)
    for fitting in room.fittings:
        yield from _of_fitting(fitting, room.walls[fitting.wall].frame, wanted)


def _rods(pipe: Pipe, frame: AnyFrame) -> Iterator[Rod]:
    """A rod a leg, round where it bends; what lies along a curved wall follows it in short legs."""
    placed = [np.array(frame.room_point(*pipe.start))]
    for a, b in pairwise((pipe.start, *pipe.via, pipe.end)):
        placed += [np.array(frame.room_point(*point)) for point in _stops(frame, a, b)]
    for k, (start, end) in enumerate(pairwise(placed)):
        yield Rod(start, end, pipe.radius, round_start=k > 0, round_end=k < len(placed) - 2)


def _stops(frame: AnyFrame, a: WallPoint, b: WallPoint) -> Iterator[WallPoint]:
    """Points after `a` between which straight legs stand for the way of a pipe to `b`.

    A level part along a curved wall is an arc; half of the rise of its chords lies to either side of it.
    """
    if not isinstance(frame, Bend) or math.dist(a[1:], b[1:]) > TOUCH:
        yield from followed(frame, a, b)
        return
    count = segments_within(frame, abs(b[0] - a[0]), FOLLOWED, a[1])
    half = abs(b[0] - a[0]) / frame.radius / count / 2
    astray = frame.side * frame.radius_at(a[1]) * (1 - math.cos(half)) / 2
    for k in range(1, count + 1):
        yield a[0] + (b[0] - a[0]) * k / count, a[1] + astray, a[2]


def _of_opening(opening: Opening, name: str, frame: AnyFrame, wanted: Wanted) -> Iterator[Obstacle]:
    if opening.architrave > 0 and opening.casing > 0:
        parts = tuple(shape for box in _casing(opening) for shape in _box(frame, box, (0.0, opening.casing)))
        yield Obstacle(name=f"casing of {name}", kind=Kind.CASING, wanted=wanted.opening, parts=parts, source=opening)
    if opening.hinge:
        across = (opening.station, opening.station + opening.width)
        leaves = _leaves(frame, across, 0.0, opening.hinge, opening.swing, (opening.sill, opening.head))
        yield Obstacle(name=f"{name}, opening", kind=Kind.LEAF, wanted=wanted.door, parts=tuple(leaves), source=opening)


Box = tuple[float, float, float, float]
"""Left, right, bottom, top on a wall."""


def _casing(opening: Opening) -> Iterator[Box]:
    """Its boards: two legs and a head, and under a window an apron."""
    left, right = opening.station, opening.station + opening.width
    yield (opening.left, left, opening.bottom, opening.top)
    yield (right, opening.right, opening.bottom, opening.top)
    yield (left, right, opening.head, opening.top)
    if opening.bottom < opening.sill - TOUCH:
        yield (left, right, opening.bottom, opening.sill)


def _box(frame: AnyFrame, box: Box, outs: tuple[float, float]) -> Iterator[Prism]:
    """A box on a wall; on a curved one a row of wedges that follows the face."""
    left, right, bottom, top = box
    count = segments_within(frame, right - left, FOLLOWED, outs[1]) if isinstance(frame, Bend) else 1
    stations = [left + (right - left) * k / count for k in range(count + 1)]
    for a, b in pairwise(stations):
        plan = [frame.plan(a, outs[0]), frame.plan(b, outs[0]), frame.plan(b, outs[1]), frame.plan(a, outs[1])]
        yield Prism(np.array(plan), bottom, top)


def _leaves(
    frame: AnyFrame, across: tuple[float, float], out: float, hinge: str, swing: float, heights: tuple[float, float]
) -> Iterator[Prism]:
    """What the leaves between two stations sweep: a sector each, as wide as the leaf.

    The far arris of its thickness would reach a little further; it is planed off so that the leaf clears its frame.
    """
    radius = (across[1] - across[0]) / (2 if hinge == "both" else 1)
    for side, station in (("left", across[0]), ("right", across[1])):
        if hinge not in (side, "both"):
            continue
        face = frame.tangent(station)
        centre = (0.0, out)
        turn = math.radians(swing)
        first, last = (0.0, turn) if side == "left" else (math.pi, math.pi - turn)
        sector = [centre, *arc_points(centre, radius, first, last, SWUNG)]
        yield Prism(np.array([face.plan(*p) for p in sector]), *heights)


def _of_fitting(fitting: Fitting, frame: AnyFrame, wanted: Wanted) -> Iterator[Obstacle]:
    gap = wanted.detector if fitting.kind == "detector" else wanted.fitting
    parts = tuple(_shape(fitting, frame))
    yield Obstacle(name=fitting.name, kind=Kind.FITTING, wanted=gap, parts=parts, source=fitting)
    box = (fitting.left, fitting.right, fitting.bottom, fitting.top)
    if fitting.free > 0:
        zone = tuple(_box(frame, box, (fitting.out, fitting.out + fitting.free)))
        yield Obstacle(name=f"space before {fitting.name}", kind=Kind.AIR, wanted=0.0, parts=zone, source=fitting)
    if fitting.hinge:
        heights = (fitting.bottom, fitting.top)
        doors = _leaves(frame, (fitting.left, fitting.right), fitting.out, fitting.hinge, fitting.swing, heights)
        yield Obstacle(
            name=f"door of {fitting.name}", kind=Kind.DOOR, wanted=wanted.door, parts=tuple(doors), source=fitting
        )


def _shape(fitting: Fitting, frame: AnyFrame) -> Sequence[Convex]:
    if not fitting.round:
        return tuple(
            _box(frame, (fitting.left, fitting.right, fitting.bottom, fitting.top), (fitting.back, fitting.out))
        )
    radius = (fitting.right - fitting.left) / 2
    x, y = frame.plan(fitting.left + radius, (fitting.back + fitting.out) / 2)
    return (Rod(np.array([x, y, fitting.bottom]), np.array([x, y, fitting.top]), radius),)
