"""Which end of which piece meets which, and how far ends on one plane stand apart."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from trimwright.setout.piece import Joint, Piece, Side

__all__ = ["joints", "plane_gap"]

SHARED_PLANE = frozenset({Joint.MITRE, Joint.RETURN, Joint.SCARF})
"""Joints in which both pieces end on one and the same plane."""


def joints(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Side, Piece, Side]]:
    """Each joint once, from the piece that comes first: a piece and its end, its mate and the end of that."""
    by_id = {piece.id: piece for piece in pieces}
    seen: set[frozenset[tuple[str, Side]]] = set()
    for piece in pieces:
        for side in Side:
            mate = piece.end(side).mate
            other = Side.RIGHT if side is Side.LEFT else Side.LEFT
            if mate is not None and (joint := frozenset({(piece.id, side), (mate, other)})) not in seen:
                seen.add(joint)
                yield piece, side, by_id[mate], other


def plane_gap(piece: Piece, side: Side, mate: Piece, other: Side) -> float | None:
    """How far two ends that share a plane are from meeting there, mm; None for a joint that has no such plane."""
    if piece.end(side).joint not in SHARED_PLANE or mate.end(other).joint not in SHARED_PLANE:
        return None
    return max(
        math.dist(piece.frame.plan(piece.end(side).at(out), out), mate.frame.plan(mate.end(other).at(out), out))
        for out in (piece.trim.edges.back, piece.trim.edges.front)
    )
