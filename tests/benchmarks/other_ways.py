"""The room of `workload.py` made without this program: what it is measured against. Nothing of its geometry is used.

Each way takes the pieces as set out and returns solids or the bytes of one STL a trim.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from workload import CHORD

from trimwright.profile.outline import Arc
from trimwright.setout.piece import Notch, Piece, SetOut, Trim

__all__ = ["half_spaces", "manifold", "numpy_limit", "stl_bytes_of", "sweep_and_cut", "triangulated"]

FAR = 1e4
PAST = 5.0
"""How far cutters and bodies that are cut reach past what they have to, mm."""


def half_spaces(job: SetOut) -> list[Any]:
    """By the kernel, a wall at a time: extruded too long, cut by the half-spaces of its mitres and by its own slots."""
    return [_piece_by_half_spaces(piece) for piece in job.pieces]


def sweep_and_cut(job: SetOut) -> list[Any]:
    """By the kernel, a trim at a time: the section swept round the room with right corners, then all slots cut."""
    import cadquery as cq

    made = []
    first, *others = job.room.walls
    middle = first.frame.plan(first.length / 2)
    corners = [middle, *(wall.start for wall in others), first.start, middle]
    path = cq.Wire.makePolygon([cq.Vector(x, y, 0) for x, y in corners])
    for trim in job.trims:
        wire = _wire(trim, lambda p: cq.Vector(*first.frame.room_point(first.length / 2, *p)))
        body = cq.Solid.sweep(wire, [], path, True, False, None, "right")
        pieces = job.of_trim(trim)
        slots = [tool.moved(_place(p)) for p in pieces for notch in p.notches for tool in _slot(notch)]
        made.append(body.cut(*slots) if slots else body)
    return made


def triangulated(solids: Sequence[Any]) -> int:
    """Bytes of the solids as one STL, triangulated by the kernel at the program's chord error."""
    import tempfile
    from pathlib import Path

    import cadquery as cq

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "room.stl"
        cq.exporters.export(cq.Workplane(cq.Compound.makeCompound(solids)), str(path), tolerance=CHORD)
        return path.stat().st_size


def _piece_by_half_spaces(piece: Piece) -> Any:
    import cadquery as cq

    low, high = piece.extent
    wire = _wire(piece.trim, lambda p: cq.Vector(low - PAST, -p[0], p[1]))
    solid = cq.Solid.extrudeLinear(wire, [], cq.Vector(high - low + 2 * PAST, 0, 0))
    solid = solid.cut(_half_space(piece.left.station, piece.left.slope, -1))
    solid = solid.cut(_half_space(piece.right.station, piece.right.slope, 1))
    for notch in piece.notches:
        solid = solid.cut(*_slot(notch))
    return solid.moved(_place(piece))


def _place(piece: Piece) -> Any:
    import cadquery as cq

    turn = math.degrees(math.atan2(piece.frame.along[1], piece.frame.along[0]))
    return cq.Location(cq.Vector(*piece.frame.origin, 0), cq.Vector(0, 0, 1), turn)


def _wire(trim: Trim, vector: Any) -> Any:
    import cadquery as cq

    return cq.Wire.assembleEdges(
        [
            cq.Edge.makeThreePointArc(vector(s.start), vector(s.middle), vector(s.end))
            if isinstance(s, Arc)
            else cq.Edge.makeLine(vector(s.start), vector(s.end))
            for s in trim.outline.segments
        ]
    )


def _half_space(station: float, slope: float, side: int) -> Any:
    """All that lies beyond an end plane (a block large enough for the piece)."""
    import cadquery as cq

    away = station + side * 2 * FAR
    corners = [(station - FAR * slope, FAR), (station + FAR * slope, -FAR), (away, -FAR), (away, FAR)]
    return cq.Workplane("XY").polyline(corners).close().extrude(FAR).val()


def _slot(notch: Notch) -> tuple[Any, Any]:
    """A round hole and the block between it and the wall."""
    import cadquery as cq

    hole = cq.Workplane("XY").center(notch.station, -notch.out).circle(notch.radius).extrude(FAR).val()
    block = cq.Workplane("XY").box(2 * notch.radius, notch.out + PAST, FAR, centered=(True, False, False))
    return hole, block.translate((notch.station, -notch.out, 0)).val()


def manifold(job: SetOut) -> int:
    """By manifold3d's booleans: extruded too long, trimmed by the mitre planes, slots subtracted together."""
    from manifold3d import CrossSection, Manifold, OpType

    total = 0
    for trim in job.trims:
        flat = CrossSection([np.array(trim.outline.points(CHORD))])
        parts = []
        for piece in job.of_trim(trim):
            low, high = piece.extent
            # Extruded along z with (out, height) in its plane; then station, out and height become the room's.
            body = Manifold.extrude(flat, high - low + 2 * PAST).translate([0.0, 0.0, low - PAST])
            for end, sign in ((piece.left, 1.0), (piece.right, -1.0)):
                size = math.hypot(1.0, end.slope)
                normal = [-sign * end.slope / size, 0.0, sign / size]
                body = body.trim_by_plane(normal, sign * end.station / size)
            (ax, ay), (ox, oy) = piece.frame.along, piece.frame.outward
            x, y = piece.frame.origin
            body = body.transform(np.array([[ox, 0, ax, x], [oy, 0, ay, y], [0, 1, 0, 0]], float))
            if piece.notches:
                slots = [_slot_mesh(piece, n) for n in piece.notches]
                body = Manifold.batch_boolean([body, *slots], OpType.Subtract)
            mesh = body.to_mesh64()
            parts.append(np.asarray(mesh.vert_properties)[np.asarray(mesh.tri_verts)])
        total += stl_bytes_of(parts)
    return total


def numpy_limit(job: SetOut) -> int:
    """The least that can be written by hand: points slid onto the end planes, manifold3d for notched pieces only."""
    from manifold3d import Manifold, Mesh64, OpType, triangulate

    total = 0
    for trim in job.trims:
        points = np.array(trim.outline.points(CHORD))
        cap = np.asarray(triangulate([points]))
        parts = []
        for piece in job.of_trim(trim):
            out, height = points.T
            vertices = np.array(
                [
                    (*piece.frame.plan(end.station + end.slope * o, o), h)
                    for end in (piece.left, piece.right)
                    for o, h in zip(out, height, strict=True)
                ]
            )
            faces = np.concatenate([cap, cap[:, ::-1] + len(points), _sides(len(points))])
            if piece.notches:
                slots = [_slot_mesh(piece, notch) for notch in piece.notches]
                body = Manifold(Mesh64(vertices, faces.astype(np.uint64)))
                made = Manifold.batch_boolean([body, *slots], OpType.Subtract).to_mesh64()
                vertices, faces = np.asarray(made.vert_properties), np.asarray(made.tri_verts)
            parts.append(vertices[faces])
        total += stl_bytes_of(parts)
    return total


def _slot_mesh(piece: Piece, notch: Notch) -> Any:
    from manifold3d import Manifold, Mesh64, triangulate

    flat = np.array([piece.frame.plan(*p) for p in _slot_loop(notch)])
    cap, n = np.asarray(triangulate([flat])), len(flat)
    low, high = piece.trim.edges.bottom - PAST, piece.trim.edges.top + PAST
    vertices = np.column_stack([np.tile(flat, (2, 1)), np.repeat([high, low], n)])
    return Manifold(Mesh64(vertices, np.concatenate([cap, cap[:, ::-1] + n, _sides(n)]).astype(np.uint64)))


def _slot_loop(notch: Notch) -> Iterator[tuple[float, float]]:
    """Station and out of a slot's outline: half a circle, and straight past the wall."""
    for turn in np.linspace(math.pi, 2 * math.pi, 12):
        yield notch.station + notch.radius * math.cos(turn), notch.out - notch.radius * math.sin(turn)
    yield notch.station + notch.radius, -PAST
    yield notch.station - notch.radius, -PAST


def _sides(n: int) -> np.ndarray:
    """Two triangles for each side of a tube whose rings have n points."""
    i = np.arange(n)
    j = (i + 1) % n
    return np.stack([j, i, i + n, j, i + n, j + n], axis=1).reshape(-1, 3)


def stl_bytes_of(parts: Sequence[np.ndarray]) -> int:
    """Length of a binary STL of corners (n, 3, 3), made in memory."""
    corners = np.concatenate(parts)
    records = np.zeros(len(corners), dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    records["n"] = cross / np.linalg.norm(cross, axis=1, keepdims=True)
    records["v"] = corners
    return len(bytes(80) + len(records).to_bytes(4, "little") + records.tobytes())
