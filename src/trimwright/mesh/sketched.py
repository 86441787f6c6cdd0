"""Walls and what hangs in them as closed bodies, on straight and on curved faces: for the look, not for cutting."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from trimwright.frame import AnyFrame, Bend, Frame, PlanPoint
from trimwright.mesh.bend import in_bend
from trimwright.mesh.shape import Mesh
from trimwright.mesh.sweep import prism
from trimwright.room import Corner, Room, Wall, segments_within
from trimwright.tolerance import TOUCH

__all__ = ["FACE", "WALL", "curved_wall", "upright"]

WALL = 60.0
"""Thickness of walls, floor and ceiling as drawn: it shows as the reveal of an opening."""

FACE = 0.05
"""Curved walls and what hangs in them are made of chords within this of their arcs."""


def curved_wall(room: Room, wall: Wall, bend: Bend) -> Mesh:
    """A curved wall from floor to ceiling, mitred outwards at its corners, without its openings."""
    left = _outer_corner(bend.tangent(0.0), room.corner_left(wall.index), -1) or bend.plan(0.0, -WALL)
    right = _outer_corner(bend.tangent(wall.length), room.corner_right(wall.index), 1) or bend.plan(wall.length, -WALL)
    body = prism(_wall_plan(wall, bend, left, right), 0.0, 1.0, name=f"wall {wall.name}")
    stations = np.array([bend.locate((x, y))[0] for x, y, _ in body.vertices]).clip(0.0, wall.length)
    first, last = room.ceiling_ends(wall.index)
    body.vertices[:, 2] *= first + (last - first) * stations / wall.length
    return body


def _outer_corner(face: Frame, corner: Corner | None, way: int) -> PlanPoint | None:
    """Where the backs of two walls meet in their mitre."""
    return None if corner is None else face.plan(way * WALL * corner.half_cot, -WALL)


def _wall_plan(wall: Wall, bend: Bend, left: PlanPoint, right: PlanPoint) -> list[PlanPoint]:
    """Anticlockwise: along the face, and back along the outer arc between the outer points of both mitres."""
    stations = wall.stations(FACE)
    first, last = bend.locate(left)[0], bend.locate(right)[0]
    behind = [bend.plan(s, -WALL) for s in stations if first + TOUCH < s < last - TOUCH]
    return [*(bend.plan(s) for s in stations), right, *behind[::-1], left]


def upright(loop: Sequence[PlanPoint], faces: tuple[float, float], frame: AnyFrame, name: str) -> Mesh:
    """A convex polygon in elevation, (station, height) anticlockwise as one faces the wall, between two distances out.

    On a curved wall it is bent along it.
    """
    if isinstance(frame, Bend):
        return _bent_upright(loop, faces, frame, name)
    flat = prism(loop, *faces)
    station, height, out = flat.vertices.T
    axes = np.array([(*frame.along, 0.0), (0.0, 0.0, 1.0), (*frame.outward, 0.0)])
    return Mesh(np.column_stack([station, height, out]) @ axes + (*frame.origin, 0.0), flat.faces, name)


def _bent_upright(loop: Sequence[PlanPoint], faces: tuple[float, float], bend: Bend, name: str) -> Mesh:
    """Rings of four points at stations along the wall, each as high as the polygon there; points that meet are one."""
    low, high = min(s for s, _ in loop), max(s for s, _ in loop)
    count = segments_within(bend, high - low, FACE, max(faces, key=bend.radius_at))
    stations = sorted({s for s, _ in loop} | {low + (high - low) * k / count for k in range(1, count)})
    back, front = faces
    rings = []
    for station in stations:
        bottom, top = _heights_at(loop, station)
        rings += [(station, o, h) for o, h in ((back, bottom), (front, bottom), (front, top), (back, top))]
    side = np.array([[0, 4, 1], [1, 4, 5], [1, 5, 2], [2, 5, 6], [2, 6, 3], [3, 6, 7], [3, 7, 0], [0, 7, 4]])
    last = 4 * (len(stations) - 1)
    bands = [side + 4 * k for k in range(len(stations) - 1)]
    triangles = np.concatenate(
        [[[0, 1, 2], [0, 2, 3]], *bands, [[last, last + 2, last + 1], [last, last + 3, last + 2]]]
    )
    places, welded = np.unique(np.round(rings, 6), axis=0, return_inverse=True)
    triangles = welded.reshape(-1)[triangles]
    a, b, c = triangles.T
    kept = triangles[(a != b) & (b != c) & (c != a)].astype(np.int32)
    return Mesh(in_bend(bend, *places.T), kept, name)


def _heights_at(loop: Sequence[PlanPoint], station: float) -> tuple[float, float]:
    """Lowest and highest point of a convex polygon at a station."""
    found = []
    for (s0, h0), (s1, h1) in zip(loop, [*loop[1:], loop[0]], strict=True):
        if min(s0, s1) <= station <= max(s0, s1):
            found += [h0, h1] if s0 == s1 else [h0 + (h1 - h0) * (station - s0) / (s1 - s0)]
    return min(found), max(found)
