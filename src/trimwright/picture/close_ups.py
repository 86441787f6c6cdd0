"""One picture of each kind of joint that the room has, from near by."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trimwright.picture.camera import View
from trimwright.picture.viewpoints import inside_room
from trimwright.room import PlanPoint
from trimwright.setout.piece import End, Joint, Piece, SetOut, Side

__all__ = ["joint_views", "kind_of_joint"]

FIELD = 40.0

NEAREST, FARTHEST = 320.0, 1000.0
"""Distances from which a joint is looked at, mm."""

SIZES = 6.5
"""Distance in lengths of the section's longer side."""

SLANT = 0.45
"""How far aside of a joint along one wall the eye is held, over its distance out: straight on, a scarf is a line."""

RISE = 0.4
"""How far below what hangs high, or above what lies low, the eye is held, over its distance."""

EYE = 1500.0


def joint_views(set_out: SetOut) -> list[tuple[str, View]]:
    """A view of each kind and the trim it is of: that whose section is largest, and there the piece that is longest."""
    best: dict[str, tuple[float, float, str, View]] = {}
    for piece in set_out.pieces:
        for side in Side:
            kind = kind_of_joint(piece, side)
            size = _size(piece)
            if kind and (size, piece.length) > best.get(kind, (0.0, 0.0))[:2]:
                view = _view(set_out, piece, side, kind)
                if view is not None:
                    best[kind] = (size, piece.length, piece.trim.name, view)
    return [best[kind][2:] for kind in sorted(best)]


def kind_of_joint(piece: Piece, side: Side) -> str:
    """What a fitter calls the joint, as words; nothing for what is no joint to be looked at by itself."""
    end = piece.end(side)
    if end.joint is Joint.SQUARE and end.mate is None:
        return "" if end.corner is None else "square end in a corner"
    if piece.is_return:
        return ""  # is seen with the end that it closes
    if end.corner is None:
        return {Joint.SQUARE: "butt joint along a wall"}.get(end.joint, str(end.joint))
    if end.joint in (Joint.COPE, Joint.RETURN):
        return str(end.joint)
    inside = "internal" if end.corner < 180 else "external"
    return f"{inside} corner, {'butted' if end.joint is Joint.SQUARE else end.joint}"


def _size(piece: Piece) -> float:
    return max(piece.trim.section.drop, piece.trim.section.projection)


def _view(set_out: SetOut, piece: Piece, side: Side, kind: str) -> View | None:
    """From out in the room, on the bisector of the two pieces; None where there is no room for the eye."""
    end, edges = piece.end(side), piece.trim.edges
    station = end.at(edges.front)
    height = piece.height(station, (edges.bottom + edges.top) / 2)
    place = piece.frame.plan(station, edges.front)
    x, y = _way(set_out, piece, end, station)
    for distance in _distances(piece):
        eye = (place[0] + x * distance, place[1] + y * distance)
        if inside_room(set_out.room, eye):
            mate = f" and {end.mate}" if end.mate else ""
            return View(
                name="joint-" + "-".join(kind.replace(",", "").split()),
                title=f"{kind.capitalize()}: {piece.trim.name}, {piece.id}{mate}",
                eye=(*eye, height + (-RISE if height > EYE else RISE) * distance),
                target=(*place, height),
                field=FIELD,
            )
    return None


def _distances(piece: Piece) -> Iterator[float]:
    wanted = min(FARTHEST, max(NEAREST, SIZES * _size(piece)))
    yield from (wanted * part for part in (1.0, 0.8, 0.65))


def _way(set_out: SetOut, piece: Piece, end: End, station: float) -> PlanPoint:
    """Unit vector from a joint to the eye: between the two faces, or slantwise off the one that both pieces have."""
    own = piece.frame.tangent(station)
    x, y = own.outward
    if end.mate is not None and end.corner is not None:
        mate = set_out.piece(end.mate)
        other = mate.frame.tangent(sum(mate.extent) / 2).outward
        x, y = x + other[0], y + other[1]
    else:
        aside = -SLANT if end is piece.right else SLANT
        x, y = x + aside * own.along[0], y + aside * own.along[1]
    size = math.hypot(x, y)
    return (x / size, y / size) if size > 1e-9 else own.outward
