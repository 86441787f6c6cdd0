"""The line to saw for a cope, at full size: the coped end seen from the room.

The mitre that is cut first shows where its plane meets the face: that edge is the front of the cope. What is
behind it is cut away at least to where the face of the mate stands: at a height v the mate reaches N(v) out of its
wall, so at a distance `out` from its own wall the coped piece ends (N(v) + out cos C)/sin C short of the corner.
"""

from __future__ import annotations

import math

from trimwright.drawing.arrises import face, seen_arrises
from trimwright.drawing.labels import Label, place
from trimwright.drawing.marks import Anchor, Drawing, Hatch, Layer, Mark, polyline
from trimwright.drawing.template_marks import WALL, far_station
from trimwright.profile.outline import Point
from trimwright.room import Corner
from trimwright.setout.piece import Piece, Side

__all__ = ["LEAST", "cope_back", "cope_drawing", "cope_front", "undercut"]

LEAST = 1.0
"""A back to be cut away by less than this behind the line on the face has no line, mm: leaning a little does."""

PAST = 8.0
"""So far beyond its dashed line is a piece drawn."""


def cope_front(piece: Piece, side: Side) -> list[Point]:
    """(station, height) of the line to saw on the face: where the plane of the first mitre meets it."""
    end = piece.end(side)
    return [(end.at(out), piece.height(end.at(out), height)) for out, height in face(piece.trim.outline)]


def cope_back(piece: Piece, side: Side, corner: Corner) -> list[Point]:
    """(station, height) at the back of the piece, where it must be cut away at least so far to clear the mate."""
    angle = math.radians(corner.angle)
    back = piece.trim.edges.back
    end = piece.end(side)
    # The mitre meets both wall faces in the corner, so the end's station at out = 0 is that of the corner.
    sign = 1.0 if side is Side.LEFT else -1.0
    stations = [
        (end.station + sign * (o + back * math.cos(angle)) / math.sin(angle), h) for o, h in face(piece.trim.outline)
    ]
    return [(station, piece.height(station, height)) for station, height in stations]


def undercut(piece: Piece, side: Side, corner: Corner) -> float:
    """How far the back has to be cut away behind the line on the face, where that is most; 0 or less: nowhere."""
    inward = 1.0 if side is Side.LEFT else -1.0
    lines = zip(cope_front(piece, side), cope_back(piece, side, corner), strict=True)
    return max(inward * (back - front) for (front, _), (back, _) in lines)


def cope_drawing(piece: Piece, side: Side, corner: Corner) -> Drawing:
    """The coped end in elevation beside the wall that its mate is on: x from the corner of the room, y from the
    bottom of the trim.
    """
    zero, edges = piece.end(side).station, piece.trim.edges
    inward = 1.0 if side is Side.LEFT else -1.0
    base = piece.height(zero, edges.bottom)
    top = piece.height(zero, edges.top) - base
    back = cope_back(piece, side, corner) if undercut(piece, side, corner) >= LEAST else []
    far = _far(piece, side, [station for station, _ in back])

    def local(points: list[Point]) -> list[Point]:
        return [(station - zero, height - base) for station, height in points]

    wall = [(0.0, -6.0), (0.0, top + 6.0), (-inward * WALL, top + 6.0), (-inward * WALL, -6.0)]
    marks: list[Mark] = [
        Hatch(polyline(wall, Layer.WALL, closed=True).segments, spacing=2.0),
        polyline(wall[:2], Layer.WALL),
    ]
    if back:
        marks.append(polyline(local(back), Layer.HIDDEN))
    for out, height in seen_arrises(piece.trim.outline):
        arris = [(station, piece.height(station, height)) for station in (piece.end(side).at(out), far)]
        marks.append(polyline(local(arris), Layer.TRIM))
    marks.append(polyline(local(cope_front(piece, side)), Layer.CUT))
    marks.append(polyline([(far - zero, -4.0), (far - zero, top + 4.0)], Layer.DIMENSION))
    spots = tuple((((far - zero) * part, top / 2), Anchor.MIDDLE) for part in (0.7, 0.6, 0.8, 0.5))
    return Drawing(
        f"cope-{piece.id.lower()}", (*marks, *place([Label(text=piece.id, spots=spots, height=5.0)], marks, 1.0))
    )


def _far(piece: Piece, side: Side, back: list[float]) -> float:
    """Where the piece is broken off: beyond the dashed line, if it is as long."""
    far, (low, high) = far_station(piece, side)[0], piece.extent
    if side is Side.LEFT:
        return min(max([far, *(station + PAST for station in back)]), high)
    return max(min([far, *(station - PAST for station in back)]), low)
