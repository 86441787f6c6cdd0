"""Walls and what hangs in them as closed bodies, on straight and on curved faces: for the look, not for cutting."""

from __future__ import annotations

import math
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

FACE = 0.2
"""Curved walls and what hangs in them are made of chords within this of their arcs."""

PART = 48.0
"""Degrees that one part of a curved wall turns at most: all its face is within 24 of the way it is said to face."""


def curved_wall(room: Room, wall: Wall) -> list[tuple[Mesh, Frame]]:
    """The parts of a curved wall, left to right, without its openings, each with the face at its middle."""
    bend = wall.bend
    if bend is None:
        raise ValueError(f"wall '{wall.name}' is straight")
    count = max(1, math.ceil(math.degrees(wall.length / bend.radius) / PART))
    ends = [wall.length * k / count for k in range(count + 1)]
    outer = [bend.plan(s, -WALL) for s in ends]
    outer[0] = _outer_corner(bend.tangent(0.0), room.corner_left(wall.index), -1) or outer[0]
    outer[-1] = _outer_corner(bend.tangent(wall.length), room.corner_right(wall.index), 1) or outer[-1]
    tops = room.ceiling_ends(wall.index)
    parts = []
    for k in range(count):
        loop = _plan_of_part(bend, (ends[k], ends[k + 1]), (outer[k], outer[k + 1]))
        body = prism(loop, 0.0, 1.0, name=f"wall {wall.name}" + (f" {k + 1}" if count > 1 else ""))
        stations = np.array([bend.locate((x, y))[0] for x, y, _ in body.vertices]).clip(0.0, wall.length)
        body.vertices[:, 2] *= tops[0] + (tops[1] - tops[0]) * stations / wall.length
        parts.append((body, bend.tangent((ends[k] + ends[k + 1]) / 2)))
    return parts


def _outer_corner(face: Frame, corner: Corner | None, way: int) -> PlanPoint | None:
    """Where the backs of two walls meet in their mitre."""
    return None if corner is None else face.plan(way * WALL * corner.half_cot, -WALL)


def _plan_of_part(bend: Bend, ends: tuple[float, float], outer: tuple[PlanPoint, PlanPoint]) -> list[PlanPoint]:
    """Anticlockwise: along the face, and back along the outer arc between the two outer points."""
    low, high = ends
    count = segments_within(bend, high - low, FACE, -WALL if not bend.inward else 0.0)
    stations = [low + (high - low) * k / count for k in range(count + 1)]
    first, last = (bend.locate(p)[0] for p in outer)
    behind = [bend.plan(s, -WALL) for s in stations if first + TOUCH < s < last - TOUCH]
    return [*(bend.plan(s) for s in stations), outer[1], *behind[::-1], outer[0]]


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
