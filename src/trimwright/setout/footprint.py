"""Pieces must not share floor: in plan each is a trapezium, and two of one trim may only touch."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trimwright.errors import DoesNotFit
from trimwright.room import PlanPoint, Room, segments_within
from trimwright.setout.piece import Piece
from trimwright.setout.plan_shapes import bite

__all__ = ["check_footprints", "footprint"]

BITE = 0.5
"""Two footprints that overlap by less than this (mm, least translation that parts them) are taken to touch."""


def footprint(piece: Piece, start: float = 0.0, stop: float = 1.0) -> tuple[PlanPoint, ...]:
    """The four plan corners of a piece: back left, back right, front right, front left.

    With `start` and `stop`, those of the part between these shares of its length.
    """
    back, _, front, _ = piece.trim.edges
    corners = ((start, back), (stop, back), (stop, front), (start, front))
    return tuple(
        piece.frame.plan(piece.left.at(out) + part * (piece.right.at(out) - piece.left.at(out)), out)
        for part, out in corners
    )


def check_footprints(pieces: Sequence[Piece], room: Room) -> None:
    """Raises DoesNotFit for two pieces of one trim that would lie in each other, as in an alcove that is too narrow.

    Mates are left out: a cope lies over its mate by design.
    """
    owned = [(piece, part) for piece in pieces for part in _parts(piece)]
    prints = [part for _, part in owned]
    for i, j in _near(prints):
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


def _parts(piece: Piece) -> list[tuple[PlanPoint, ...]]:
    """The footprint; of a bent piece those of straight lengths within `BITE` of the arc."""
    low, high = piece.extent
    count = 1 if piece.bend is None else segments_within(piece.bend, high - low, BITE, piece.trim.edges.front)
    return [footprint(piece, k / count, (k + 1) / count) for k in range(count)]


def _near(prints: Sequence[tuple[PlanPoint, ...]]) -> Iterator[tuple[int, int]]:
    """Pairs whose boxes meet, by a sweep along x."""
    boxes = [(min(x for x, _ in q), max(x for x, _ in q), min(y for _, y in q), max(y for _, y in q)) for q in prints]
    active: list[int] = []
    for i in sorted(range(len(boxes)), key=lambda k: boxes[k][0]):
        active = [j for j in active if boxes[j][1] > boxes[i][0]]
        for j in active:
            if boxes[j][2] < boxes[i][3] and boxes[i][2] < boxes[j][3]:
                yield (i, j) if i < j else (j, i)
        active.append(i)
