"""Grooves for pipes that lie along a trim, slant across it or bend: where one is cut."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise

from trimwright.frame import AnyFrame, Bend
from trimwright.profile.outline import Outline, Point
from trimwright.room import Pipe, Room, WallPoint
from trimwright.setout.piece import Groove, Piece
from trimwright.setout.seen_from import judged_in, level_of, local, opening, out_at
from trimwright.tolerance import TOUCH, WEB

__all__ = ["grooves_for"]

STEEP = math.sin(math.radians(45))
"""A pipe steeper than this crosses a section from below to above; one less steep lies in it and must leave its face."""


FINE = 8
"""Places looked at for each radius of the way of a pipe: what it grazes by more than 0.2 % of that is found."""


def grooves_for(piece: Piece, room: Room, clearance: float) -> tuple[Groove, ...]:
    """The grooves that pipes ask of a piece, on whichever wall they run; a pipe that bends within it has one.

    None where the face would be broken through or a web thinner than `tolerance.WEB` left: then the pipe clashes, and
    there are other ways out of that.
    """
    return tuple(
        _groove(piece, chain, clearance, room) for pipe in room.pipes for chain in _chains(piece, pipe, clearance, room)
    )


def _chains(piece: Piece, pipe: Pipe, clearance: float, room: Room) -> Iterator[list[Pipe]]:
    """The legs of a pipe that are let into a piece, those together that follow each other."""
    chain: list[Pipe] = []
    for leg in pipe.legs:
        if not leg.vertical and _let_in(piece, leg, leg.radius + clearance, room):
            chain.append(leg)
        elif chain:
            yield chain
            chain = []
    if chain:
        yield chain


def _let_in(piece: Piece, leg: Pipe, reach: float, room: Room) -> bool:
    """True if a leg meets the piece and the trim keeps its face before it.

    A piece that turns to another wall, or a return, is cut where the trim along the wall of the pipe would be: that
    covers the place.
    """
    met = list(_met(piece, leg, reach, room))
    if not met:
        return False
    judged = judged_in(piece, leg.wall, room)
    return _covered(piece.trim.outline, [judged(place) for place in met], reach, _lies(leg))


def _lies(leg: Pipe) -> bool:
    """True for a pipe that lies along a section rather than crosses it."""
    return abs(leg.end[2] - leg.start[2]) < STEEP * math.dist(leg.start, leg.end)


def _covered(outline: Outline, places: Sequence[Point], reach: float, lies: bool) -> bool:
    """True if the section leaves a web before a pipe at each of these places (out, height)."""
    if max(out for out, _ in places) + reach > outline.bounds.front - WEB:
        return False
    return not lies or all(_face(outline, height, reach) >= out + reach + WEB for out, height in set(places))


def _met(piece: Piece, leg: Pipe, reach: float, room: Room) -> Iterator[WallPoint]:
    """Places along the axis of a leg, in the frame of its wall, at which it touches the piece with its clearance."""
    frame = room.walls[leg.wall].frame
    low, high = _stretch(piece, leg, frame, reach)
    if low >= high:
        return
    points = piece.trim.outline.points()
    near = cache(lambda out, height: tuple(_near(points, (out, height), reach)))
    count = max(2, math.ceil((high - low) * math.dist(leg.start, leg.end) * FINE / reach))
    for k in range(count + 1):
        place = _between(leg.start, leg.end, low + (high - low) * k / count)
        station, out, height = local(piece, frame, place)
        found = near(round(out, 4), round(level_of(piece.incline, station, height), 4))
        if any(piece.left.at(o) + TOUCH < station + w and piece.right.at(o) - TOUCH > station - w for o, w in found):
            yield place


def _stretch(piece: Piece, leg: Pipe, frame: AnyFrame, reach: float) -> tuple[float, float]:
    """Between which parts of a leg it can meet the piece: as far as it lies in the box round it; (1, 0) if nowhere."""
    back, bottom, front, top = piece.trim.edges
    first, last = piece.extent
    levels = [piece.height(s, h) for s in (first, last) for h in (bottom, top)]
    box = ((first, last), (back, front), (min(levels), max(levels)))
    ends = (local(piece, frame, leg.start), local(piece, frame, leg.end))
    straight = not (isinstance(frame, Bend) or isinstance(piece.frame, Bend)) or leg.start[:2] == leg.end[:2]
    low, high = 0.0, 1.0
    for axis in (0, 1, 2) if straight else (2,):
        a, b = ends[0][axis], ends[1][axis]
        near, far = box[axis][0] - reach, box[axis][1] + reach
        if abs(b - a) < TOUCH:
            if not near < a < far:
                return 1.0, 0.0
            continue
        parts = sorted(((near - a) / (b - a), (far - a) / (b - a)))
        low, high = max(low, parts[0]), min(high, parts[1])
    return low, high


def _near(points: Sequence[Point], at: Point, reach: float) -> Iterator[tuple[float, float]]:
    """How far out the section comes within reach of a place, and how far along the piece the reach is there."""
    if _inside(points, at):
        yield at[0], reach
    for a, b in pairwise([*points, points[0]]):
        nearest = _nearest(at, a, b)
        away = math.dist(at, nearest)
        if away < reach - TOUCH:
            yield nearest[0], math.sqrt(reach * reach - away * away)


def _groove(piece: Piece, chain: Sequence[Pipe], clearance: float, room: Room) -> Groove:
    frame, reach = room.walls[chain[0].wall].frame, chain[0].radius + clearance
    met = [place for leg in chain for place in _met(piece, leg, reach, room)]
    open_to, depth = opening(piece, frame, met, reach)
    stations = [local(piece, frame, place)[0] for place in met]
    first, last = min(stations), max(stations)
    return Groove(
        pipe=chain[0].name,
        frame=frame,
        axis=(chain[0].start, *(leg.end for leg in chain)),
        radius=reach,
        station=(first + last) / 2,
        depth=depth,
        run=last - first,
        opens=open_to,
    )


def _between(a: WallPoint, b: WallPoint, part: float) -> WallPoint:
    return (a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part, a[2] + (b[2] - a[2]) * part)


def _face(outline: Outline, middle: float, reach: float) -> float:
    """The least distance out of the face over the heights that a groove takes."""
    _, bottom, _, top = outline.bounds
    heights = [middle + reach * k / 4 for k in range(-4, 5)]
    return min((out_at(outline, h) for h in heights if bottom < h < top), default=0.0)


def _inside(points: Sequence[Point], at: Point) -> bool:
    """Even-odd rule."""
    inside = False
    for (x0, y0), (x1, y1) in pairwise([*points, points[0]]):
        if (y0 > at[1]) != (y1 > at[1]) and at[0] < x0 + (at[1] - y0) * (x1 - x0) / (y1 - y0):
            inside = not inside
    return inside


def _nearest(at: Point, a: Point, b: Point) -> Point:
    """The point of a segment nearest to a place."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    part = 0.0 if square == 0 else ((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / square
    part = min(1.0, max(0.0, part))
    return (a[0] + part * dx, a[1] + part * dy)
