"""Pieces along curved walls told in stations of the wall's own face, as an elevation unrolled along it shows them."""

from __future__ import annotations

from dataclasses import replace

from trimwright.room import AnyFrame
from trimwright.setout.inclines import incline_on
from trimwright.setout.piece import End, Piece, SetOut

__all__ = ["unrolled", "unrolled_piece"]


def unrolled(set_out: SetOut) -> SetOut:
    """The same with every straight segment of a curved wall laid along its face; ids, joints and mates stay.

    Only for places: the length of a segment is that of the piece itself, a trifle off the arc over it.
    """
    if all(wall.bend is None for wall in set_out.room.walls):
        return set_out
    return replace(set_out, pieces=tuple(unrolled_piece(set_out, piece) for piece in set_out.pieces))


def unrolled_piece(set_out: SetOut, piece: Piece) -> Piece:
    """A piece in the frame of its wall, if that is curved and the piece lies along it in a frame of its own."""
    wall = set_out.room.walls[piece.wall]
    if wall.bend is None or piece.is_return or piece.bend is not None:
        return piece
    notches = tuple(
        replace(n, station=wall.bend.locate(piece.frame.plan(n.station, n.out))[0], out=n.out) for n in piece.notches
    )

    def along(station: float) -> float:
        return wall.frame.locate(piece.frame.plan(station, piece.trim.edges.back))[0]

    return replace(
        piece,
        frame=wall.bend,
        left=_end(piece, piece.left, wall.bend),
        right=_end(piece, piece.right, wall.bend),
        notches=notches,
        grooves=tuple(replace(groove, station=along(groove.station)) for groove in piece.grooves),
        housings=tuple(replace(housing, station=along(housing.station)) for housing in piece.housings),
        incline=incline_on(piece.trim, set_out.room, wall.index),
    )


def _end(piece: Piece, end: End, face: AnyFrame) -> End:
    """The end through the places of its back and of its front along the face."""
    back, _, front, _ = piece.trim.edges
    low, high = (face.locate(piece.frame.plan(end.at(out), out))[0] for out in (back, front))
    slope = (high - low) / (front - back)
    return replace(end, station=low - slope * back, slope=slope)
