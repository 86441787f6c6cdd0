"""A piece as it stands when it is up, with the walls near it, and what stops it on a straight way out of its place."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from trimwright.room import Pipe, PlanPoint, Room, Wall, segments_within
from trimwright.setout.footprint import footprint
from trimwright.setout.piece import Joint, Opens, Piece
from trimwright.setout.plan_shapes import Box, Shape, apart, bite, box_of, swept
from trimwright.tolerance import TOUCH

__all__ = [
    "HAND",
    "PLAY",
    "YIELDS",
    "Face",
    "Heights",
    "Standing",
    "bars",
    "faces_near",
    "free",
    "into",
    "meet",
    "meets_wall",
    "out_of_place",
    "pipes_ahead",
    "pipes_before",
    "standing",
]

PLAY = 0.25
"""What a joint gives while a piece is pushed home, mm: less in the way than this is no hindrance."""

YIELDS = 2.0
"""Walls that lean in over the way of a piece by less than this, mm, let it be pushed home: plaster is no flatter.
Common practice, no source."""

HAND = 60.0
"""A piece that is out of its place by its own width and this, mm, is in hand and can be turned any way."""

ROUGH = 2.0
"""A bent piece is judged by straight parts within this of it, mm."""

WALL_CHORD = 0.25
"""A curved wall is judged by straight faces within this of it, mm."""

Heights = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Face:
    """A straight face of a wall, or a chord of a curved one, its left end first; the box round it."""

    wall: int
    ends: tuple[PlanPoint, PlanPoint]
    box: Box


@dataclass(frozen=True, slots=True)
class Standing:
    """A piece in its place: its plan in convex parts, the box round them, its heights, and the way it faces.

    `depth` is that from its back to its front. `faces` are those of other walls that it can meet on a way as long as
    that and a hand.
    """

    piece: Piece
    parts: tuple[Shape, ...]
    box: Box
    heights: Heights
    outward: PlanPoint
    along: PlanPoint
    depth: float
    faces: tuple[Face, ...] = ()


def standing(piece: Piece, room: Room) -> Standing:
    """A piece as it stands when it is up."""
    low, high = piece.extent
    back, bottom, front, top = piece.trim.edges
    count = 1 if piece.bend is None else segments_within(piece.bend, high - low, ROUGH, front)
    parts = tuple(footprint(piece, k / count, (k + 1) / count) for k in range(count))
    reached = [piece.height(station, height) for station in (low, high) for height in (bottom, top)]
    face = piece.frame.tangent((low + high) / 2)
    box = box_of([p for part in parts for p in part])
    near = tuple(faces_near(piece, box, room, front - back + HAND))
    heights = (min(reached), max(reached))
    return Standing(piece, parts, box, heights, face.outward, face.along, front - back, near)


def faces_near(piece: Piece, box: Box, room: Room, reach: float) -> Iterator[Face]:
    """Faces that a piece in a box can come to by a move of some length. Its own wall it leaves, but for a return."""
    x0, y0, x1, y1 = box
    grown = (x0 - reach, y0 - reach, x1 + reach, y1 + reach)
    faces, lefts, by_left, widest = _faces(room.walls)
    first, last = bisect_left(lefts, grown[0] - widest), bisect_right(lefts, grown[2])
    for face in (faces[k] for k in sorted(by_left[first:last])):
        if (face.wall != piece.wall or piece.is_return) and not apart(grown, face.box):
            yield face


@lru_cache(maxsize=8)
def _faces(walls: tuple[Wall, ...]) -> tuple[tuple[Face, ...], list[float], list[int], float]:
    """The faces of walls; where each begins along x, in that order, and which it is; how far the widest goes on."""
    points = [(wall.index, wall.frame.plan(s)) for wall in walls for s in wall.stations(WALL_CHORD)]
    faces = tuple(Face(a, (p, q), box_of((p, q))) for (a, p), (b, q) in pairwise(points) if a == b)
    by_left = sorted(range(len(faces)), key=lambda k: faces[k].box[0])
    widest = max((face.box[2] - face.box[0] for face in faces), default=0.0)
    return faces, [faces[k].box[0] for k in by_left], by_left, widest


def meet(a: Heights, b: Heights) -> bool:
    """True if two spans of height share more than a touch."""
    return min(a[1], b[1]) - max(a[0], b[0]) > TOUCH


def out_of_place(own: Standing, out: PlanPoint) -> PlanPoint:
    """The move that brings a piece clear of its place."""
    far = own.depth + HAND
    return (out[0] * far, out[1] * far)


def into(mate: Standing, by: PlanPoint) -> float:
    """How far a move goes into the face of a mate, mm; 0 if it goes along it or away from it."""
    nx, ny = mate.outward
    return max(0.0, -(by[0] * nx + by[1] * ny))


def free(own: Standing, up: Sequence[Standing], room: Room, by: PlanPoint, lift: float = 0.0) -> bool:
    """True if the piece, first raised by `lift`, comes straight out by a move without meeting anything.

    What lies in it already, as in a hollow that was made for it, may lie in it all the way.
    """
    heights = (own.heights[0] + lift, own.heights[1] + lift)
    ways = [swept(part, by) for part in own.parts]
    box = box_of([p for way in ways for p in way])
    ends = (own.piece.left, own.piece.right)
    coped = () if lift else tuple(end.mate for end in ends if end.joint is Joint.COPE)
    for other in up:
        if apart(box, other.box) or not meet(heights, other.heights):
            continue
        if other.piece.id in coped:
            if into(other, by) > PLAY:
                return False
        elif any(bars(way, own.parts[k], part, PLAY) for k, way in enumerate(ways) for part in other.parts):
            return False
    return not meets_wall(own, ways, own.faces) and not pipes_before(own, room, ways, heights)


def meets_wall(own: Standing, ways: Sequence[Shape], faces: Sequence[Face]) -> bool:
    """True if a wall is in these ways of the parts of a piece."""
    return any(
        bars(way, own.parts[k], face.ends, YIELDS)
        for k, way in enumerate(ways)
        for face in faces
        if not apart(box_of(way), face.box)
    )


def bars(way: Shape, rest: Shape, other: Shape, play: float) -> bool:
    """True if something lies deeper in a way than in the part that begins there, by more than a play."""
    deep = bite(way, other)
    return deep > play and deep > play + max(0.0, bite(rest, other))


def pipes_before(own: Standing, room: Room, ways: Sequence[Shape], heights: Heights) -> list[Pipe]:
    """Upright pipes in these ways at these heights; one in a slot open to the back lets the piece come off."""
    slots = tuple(name for notch in own.piece.notches if notch.opens is not Opens.FRONT for name in notch.pipes)
    box = box_of([p for way in ways for p in way])
    return [
        pipe
        for pipe in room.legs
        if pipe.vertical
        and pipe.name not in slots
        and meet(heights, (pipe.start[2], pipe.end[2]))
        and not apart(box_of(plan := _round(room, pipe)), box)
        and any(bite(way, plan) > PLAY for way in ways)
    ]


def pipes_ahead(own: Standing, room: Room) -> list[Pipe]:
    """Upright pipes on the way straight out of its place."""
    return pipes_before(own, room, [swept(part, out_of_place(own, own.outward)) for part in own.parts], own.heights)


def _round(room: Room, pipe: Pipe) -> Shape:
    """The plan of an upright pipe: a square inside its circle is enough to stop a piece."""
    x, y = room.walls[pipe.wall].frame.plan(*pipe.start[:2])
    r = pipe.radius * math.sqrt(0.5)
    return [(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)]
