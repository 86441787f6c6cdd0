"""The order in which the pieces of a trim can be put up, found by taking them down again.

Taking a piece away never bars the way of another, so whichever comes off first may: if pieces are taken off one after
the other, always one that is free, either all come off or those that are left cannot be had in any order.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trimwright.room import Room
from trimwright.setout.piece import Joint, Piece
from trimwright.setout.plan_shapes import apart
from trimwright.setout.putting_up.standing import HAND, Standing, standing
from trimwright.setout.putting_up.ways_in import way_in

__all__ = ["fitting_order"]


def fitting_order(
    wanted: Sequence[Piece], up: Sequence[Standing], room: Room
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Ids in the order of fitting, as near to the one wanted as can be, and those for which there is no way in.

    `up` is what has been fitted before. Nothing comes off while another is coped over it or turns back from it.
    """
    own = [standing(piece, room) for piece in wanted]
    near = _neighbours(own, up)
    holders = _holders(wanted)
    left = {s.piece.id: s for s in own}
    before = {s.piece.id for s in up}
    last_first: list[str] = []
    barred: list[str] = []

    def loose() -> Iterator[Standing]:
        return (s for s in reversed(left.values()) if not any(name in left for name in holders.get(s.piece.id, ())))

    def is_free(s: Standing) -> bool:
        standing_by = [o for o in near[s.piece.id] if o.piece.id in left or o.piece.id in before]
        return way_in(s, standing_by, room) is not None

    while left:
        free = next((s for s in loose() if is_free(s)), None)
        off = free or next(loose())
        if free is None:
            barred.append(off.piece.id)
        last_first.append(off.piece.id)
        del left[off.piece.id]
    return tuple(last_first[::-1]), tuple(barred[::-1])


def _holders(pieces: Sequence[Piece]) -> dict[str, list[str]]:
    """By piece, those that go up after it: coped over it, or the return at its end."""
    found: dict[str, list[str]] = {}
    for piece in pieces:
        for end in (piece.left, piece.right):
            if end.mate is not None and (end.joint is Joint.COPE or piece.is_return):
                found.setdefault(end.mate, []).append(piece.id)
    return found


def _neighbours(own: Sequence[Standing], up: Sequence[Standing]) -> dict[str, list[Standing]]:
    """By piece, what stands so near that it can be in the way, found by a sweep along x."""
    near: dict[str, list[Standing]] = {s.piece.id: [] for s in own}
    active: list[Standing] = []
    for here in sorted([*own, *up], key=lambda s: s.box[0] - _reach(s)):
        low = here.box[0] - _reach(here)
        active = [s for s in active if s.box[2] + _reach(s) >= low]
        for other in active:
            reach = max(_reach(here), _reach(other))
            x0, y0, x1, y1 = here.box
            if not apart((x0 - reach, y0 - reach, x1 + reach, y1 + reach), other.box):
                for one, two in ((here, other), (other, here)):
                    if one.piece.id in near:
                        near[one.piece.id].append(two)
        active.append(here)
    return near


def _reach(s: Standing) -> float:
    """How far a piece moves, or spreads, on its way: its own width and a hand, either way."""
    return s.depth + HAND
