"""Solids that were made before: only those of pieces that have changed are made again."""

from __future__ import annotations

import io

import cadquery as cq
from OCP.BinTools import BinTools
from OCP.TopoDS import TopoDS_Shape

from trimwright.cache import keep_all, kept, key_of
from trimwright.setout.piece import Joint, Piece, SetOut, Side
from trimwright.solid.build import piece_solid

__all__ = ["kept_solids"]

NOT_SEEN = ("Piece.id", "Piece.wall", "End.mate", "Trim.stock")
"""What shows in no solid: names and numbers, which change when a piece comes between, and the lengths that are sold."""


def kept_solids(set_out: SetOut) -> dict[str, cq.Solid]:
    """Every piece's solid by its id, as `room_solids` makes them.

    A solid that was just made goes through its bytes as well: one that was read back is the same body, but its faces
    share their parts otherwise, which would show in a file. Raises GeometryError as `piece_solid` does.
    """
    fresh, solids = dict[str, bytes](), dict[str, cq.Solid]()
    for piece in set_out.pieces:
        key = _key(piece, set_out)
        data = fresh.get(key) or kept("solid", key)
        if data is None:
            data = fresh[key] = _bytes(piece_solid(piece, set_out))
        solids[piece.id] = _solid(data)
    keep_all("solid", fresh)
    return solids


def _key(piece: Piece, set_out: SetOut) -> str:
    """What a solid follows from: its piece, and the pieces that it is coped to."""
    mates = [end.mate and set_out.piece(end.mate) for end in map(piece.end, Side) if end.joint is Joint.COPE]
    return key_of(piece, mates, without=NOT_SEEN)


def _bytes(solid: cq.Solid) -> bytes:
    """The solid in the kernel's own binary form, to the last bit of every number."""
    out = io.BytesIO()
    BinTools.Write_s(solid.wrapped, out)
    return out.getvalue()


def _solid(data: bytes) -> cq.Solid:
    shape = TopoDS_Shape()
    BinTools.Read_s(shape, io.BytesIO(data))
    return cq.Solid(shape)
