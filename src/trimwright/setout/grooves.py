"""Grooves for pipes that lie along a trim or slant across it: where one is cut, and its shape."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trimwright.profile.outline import Arc, Line, Outline, Point, Segment
from trimwright.room import Pipe, Room
from trimwright.setout.piece import Groove, Piece
from trimwright.tolerance import TOUCH, WEB

__all__ = ["groove_axes", "groove_path", "grooves_for"]

Vector = tuple[float, float, float]

SAMPLES = 60
"""Places along a pipe at which it is looked whether it meets the section."""

STEEP = math.sin(math.radians(45))
"""A pipe steeper than this crosses a section from below to above; one less steep lies in it and must leave its face."""


def grooves_for(piece: Piece, room: Room, clearance: float) -> tuple[Groove, ...]:
    """The grooves that the pipes on its wall ask of a straight piece.

    None where the face would be broken through or a web thinner than `tolerance.WEB` left: then the pipe clashes, and
    there are other ways out of that.
    """
    if piece.is_return or piece.bend is not None or room.walls[piece.wall].bend is not None:
        return ()
    legs = (leg for leg in room.legs if leg.wall == piece.wall and not leg.vertical)
    return tuple(groove for leg in legs for groove in _groove(piece, leg, clearance))


def _groove(piece: Piece, leg: Pipe, clearance: float) -> Iterator[Groove]:
    reach = leg.radius + clearance
    met = [place for place in _along(leg) if _meets(piece, place, reach)]
    if not met:
        return
    back, _, front, _ = piece.trim.edges
    depth = max(out for _, out, _ in met) + reach - back
    if depth > front - back - WEB:
        return
    axis = _unit(_less(leg.end, leg.start))
    if abs(axis[2]) < STEEP and any(_face(piece, place, reach) < place[1] + reach + WEB for place in met):
        return
    start, end = _moved(leg.start, axis, -reach), _moved(leg.end, axis, reach)
    yield Groove(pipe=leg.name, start=start, end=end, radius=reach, depth=depth)


def _along(leg: Pipe) -> Iterator[Vector]:
    for k in range(SAMPLES + 1):
        yield _moved(leg.start, _less(leg.end, leg.start), k / SAMPLES)


def _meets(piece: Piece, place: Vector, reach: float) -> bool:
    """True if the pipe with its clearance touches the section of the piece at a place."""
    station, out, height = place
    low, high = piece.extent
    if not low - reach < station < high + reach:
        return False
    at = (out, _level(piece, station, height))
    points = piece.trim.outline.points()
    return _inside(points, at) or any(
        _distance(at, a, b) < reach - TOUCH for a, b in zip(points, [*points[1:], points[0]], strict=True)
    )


def _level(piece: Piece, station: float, height: float) -> float:
    """Height in the section as it was placed, of a height in the room."""
    top = piece.trim.edges.top
    return height - (piece.height(station, top) - top)


def _face(piece: Piece, place: Vector, reach: float) -> float:
    """The least distance out of the face over the heights that a groove takes."""
    middle = _level(piece, place[0], place[2])
    _, bottom, _, top = piece.trim.edges
    heights = [middle + reach * k / 4 for k in range(-4, 5)]
    return min((_out_at(piece.trim.outline, h) for h in heights if bottom < h < top), default=0.0)


def _out_at(outline: Outline, height: float) -> float:
    """How far out the section reaches at a height."""
    points = outline.points()
    found = [0.0]
    for (o0, h0), (o1, h1) in zip(points, [*points[1:], points[0]], strict=True):
        if min(h0, h1) <= height <= max(h0, h1):
            found.append(max(o0, o1) if h0 == h1 else o0 + (o1 - o0) * (height - h0) / (h1 - h0))
    return max(found)


def _inside(points: list[Point], at: Point) -> bool:
    """Even-odd rule."""
    inside = False
    for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]], strict=True):
        if (y0 > at[1]) != (y1 > at[1]) and at[0] < x0 + (at[1] - y0) * (x1 - x0) / (y1 - y0):
            inside = not inside
    return inside


def _distance(at: Point, a: Point, b: Point) -> float:
    """From a point to a segment."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    part = 0.0 if square == 0 else ((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / square
    part = min(1.0, max(0.0, part))
    return math.dist(at, (a[0] + part * dx, a[1] + part * dy))


def groove_axes(groove: Groove) -> tuple[Vector, Vector, Vector]:
    """Unit vectors of its axis, of the way across it, and of the way to its mouth, as (station, out, height).

    The mouth lies where the wall is, square to the axis; of a pipe that comes straight off the wall, above.
    """
    axis = _unit(_less(groove.end, groove.start))
    mouth = (axis[1] * axis[0], -1 + axis[1] * axis[1], axis[1] * axis[2])
    mouth = _unit(mouth) if math.hypot(*mouth) > TOUCH else (0.0, 0.0, 1.0)
    across = (
        axis[1] * mouth[2] - axis[2] * mouth[1],
        axis[2] * mouth[0] - axis[0] * mouth[2],
        axis[0] * mouth[1] - axis[1] * mouth[0],
    )
    return axis, across, mouth


def groove_path(groove: Groove, back: float) -> tuple[Segment, ...]:
    """Its section, closed: x across its axis, y towards its mouth, which lies past the distance out `back`."""
    _, _, mouth = groove_axes(groove)
    r = groove.radius
    away = max(groove.start[1], groove.end[1]) - back
    deep = max(r, away / -mouth[1]) if mouth[1] < -TOUCH else r
    return (
        Arc((-r, 0.0), (0.0, -r), (0.0, 0.0), clockwise=False),
        Arc((0.0, -r), (r, 0.0), (0.0, 0.0), clockwise=False),
        Line((r, 0.0), (r, deep)),
        Line((r, deep), (-r, deep)),
        Line((-r, deep), (-r, 0.0)),
    )


def _less(a: Vector, b: Vector) -> Vector:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _moved(a: Vector, by: Vector, times: float) -> Vector:
    return (a[0] + by[0] * times, a[1] + by[1] * times, a[2] + by[2] * times)


def _unit(v: Vector) -> Vector:
    size = math.hypot(*v)
    return (v[0] / size, v[1] / size, v[2] / size)
