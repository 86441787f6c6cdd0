"""Pieces must not share floor: in plan each is a trapezium, and two of one trim may only touch."""

from __future__ import annotations

from collections.abc import Sequence

from trimwright.errors import DoesNotFit
from trimwright.room import PlanPoint, Room, segments_within
from trimwright.setout.piece import Piece
from trimwright.setout.plan_shapes import bite, box_of, meeting
from trimwright.tolerance import BITE

__all__ = ["check_footprints", "footprint", "footprints"]


def footprint(
    piece: Piece, start: float = 0.0, stop: float = 1.0, outs: tuple[float, float] | None = None
) -> tuple[PlanPoint, ...]:
    """The four plan corners of a piece: back left, back right, front right, front left.

    With `start` and `stop`, those of the part between these shares of its length; with `outs`, of what lies between
    these distances out.
    """
    back, front = outs or (piece.trim.edges.back, piece.trim.edges.front)
    corners = ((start, back), (stop, back), (stop, front), (start, front))
    return tuple(
        piece.frame.plan(piece.left.at(out) + part * (piece.right.at(out) - piece.left.at(out)), out)
        for part, out in corners
    )


def check_footprints(pieces: Sequence[Piece], room: Room) -> None:
    """Raises DoesNotFit for two pieces of one trim that would lie in each other, as in an alcove that is too narrow.

    Mates are left out: a cope lies over its mate by design.
    """
    owned = [(piece, part) for piece in pieces for part in footprints(piece)]
    prints = [part for _, part in owned]
    for i, j in meeting([box_of(part) for part in prints]):
        a, b = owned[i][0], owned[j][0]
        if a is b:
            continue
        mates = {a.left.mate, a.right.mate}
        if a.trim.name == b.trim.name and b.id not in mates and bite(prints[i], prints[j]) > BITE:
            walls = " and ".join(f"'{room.walls[w].name}'" for w in sorted({a.wall, b.wall}))
            raise DoesNotFit(
                f"trim '{a.trim.name}': pieces on {walls} would lie in each other; there is no room for a projection"
                f" of {a.trim.edges.front - a.trim.edges.back:g} there: use a smaller size or leave a wall out"
            )


def footprints(piece: Piece, outs: tuple[float, float] | None = None) -> list[tuple[PlanPoint, ...]]:
    """The footprint; of a bent piece those of straight lengths within `BITE` of the arc."""
    low, high = piece.extent
    count = 1 if piece.bend is None else segments_within(piece.bend, high - low, BITE, piece.trim.edges.front)
    return [footprint(piece, k / count, (k + 1) / count, outs) for k in range(count)]
