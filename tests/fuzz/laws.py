"""What holds of every room that the program takes, and of every answer it gives to one that it refuses."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import math
from collections.abc import Iterator, Mapping
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import numpy as np

from trimwright.clearance.open_joints import open_joints
from trimwright.clearance.overlaps import overlaps as told_overlaps
from trimwright.mesh.shape import Mesh
from trimwright.setout.piece import Joint, Piece, SetOut
from trimwright.tolerance import BITE, OPEN_JOINT

if TYPE_CHECKING:
    from cadquery import Solid

__all__ = ["broken_joints", "broken_meshes", "broken_pack", "broken_pieces", "broken_solids", "overlaps"]

COMMON = 2.0
"""Bodies that share less than this (mm³) touch: chords of arcs on both sides of a cope differ by as much."""

MESHED = 0.1
"""What lies in something else is as thick by the meshes as by the exact solids but for this (mm)."""

BOXED = 1.0
"""Square ends are set by the boxes of the sections; where a section does not fill its box they stand this far apart
(mm) in a corner that is not true, and a build says so."""

SLOPED = 200.0
"""The same where runs change slope at a corner, whose faces miss each other by up to `tolerance.EASED`."""


def broken_pieces(done: SetOut) -> Iterator[str]:
    """Ids once each, every mate names its piece back, everything is finite, the order is one of all pieces."""
    ids = [piece.id for piece in done.pieces]
    if len(set(ids)) != len(ids):
        yield "an id is given twice"
    if sorted(done.order) != sorted(ids):
        yield "the fitting order is not one of all pieces"
    for piece in done.pieces:
        if not all(math.isfinite(v) for v in (piece.length, piece.back_length, piece.front_length)):
            yield f"{piece.id}: not a length"
        if piece.length <= 0 or (not piece.is_return and min(piece.back_length, piece.front_length) <= 0):
            yield f"{piece.id}: nothing long"
        for end in (piece.left, piece.right):
            if end.mate is not None:
                mate = done.piece(end.mate)
                if piece.id not in (mate.left.mate, mate.right.mate):
                    yield f"{piece.id}: its mate {mate.id} does not know it"


def broken_meshes(done: SetOut, meshes: Mapping[str, Mesh]) -> Iterator[str]:
    """Closed, right way out, and of the volume that Pappus gives a bar between planes; cut ones of less."""
    for piece in done.pieces:
        mesh = meshes[piece.id]
        if not np.isfinite(mesh.vertices).all():
            yield f"{piece.id}: a vertex is nowhere"
        elif not mesh.closed:
            yield f"{piece.id}: not closed"
        elif not mesh.volume > 0:
            yield f"{piece.id}: volume {mesh.volume}"
        elif is_bar(piece):
            exact = pappus(piece)
            if abs(mesh.volume - exact) > 1e-3 * exact:
                yield f"{piece.id}: mesh of {mesh.volume:.2f} mm³, by Pappus {exact:.2f}"


def broken_solids(done: SetOut, meshes: Mapping[str, Mesh]) -> Iterator[str]:
    """Valid, of the exact volume, the same as the mesh where cut; joints without overlap or gap."""
    from trimwright.solid.bent import exact_volume
    from trimwright.solid.build import room_solids
    from trimwright.solid.joints import FaultKind, joint_faults

    solids = room_solids(done)
    for piece in done.pieces:
        solid, mesh = solids[piece.id], meshes[piece.id]
        volume = exact_volume(solid) if piece.bend is not None else solid.Volume()
        if not solid.isValid():
            yield f"{piece.id}: no valid solid"
        exact = pappus(piece)
        if is_bar(piece):
            if abs(volume - exact) > 1e-6 * exact:
                yield f"{piece.id}: solid of {volume:.3f} mm³, by Pappus {exact:.3f}"
        elif abs(volume - mesh.volume) > 2e-3 * exact:
            yield f"{piece.id}: solid of {volume:.1f} mm³, mesh of {mesh.volume:.1f}"
    yield from _told_otherwise(done, meshes, solids)
    faults = joint_faults(done, solids)
    open_by_solids = {(f.first, f.second): f.amount for f in faults if f.kind is FaultKind.GAP}
    open_by_meshes = {(joint.first, joint.second): joint.gap for joint in open_joints(done, meshes)}
    for pair in open_by_solids.keys() | open_by_meshes.keys():
        exact, told_gap = open_by_solids.get(pair, 0.0), open_by_meshes.get(pair, 0.0)
        if abs(exact - told_gap) > MESHED + OPEN_JOINT:
            yield f"{pair}: {exact:.3f} apart by the exact solids, told as {told_gap:.3f}"
    told = {frozenset((fault.first, fault.second)) for fault in faults}
    for fault in faults:
        near = fault.kind is FaultKind.GAP and fault.amount < BOXED + _wedge(done, fault.first, fault.second)
        if done.piece(fault.first).trim.name == done.piece(fault.second).trim.name and not near:
            yield str(fault)
    for a, b in overlaps(done, meshes):
        if done.piece(a).trim.name == done.piece(b).trim.name and {a, b} not in told:
            yield f"{a} and {b} share space, which is not told"


def _told_otherwise(done: SetOut, meshes: Mapping[str, Mesh], solids: Mapping[str, Solid]) -> Iterator[str]:
    """Pieces of two trims that lie in each other by the meshes and not by the exact solids, or the other way round."""
    told = {(line.piece, line.other): -line.actual for line in told_overlaps(done, meshes)}
    for a, b in near(done, meshes):
        if a.trim.name != b.trim.name:
            parts = solids[a.id].intersect(solids[b.id]).Solids()
            thick = max((2 * part.Volume() / part.Area() for part in parts), default=0.0)
            if (a.id, b.id) in told and thick < BITE - MESHED:
                yield f"{a.id} and {b.id}: told to lie in each other, by the exact solids {thick:.3f}"
            if (a.id, b.id) not in told and thick > BITE + MESHED:
                yield f"{a.id} and {b.id}: lie in each other by the exact solids, {thick:.3f}, and are not told"


def overlaps(done: SetOut, meshes: Mapping[str, Mesh]) -> Iterator[tuple[str, str]]:
    """Pairs of pieces that share space, found by another kernel (manifold3d) on the meshes."""
    from manifold3d import Manifold, Mesh64

    bodies: dict[str, Manifold] = {}

    def body(piece: str) -> Manifold:
        if piece not in bodies:
            mesh = meshes[piece]
            bodies[piece] = Manifold(Mesh64(np.ascontiguousarray(mesh.vertices), mesh.faces.astype(np.uint64)))
        return bodies[piece]

    for a, b in near(done, meshes):
        eased = SLOPED if a.incline or b.incline else COMMON
        if (body(a.id) ^ body(b.id)).volume() > eased:
            yield a.id, b.id


def near(done: SetOut, meshes: Mapping[str, Mesh]) -> Iterator[tuple[Piece, Piece]]:
    """Pairs of pieces whose boxes share something."""
    boxes = {k: (m.vertices.min(0) + 1e-3, m.vertices.max(0) - 1e-3) for k, m in meshes.items()}
    for a, b in combinations(done.pieces, 2):
        (low_a, high_a), (low_b, high_b) = boxes[a.id], boxes[b.id]
        if (low_a < high_b).all() and (low_b < high_a).all():
            yield a, b


def broken_joints(done: SetOut, meshes: Mapping[str, Mesh]) -> Iterator[str]:
    """Pieces of one trim that share space. Those of two trims may, if their room says so: a build tells it."""
    for a, b in overlaps(done, meshes):
        if done.piece(a).trim.name == done.piece(b).trim.name:
            yield f"{a} and {b} share space"


def _wedge(done: SetOut, first: str, second: str) -> float:
    """How far a square end may stand off its mate in a corner that is not true: depth * cot C where the sections reach
    as far as their boxes at one end of the wedge alone."""
    piece = done.piece(first)
    back, _, front, _ = piece.trim.edges
    ends = (piece.left, piece.right)
    angles = [e.corner for e in ends if e.mate == second and e.joint is Joint.SQUARE and e.corner is not None]
    return max(((front - back) * abs(1 / math.tan(math.radians(c))) for c in angles), default=0.0)


def is_bar(piece: Piece) -> bool:
    """True if nothing is cut out of it between its end planes."""
    return piece.bend is None and not piece.cuts and Joint.COPE not in (piece.left.joint, piece.right.joint)


def pappus(piece: Piece) -> float:
    """Area of the section times the way of its centroid (Pappus and Guldin)."""
    return piece.trim.outline.area * piece.length_at(piece.trim.outline.centroid[0])


def broken_pack(place: Path) -> Iterator[str]:
    """What pack.json lists is there with its sum and nothing else; markup holds only the program's own elements."""
    listed = {f["path"]: f["sha256"] for f in json.loads((place / "pack.json").read_text(encoding="utf-8"))["files"]}
    there = {p.relative_to(place).as_posix(): p for p in place.rglob("*") if p.is_file() and p.name != "pack.json"}
    if listed.keys() != there.keys():
        yield f"listed or there, not both: {sorted(listed.keys() ^ there.keys())}"
    for name, path in there.items():
        data = path.read_bytes()
        if hashlib.sha256(data).hexdigest() != listed.get(name):
            yield f"{name}: not what pack.json says"
        if path.suffix == ".svg":
            tags = {element.tag.rpartition("}")[2] for element in ElementTree.fromstring(data).iter()}
            if tags & {"script", "b", "foreignObject", "image", "a"}:
                yield f"{name}: holds {sorted(tags)}"
        if path.suffix == ".csv":
            for row in csv.reader(io.StringIO(data.decode("utf-8"), newline="")):
                yield from (f"{name}: a formula: {cell}" for cell in row if cell[:1] in ("=", "+", "@", "\t", "\r"))
