"""What a sweep cannot make: notches round pipes and copes over a mate, cut from one piece by one boolean."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from trimwright.errors import GeometryError
from trimwright.mesh.shape import Mesh
from trimwright.mesh.sweep import Plane, prism, stencil_of, sweep
from trimwright.profile.outline import Arc, Outline, Point, Segment, chord_points
from trimwright.profile.silhouette import front_silhouette
from trimwright.setout.cutouts.slots import notch_loop
from trimwright.setout.piece import End, Notch, Piece, Side
from trimwright.tolerance import CHORD, OVERCUT, TOUCH

if TYPE_CHECKING:
    from manifold3d import Manifold

__all__ = ["beyond_mate", "body_of", "cope_cutter", "inclined", "largest", "notch_cutter", "subtract"]


def body_of(mesh: Mesh) -> Manifold:
    """A mesh as a body that can be cut with others."""
    from manifold3d import Manifold, Mesh64

    return Manifold(Mesh64(np.ascontiguousarray(mesh.vertices), mesh.faces.astype(np.uint64)))


def subtract(body: Mesh, cutters: Sequence[Mesh]) -> Mesh:
    """`body` less all `cutters` at once. Raises GeometryError if nothing sound is left."""
    from manifold3d import Error, Manifold, OpType

    whole = body_of(body)
    left = Manifold.batch_boolean([whole, *map(body_of, cutters)], OpType.Subtract)
    if left.status() != Error.NoError or left.is_empty() or left.volume() > whole.volume() + TOUCH:
        raise GeometryError(f"{body.name}: nothing sound is left of it once all that crosses it is cut away")
    result = left.to_mesh64()
    vertices = np.array(result.vert_properties[:, :3], dtype=np.float64)
    return Mesh(vertices, np.array(result.tri_verts, dtype=np.int32), body.name)


def largest(body: Mesh) -> Mesh:
    """The largest of the parts of a body: what a slot close to a slanting end cuts off beyond it falls away."""
    parts = body_of(body).decompose()
    if len(parts) <= 1:
        return body
    left = max(parts, key=lambda part: float(part.volume())).to_mesh64()
    vertices = np.array(left.vert_properties[:, :3], dtype=np.float64)
    return Mesh(vertices, np.array(left.tri_verts, dtype=np.int32), body.name)


def inclined(piece: Piece, body: Mesh) -> Mesh:
    """A body made as if the piece lay level, raised to where the piece lies: plumb faces stay plumb."""
    slope = piece.incline
    if slope is None:
        return body
    face = piece.frame.tangent(0.0)
    (x, y), (ax, ay) = face.origin, face.along
    vertices = body.vertices.copy()
    stations = (vertices[:, 0] - x) * ax + (vertices[:, 1] - y) * ay
    vertices[:, 2] = slope.pivot + slope.lift + slope.rise * stations + (vertices[:, 2] - slope.pivot) * slope.stretch
    return Mesh(vertices, body.faces, body.name)


def notch_cutter(piece: Piece, notch: Notch, chord: float = CHORD) -> Mesh:
    """The body of a notch: a U in plan, open to the back or the front, or a hole, over the heights it spans."""
    _, bottom, _, top = piece.trim.edges
    # Drawn square to the wall at the notch, whose station is 0 there.
    slot = Outline.of(notch_loop(piece, notch))
    # An inclined piece is cut plumb over all the heights it reaches within the slot, and past them.
    heights = [piece.height(station, h) for station in notch.sides for h in (bottom, top)]
    low = min(heights) - OVERCUT if notch.bottom <= bottom + TOUCH else notch.bottom
    high = max(heights) + OVERCUT if notch.top >= top - TOUCH else notch.top
    return prism(slot.points(chord), low, high, piece.frame.tangent(notch.station), f"notch for {notch.pipe}")


def cope_cutter(piece: Piece, end: End, mate: Piece, chord: float = CHORD, gap: float = 0.0) -> Mesh:
    """Everything behind the front silhouette of `mate`, grown `gap` out, past the corner both ways."""
    _, bottom, front, top = mate.trim.edges
    reach = 2 * (front + piece.trim.edges.front) / math.sin(math.radians(_corner(piece, end))) + OVERCUT
    face = [edge.moved(gap, 0.0) for edge in front_silhouette(mate.trim.outline)]
    # The silhouette from bottom to top, then carried on past the section and the wall so that no faces coincide.
    low, high, rear = bottom - OVERCUT, top + OVERCUT, -2 * OVERCUT
    rim = [face[-1].end, (face[-1].end[0], high), (rear, high), (rear, low), (face[0].start[0], low)]
    loop = [point for edge in face for point in _edge_points(edge, chord)] + rim
    here = mate.frame.locate(piece.frame.plan(end.station))[0]
    ends: tuple[Plane, Plane] = ((here - reach, 0.0), (here + reach, 0.0))
    level = sweep(stencil_of(loop), [mate.frame.tangent(0.0)], [ends[0]], [ends[1]], [f"cope over {mate.id}"])[0]
    return inclined(mate, level)


def _edge_points(edge: Segment, chord: float) -> list[Point]:
    """The start of an edge and what stands for the arc up to its end, the end left out."""
    return [edge.start, *(chord_points(edge, chord)[:-1] if isinstance(edge, Arc) else ())]


def beyond_mate(piece: Piece, side: Side) -> Plane:
    """Where a piece that will be coped is first cut off: parallel to the mate's wall and a little behind its face.

    The mate's section lies wholly in front, and within it the silhouette is never behind the mitre plane, so the
    cope takes away the mitre with it; starting from the mitre itself would graze its own edge.
    """
    end = piece.end(side)
    corner = math.radians(_corner(piece, end))
    sign = 1 if side is Side.LEFT else -1
    return (end.station - sign * OVERCUT / math.sin(corner), sign / math.tan(corner))


def _corner(piece: Piece, end: End) -> float:
    if end.corner is None or not 0 < end.corner < 180:
        raise GeometryError(f"piece {piece.id}: only an internal corner can be coped, this end is at {end.corner}")
    return end.corner
