"""Pieces of two trims that would lie in each other, as a return that runs into what its own hollow holds.

Sections on one wall are held apart when they are placed. What this finds lies between walls and where a trim turns:
returns, ends in corners, straight segments and bent pieces along one curved wall, a level trim below a sloping one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from trimwright.clearance.bite import bite
from trimwright.clearance.clearance import Clearance, Place, place_of, to_frame
from trimwright.clearance.convex import Points
from trimwright.clearance.distance import contains
from trimwright.clearance.obstacles import Kind
from trimwright.mesh.cut import body_of
from trimwright.mesh.shape import Mesh
from trimwright.room import Frame, Room
from trimwright.setout.piece import Piece, SetOut
from trimwright.setout.plan_shapes import meeting
from trimwright.tolerance import TOUCH

if TYPE_CHECKING:
    from manifold3d import Manifold

__all__ = ["overlap_between", "overlaps"]


def overlaps(set_out: SetOut, meshes: Mapping[str, Mesh], moved: bool = False) -> tuple[Clearance, ...]:
    """A line for each two pieces of different trims that do more than touch, in the order of the pieces.

    `moved`: the meshes are not where the trims were placed, so that sections on one wall may lie in each other too.
    """
    body = cache(lambda piece: body_of(meshes[piece]))
    near = _near(set_out, meshes, moved)
    lines = (overlap_between(set_out.room, a, b, body(a.id), body(b.id)) for a, b in near)
    return tuple(line for line in lines if line is not None)


def _near(set_out: SetOut, meshes: Mapping[str, Mesh], moved: bool) -> Iterator[tuple[Piece, Piece]]:
    """Pairs of different trims whose boxes lie in each other, but for those whose sections are known to be apart."""
    pieces = set_out.pieces
    low = np.array([meshes[p.id].vertices.min(axis=0) for p in pieces]).reshape(-1, 3) + TOUCH
    high = np.array([meshes[p.id].vertices.max(axis=0) for p in pieces]).reshape(-1, 3) - TOUCH
    boxes = [(a[0], a[1], b[0], b[1]) for a, b in zip(low.tolist(), high.tolist(), strict=True)]
    for i, j in sorted(meeting(boxes)):
        a, b = pieces[i], pieces[j]
        one_section = not moved and a.frame == b.frame and a.incline is None and b.incline is None
        if a.trim.name != b.trim.name and not one_section and max(low[i, 2], low[j, 2]) < min(high[i, 2], high[j, 2]):
            yield a, b


def overlap_between(room: Room, a: Piece, b: Piece, first: Manifold, second: Manifold) -> Clearance | None:
    """How two pieces with these bodies lie in each other; None if they are apart or touch.

    `actual` is how deep, below 0: the least extent of what they share along, out from and up either piece.
    """
    shared = bite(first, second)
    if shared is None:
        return None
    mesh = shared.to_mesh64()
    vertices = np.asarray(mesh.vert_properties[:, :3], dtype=np.float64)
    middle = _middle(vertices, vertices[np.asarray(mesh.tri_verts)])
    at, to, deep = min((_across(room, a, piece, vertices, middle) for piece in (a, b)), key=lambda found: found[2])
    return Clearance(
        trim=a.trim.name,
        piece=a.id,
        obstacle=f"{b.id} {b.trim.name}",
        kind=Kind.TRIM,
        wanted=0.0,
        actual=-deep,
        at=at,
        to=to,
        other=b.id,
        other_trim=b.trim.name,
    )


def _middle(vertices: Points, triangles: Points) -> Points:
    """The middle of a body's box or, where that lies outside it, the corner of the body nearest to it."""
    middle = (vertices.min(axis=0) + vertices.max(axis=0)) / 2
    if contains(triangles, middle):
        return np.asarray(middle)
    return np.asarray(vertices[np.linalg.norm(vertices - middle, axis=1).argmin()])


def _across(room: Room, a: Piece, piece: Piece, vertices: Points, middle: Points) -> tuple[Place, Place, float]:
    """The least extent of a body along the axes of a piece, and the two ends of it through the middle, on a's wall."""
    station, _ = piece.frame.locate((float(middle[0]), float(middle[1])))
    frame: Frame = piece.frame.tangent(station)
    local = to_frame(frame, vertices)
    axis = int(np.ptp(local, axis=0).argmin())
    ends = np.tile(to_frame(frame, middle[None])[0], (2, 1))
    ends[:, axis] = local[:, axis].min(), local[:, axis].max()
    at, to = (place_of(room, a.wall, frame, end) for end in ends)
    return at, to, float(np.ptp(local[:, axis]))
