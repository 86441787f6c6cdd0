"""Places in the way of a trim as its pieces see them: in their own frames, at the levels of their section."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from trimwright.frame import AnyFrame
from trimwright.profile.outline import Outline, Point
from trimwright.room import Room, WallPoint
from trimwright.setout.inclines import incline_on
from trimwright.setout.piece import Incline, Piece

__all__ = ["judged_in", "level_of", "local", "opening", "out_at"]

SQUARE_ON = math.cos(math.radians(45))
"""A wall that stands at more than this to a piece is met by its end, not by its back."""


def judged_in(piece: Piece, wall: int, room: Room) -> Callable[[WallPoint], Point]:
    """What tells (out, height) in the section of a trim of a place on a wall, to see whether its face is kept there.

    A return, or a piece that runs along another wall, is cut where the trim along that wall would be: this covers the
    place.
    """
    frame, trim = room.walls[wall].frame, piece.trim
    abroad = (wall != piece.wall or piece.is_return) and wall in trim.walls
    incline = incline_on(trim, room, wall) if abroad else piece.incline

    def judged(place: WallPoint) -> Point:
        station, out, height = place if abroad else local(piece, frame, place)
        return out, level_of(incline, station, height)

    return judged


def opening(piece: Piece, frame: AnyFrame, met: Sequence[WallPoint], reach: float = 0.0) -> tuple[str, float]:
    """The side of a piece to which it is open that is cut from a wall to these places and `reach` farther; how deep."""
    places = [local(piece, frame, place) for place in met]
    stations = [station for station, _, _ in places]
    along, outward = piece.frame.tangent(stations[0]).along, frame.tangent(met[0][0]).outward
    turned = -(along[0] * outward[0] + along[1] * outward[1])
    low, high = piece.extent
    # Square to the wall of the pipe it opens to the end there, unless it lies behind an external corner.
    spare = piece.trim.edges.front + max(out for _, out, _ in met)
    if turned > SQUARE_ON and high - max(stations) < spare:
        return "right", high - min(stations) + reach
    if turned < -SQUARE_ON and min(stations) - low < spare:
        return "left", max(stations) + reach - low
    return "back", max(out for _, out, _ in places) + reach - piece.trim.edges.back


def local(piece: Piece, frame: AnyFrame, place: WallPoint) -> WallPoint:
    """A place on a wall told in the frame of a piece."""
    if frame == piece.frame:
        return place
    return (*piece.frame.locate(frame.plan(place[0], place[1])), place[2])


def level_of(incline: Incline | None, station: float, height: float) -> float:
    """Height in the section as it was placed, of a height in the room."""
    return height if incline is None else incline.level(station, height)


def out_at(outline: Outline, height: float) -> float:
    """How far out the section reaches at a height."""
    points = outline.points()
    found = [0.0]
    for (o0, h0), (o1, h1) in zip(points, [*points[1:], points[0]], strict=True):
        if min(h0, h1) <= height <= max(h0, h1):
            found.append(max(o0, o1) if h0 == h1 else o0 + (o1 - o0) * (height - h0) / (h1 - h0))
    return max(found)
