"""The order in which the pieces of a trim can be put up, found by taking them down again.

Taking a piece away never bars the way of another, so whichever comes off first may: if pieces are taken off one after
the other, always one that is free, either all come off or those that are left cannot be had in any order.
"""

from __future__ import annotations

from collections.abc import Sequence

from trimwright.room import Room
from trimwright.setout.piece import Joint, Piece
from trimwright.setout.ways_in import Standing, standing, way_in

__all__ = ["fitting_order"]


def fitting_order(
    wanted: Sequence[Piece], up: Sequence[Standing], room: Room
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Ids in the order of fitting, as near to the one wanted as can be, and those for which there is no way in.

    `up` is what has been fitted before. Nothing comes off while another is coped over it or turns back from it.
    """
    left = [standing(piece) for piece in wanted]
    last_first: list[str] = []
    barred: list[str] = []
    while left:
        loose = [s for s in reversed(left) if not any(_holds(other.piece, s.piece) for other in left)]
        free = next((s for s in loose if way_in(s, [*up, *(o for o in left if o is not s)], room)), None)
        if free is None:
            barred.append(loose[0].piece.id)
        off = free or loose[0]
        last_first.append(off.piece.id)
        left = [s for s in left if s is not off]
    return tuple(last_first[::-1]), tuple(barred[::-1])


def _holds(other: Piece, piece: Piece) -> bool:
    """True if `other` goes up after `piece`: it is coped over it, or is the return at its end."""
    ends = (other.left, other.right)
    return any(e.mate == piece.id and (e.joint is Joint.COPE or other.is_return) for e in ends)
