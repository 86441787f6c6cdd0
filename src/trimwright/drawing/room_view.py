"""A room and its trim in parallel projection from above, small enough for a thumbnail: lines only, no hidden surfaces.

Plan is turned a little and seen steeply, so that no two walls fall on each other; what is nearer is drawn later.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence

from trimwright.drawing.marks import Fill, Layer, Mark, polyline
from trimwright.profile.outline import Point
from trimwright.room import Room, Wall
from trimwright.setout.piece import Piece, SetOut

__all__ = ["faces", "piece_marks", "projected", "room_marks"]

TURN = math.radians(24)
"""Plan is turned by this before it is seen."""

DEPTH, HEIGHT = 0.5, 0.8
"""What a millimetre away from the eye and one of height become, upwards in the picture."""

WAS, NEW = 0.72, "#1f4e79"
"""Trim that is up already, grey, and what goes up in a step."""


def projected(plan: Point, height: float) -> Point:
    """A point of the room in the picture."""
    x = plan[0] * math.cos(TURN) - plan[1] * math.sin(TURN)
    y = plan[0] * math.sin(TURN) + plan[1] * math.cos(TURN)
    return (x, y * DEPTH + height * HEIGHT)


def room_marks(room: Room, walls: Sequence[Wall]) -> Iterator[Mark]:
    """Floor, ceiling and corners of some walls of a room, and the openings in them."""
    for wall in walls:
        stations = wall.stations(10.0)
        faces = [wall.frame.plan(s) for s in stations]
        yield polyline([projected(p, 0.0) for p in faces], Layer.HATCHING)
        ceiling = room.ceiling_line(wall.index)
        yield polyline([projected(wall.frame.plan(s), h) for s, h in ceiling], Layer.HATCHING)
        yield polyline([projected(wall.start, 0.0), projected(wall.start, ceiling[0][1])], Layer.HATCHING)
    shown = {wall.index for wall in walls}
    for opening in (o for o in room.openings if o.wall in shown):
        frame = room.walls[opening.wall].frame
        a, b = frame.plan(opening.station), frame.plan(opening.station + opening.width)
        ring = [(a, opening.sill), (b, opening.sill), (b, opening.head), (a, opening.head)]
        yield polyline([projected(p, h) for p, h in ring], Layer.HATCHING, closed=True)


def piece_marks(pieces: Sequence[Piece], up: Collection[str], new: Collection[str]) -> Iterator[Mark]:
    """Of some pieces, the faces of those that are up and of those that are new, the furthest first."""
    shown = [piece for piece in pieces if piece.id in up or piece.id in new]
    for piece in sorted(shown, key=lambda p: (p.id in new, -_nearness(p))):
        ring = _face(piece)
        shade = NEW if piece.id in new else WAS
        yield Fill(polyline(ring, Layer.TRIM, closed=True).segments, Layer.TRIM, shade)
        if piece.id in new:
            yield polyline(ring, Layer.SETTING_OUT, closed=True)


def faces(set_out: SetOut) -> dict[str, list[Point]]:
    """The front of each piece in the picture as a ring, the furthest first."""
    return {piece.id: _face(piece) for piece in sorted(set_out.pieces, key=lambda p: -_nearness(p))}


def _nearness(piece: Piece) -> float:
    """Depth in the picture of a piece's middle; the larger the further off."""
    low, high = piece.extent
    x, y = piece.frame.plan((low + high) / 2, piece.trim.edges.front)
    return x * math.sin(TURN) + y * math.cos(TURN)


def _face(piece: Piece) -> list[Point]:
    """Its front as a band between its ends, lower edge first; a bent one in chords."""
    _, bottom, front, top = piece.trim.edges
    left, right = piece.left.at(front), piece.right.at(front)
    count = 1 if piece.bend is None else 8
    stations = [left + (right - left) * k / count for k in range(count + 1)]
    lower = [projected(piece.frame.plan(s, front), piece.height(s, bottom)) for s in stations]
    upper = [projected(piece.frame.plan(s, front), piece.height(s, top)) for s in stations]
    return [*lower, *reversed(upper)]
