"""Curved walls divided for cutting: a stretch of arc becomes straight segments that are mitred to each other."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from trimwright.frame import Bend, Frame, PlanPoint, corner_angle
from trimwright.room import Corner, Room, Wall, segments_within
from trimwright.setout.stretch import Stretch

__all__ = ["corners_turned", "divided", "facet_points", "stands_off"]


def facet_points(bend: Bend, low: float, high: float, sagitta: float) -> list[PlanPoint]:
    """Where the straight segments along an arc begin and end, fewest that stand off it by no more than `sagitta`.

    A segment may not reach into the wall. Before a wall that bulges away they are equal chords: their joints lie on
    the wall, their middles stand off it by r (1 - cos(a / 2)). Before one that bulges into the room they touch it
    with their middles and their joints stand off by r (1 / cos(a / 2) - 1); the first and the last are halves, so
    that both ends lie on the wall and square to it.
    """
    if not bend.inward:
        count = segments_within(bend, high - low, sagitta)
        return [bend.plan(low + (high - low) * k / count) for k in range(count + 1)]
    half = math.acos(bend.radius / (bend.radius + sagitta))
    count = max(1, math.ceil((high - low) / bend.radius / (2 * half) - 1e-9))
    turn = (high - low) / count
    off = bend.radius * (1 / math.cos(turn / bend.radius / 2) - 1)
    inner = [bend.plan(low + (k + 0.5) * turn, off) for k in range(count)]
    return [bend.plan(low), *inner, bend.plan(high)]


def stands_off(bend: Bend, segments: Iterable[tuple[PlanPoint, PlanPoint]]) -> float:
    """How far straight segments stand off the arc at most, mm: in their middles, or where they meet."""
    if bend.inward:
        return max(bend.locate(p)[1] for segment in segments for p in segment)
    return max(bend.locate(((x0 + x1) / 2, (y0 + y1) / 2))[1] for (x0, y0), (x1, y1) in segments)


def divided(stretch: Stretch, front: float) -> list[Stretch]:
    """The segments of a stretch, each in its own straight frame; a stretch of straight wall as it is.

    At a free end a chord is a little short of where it ends: cut square, it would lean over the casing or the pipe
    there by front * tan of half its turn, since that stands square to the wall. `front`: how far the trim stands out.
    """
    wall, bend = stretch.wall, stretch.wall.bend
    if bend is None:
        return [stretch]
    points = facet_points(bend, stretch.low, stretch.high, wall.sagitta)
    faces = [_facet(wall, a, b) for a, b in pairwise(points)]
    seams = [
        Corner(wall.index, wall.index, corner_angle(a.frame.tangent(0.0), b.frame.tangent(0.0)), b.start, seam=True)
        for a, b in pairwise(faces)
    ]
    last = len(faces) - 1
    lean = 0.0 if bend.inward else front * math.tan(math.asin(faces[0].length / 2 / bend.radius))
    return [
        Stretch(
            wall=face,
            low=lean if k == 0 and stretch.left_corner is None else 0.0,
            high=face.length - (lean if k == last and stretch.right_corner is None else 0.0),
            at=max(stretch.low, bend.locate(face.start)[0]),
            left_corner=seams[k - 1] if k else stretch.left_corner,
            right_corner=seams[k] if k < last else stretch.right_corner,
            left_joined=k > 0 or stretch.left_joined,
            right_joined=k < last or stretch.right_joined,
            left_pipe=stretch.left_pipe if k == 0 else "",
            right_pipe=stretch.right_pipe if k == last else "",
        )
        for k, face in enumerate(faces)
    ]


def _facet(wall: Wall, start: PlanPoint, end: PlanPoint) -> Wall:
    length = math.dist(start, end)
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    return Wall(wall.index, wall.name, length, Frame(start, along), wall.sagitta)


def corners_turned(stretches: Sequence[Stretch], room: Room) -> list[Stretch]:
    """The same stretches, the angle of each corner of the room measured between the faces that meet there.

    A segment does not leave a corner along the tangent of its wall, so the corner is not quite the room's.
    """
    count = len(stretches)
    turned = []
    for k, stretch in enumerate(stretches):
        left, right = stretch.left_corner, stretch.right_corner
        if left is not None and not left.seam:
            before = stretches[k - 1].wall if stretch.left_joined else room.walls[left.left]
            left = _between(left, before, stretch.wall)
        if right is not None and not right.seam:
            after = stretches[(k + 1) % count].wall if stretch.right_joined else room.walls[right.right]
            right = _between(right, stretch.wall, after)
        turned.append(replace(stretch, left_corner=left, right_corner=right))
    return turned


def _between(corner: Corner, before: Wall, after: Wall) -> Corner:
    angle = corner_angle(before.frame.tangent(before.length), after.frame.tangent(0.0))
    return replace(corner, angle=angle)
