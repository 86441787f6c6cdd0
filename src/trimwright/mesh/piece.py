"""Pieces as meshes: swept between their end planes; only coped and notched ones meet a boolean."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from trimwright.errors import GeometryError
from trimwright.frame import Bend
from trimwright.mesh.bend import bent_sweep
from trimwright.mesh.body import Body, Kind
from trimwright.mesh.cut import beyond_mate, cope_cutter, inclined, largest, notch_cutter, subtract
from trimwright.mesh.hollow import hollow_cutters
from trimwright.mesh.shape import Mesh
from trimwright.mesh.sweep import Plane, Stencil, stencil, sweep
from trimwright.setout.curved.bends import end_station
from trimwright.setout.piece import Joint, Piece, SetOut, Side, Trim
from trimwright.tolerance import CHORD

__all__ = ["piece_mesh", "piece_meshes", "renewed_meshes", "trim_bodies", "trim_meshes"]


def piece_mesh(piece: Piece, set_out: SetOut, chord: float = CHORD) -> Mesh:
    """One piece as it is fitted in the room, closed and of positive volume.

    `chord` is the largest distance in mm between an arc of the section and the flat facets that stand for it.
    """
    return _meshes([piece], piece.trim, set_out, chord, 0.0)[0]


def piece_meshes(set_out: SetOut, chord: float = CHORD) -> dict[str, Mesh]:
    """Every piece of the room by its id, in the order of the pieces."""
    made = {
        piece.id: mesh
        for trim in set_out.trims
        for piece, mesh in zip(set_out.of_trim(trim), trim_meshes(set_out, trim, chord), strict=True)
    }
    return {piece.id: made[piece.id] for piece in set_out.pieces}


def renewed_meshes(set_out: SetOut, before: SetOut, meshes: Mapping[str, Mesh]) -> dict[str, Mesh]:
    """The same, when a room is set out again: the meshes of trims that have the same pieces as `before` are kept.

    A piece is cut by its own notches and by mates of its own trim, so that nothing else can have changed it.
    """
    made: dict[str, Mesh] = {}
    for trim in set_out.trims:
        pieces = set_out.of_trim(trim)
        same = pieces == tuple(p for p in before.pieces if p.trim.name == trim.name)
        found = [meshes[p.id] for p in pieces] if same else trim_meshes(set_out, trim)
        made |= {piece.id: mesh for piece, mesh in zip(pieces, found, strict=True)}
    return {piece.id: made[piece.id] for piece in set_out.pieces}


def trim_meshes(set_out: SetOut, trim: Trim, chord: float = CHORD, gap: float = 0.0) -> list[Mesh]:
    """The pieces of one trim, clockwise; with a `gap`, the two pieces of each joint stand that far apart (mm).

    A gap is wanted where all pieces go into one file: faces that touch would be read as one surface, and an edge
    with four faces is not a solid to any program that checks.
    """
    return _meshes(set_out.of_trim(trim), trim, set_out, chord, gap)


def _meshes(pieces: Sequence[Piece], trim: Trim, set_out: SetOut, chord: float, gap: float) -> list[Mesh]:
    if not pieces:
        return []
    returns = {piece.id for piece in set_out.pieces if piece.is_return} if gap else set()
    shape = stencil(trim.outline, chord)
    straight = [piece for piece in pieces if piece.bend is None]
    lefts, rights = ([_plane(piece, side, gap, returns) for piece in straight] for side in Side)
    try:
        swept = sweep(shape, [p.frame.tangent(0.0) for p in straight], lefts, rights, [_name(p) for p in straight])
        bodies = dict(zip((piece.id for piece in straight), swept, strict=True))
        bodies |= {p.id: _bent(p, p.bend, shape, chord, gap, returns) for p in pieces if p.bend is not None}
    except ValueError as fault:
        raise GeometryError(str(fault)) from None
    return [_cut(piece, inclined(piece, bodies[piece.id]), set_out, chord, gap) for piece in pieces]


def _name(piece: Piece) -> str:
    return f"{piece.trim.name} {piece.id}"


def _bent(piece: Piece, bend: Bend, shape: Stencil, chord: float, gap: float, returns: set[str]) -> Mesh:
    """A piece along an arc, each point of the section between its places on the two end planes."""
    outs = shape.points[:, 0].tolist()

    def stations(side: Side) -> list[float]:
        held_back = _plane(piece, side, gap, returns)[0] - piece.end(side).station
        return [station + held_back for station in end_station(piece, side, outs)]

    return bent_sweep(shape, bend, stations(Side.LEFT), stations(Side.RIGHT), _name(piece), chord)


def _plane(piece: Piece, side: Side, gap: float, returns: set[str]) -> Plane:
    """The plane on which a swept end lies, held back by its share of the gap.

    Two alike share it. A return keeps its length, being nothing long at its back, and the main piece gives all;
    so does a square end in a corner, where only one of the two pieces runs against the other.
    """
    end = piece.end(side)
    if end.joint is Joint.COPE:
        return beyond_mate(piece, side)
    if not gap or end.mate is None or piece.is_return:
        return (end.station, end.slope)
    alone = end.mate in returns or (end.joint is Joint.SQUARE and end.corner is not None)
    held_back = (gap if alone else gap / 2) * math.hypot(1.0, end.slope)
    return (end.station + (held_back if side is Side.LEFT else -held_back), end.slope)


def _cut(piece: Piece, body: Mesh, set_out: SetOut, chord: float, gap: float) -> Mesh:
    """Take the notches and the copes out of a swept piece, all at once."""
    copes = [end for end in (piece.left, piece.right) if end.joint is Joint.COPE and end.mate is not None]
    if not copes and not piece.cuts:
        return body
    cutters = [cope_cutter(piece, end, set_out.piece(end.mate or ""), chord, gap) for end in copes]
    cutters += [notch_cutter(piece, notch, chord) for notch in piece.notches]
    cutters += [cutter for hollow in piece.hollows for cutter in hollow_cutters(piece, hollow, chord)]
    cut = subtract(body, cutters)
    return largest(cut) if piece.cuts else cut


def trim_bodies(set_out: SetOut, chord: float = CHORD, meshes: Mapping[str, Mesh] | None = None) -> tuple[Body, ...]:
    """Every piece with its colour and its names, for the model and the pictures; `meshes` by id if they are made."""
    meshes = meshes or piece_meshes(set_out, chord)
    return tuple(
        Body(
            name=meshes[piece.id].name,
            vertices=meshes[piece.id].vertices,
            faces=meshes[piece.id].faces,
            colour=piece.trim.material.colour,
            kind=Kind.TRIM,
            trim=piece.trim.name,
            piece=piece.id,
        )
        for piece in set_out.pieces
    )
