"""The shape of what is cut out of a back, told once for the meshes and for the exact solids.

A housing is a block. A groove is the way of a ball along the axis of the pipe and from there to the wall. Along each
straight part of the axis that is a bar with a round bottom, along a level part on a curved wall a block of the same
section, along one that climbs there a winding of it, and at each of its points, where a pipe bends or ends, a rod with
a round end.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from trimwright.frame import AnyFrame, Bend
from trimwright.profile.outline import Arc, Line, Outline, Segment
from trimwright.room import WallPoint, followed
from trimwright.setout.piece import Groove, Housing, Piece
from trimwright.tolerance import OVERCUT, TOUCH

__all__ = ["Bar", "Block", "Part", "Rod", "Winding", "hollow_parts"]

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Bar:
    """A section carried along the first of three unit vectors, `axes`, from `origin`; room coordinates.

    The section is drawn as (out, across): minus the second vector and the third. Its ends are the planes through the
    way to the wall: `length` along from each other, and `slope` more for each mm out.
    """

    origin: Vector
    axes: tuple[Vector, Vector, Vector]
    section: Outline
    length: float
    slope: float


@dataclass(frozen=True, slots=True)
class Block:
    """A section, (out, height), carried along a face from one station to another; on a curved one it follows it."""

    frame: AnyFrame
    section: Outline
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Rod:
    """A round bar with a round end about `middle`, `length` long from there the way that `mouth` points."""

    middle: Vector
    mouth: Vector
    radius: float
    length: float


@dataclass(frozen=True, slots=True)
class Winding:
    """One section in several places in the room: each `places[k]` and the way to the wall and across there."""

    places: tuple[tuple[Vector, Vector, Vector], ...]
    section: Outline


Part = Bar | Block | Rod | Winding


def hollow_parts(hollow: Groove | Housing, piece: Piece) -> Iterator[Part]:
    """The parts of a groove or of a housing that may reach a piece."""
    if isinstance(hollow, Groove):
        yield from _groove_parts(hollow, piece)
    else:
        bottom, top, out = hollow.bottom, hollow.top, hollow.out
        loop = [(-OVERCUT, bottom), (out, bottom), (out, top), (-OVERCUT, top)]
        section = Outline(tuple(Line(a, b) for a, b in pairwise([*loop, loop[0]])))
        yield Block(hollow.frame, section, hollow.low, hollow.high)


def _groove_parts(groove: Groove, piece: Piece) -> Iterator[Part]:
    axis, rods = list(groove.axis), list[WallPoint]()
    for k, place in enumerate(groove.axis):
        # Between two parts a rod shows on the outer side of the bend, at an end before it.
        ways = [_less(place, groove.axis[j]) for j in (k - 1, k + 1) if 0 <= j < len(groove.axis)]
        if _reaches(groove, piece, place, ways[0] if len(ways) == 1 else None):
            rods.append(place)
        elif len(ways) == 1:
            # It may lie in a face of the piece, where nothing should be left between.
            (ds, do, dh), past = ways[0], OVERCUT / math.hypot(*ways[0])
            axis[k] = (place[0] + ds * past, place[1] + do * past, place[2] + dh * past)
    for a, b in pairwise(axis):
        part = _along(groove, a, b)
        if part is not None:
            yield part
    for place in rods:
        yield Rod(groove.frame.room_point(*place), _mouth(groove, place[0]), groove.radius, place[1] + OVERCUT)


def _reaches(groove: Groove, piece: Piece, place: WallPoint, ahead: Vector | None) -> bool:
    """True if a ball about a place reaches into the box round a piece; only its half ahead, if a way is given.

    The other half of an end lies in the bar that ends there: where that alone meets the piece, nothing more is cut.
    """
    x, y, height = groove.frame.room_point(*place)
    station, out = piece.frame.locate((x, y))
    face, way = piece.frame.tangent(station), (0.0, 0.0, 0.0)
    if ahead is not None:
        (tx, ty), (nx, ny) = groove.frame.tangent(place[0]).along, groove.frame.tangent(place[0]).outward
        gone = (ahead[0] * tx + ahead[1] * nx, ahead[0] * ty + ahead[1] * ny)
        along, outward = (gone[0] * u + gone[1] * v for u, v in (face.along, face.outward))
        way = _unit((along, outward, ahead[2]))
    back, bottom, front, top = piece.trim.edges
    low, high = piece.extent
    levels = [piece.height(s, h) for s in (low, high) for h in (bottom, top)]
    box = ((low, high), (back, front), (min(levels), max(levels)))
    return all(
        near - middle < groove.radius * _half(part) - TOUCH and middle - far < groove.radius * _half(-part) - TOUCH
        for (near, far), middle, part in zip(box, (station, out, height), way, strict=True)
    )


def _half(part: float) -> float:
    """How far the half of a ball of radius 1 ahead of a unit vector reaches along an axis on which it is `part`."""
    return 1.0 if part >= 0 else math.sqrt(1 - part * part)


def _mouth(groove: Groove, station: float) -> Vector:
    """Unit vector to the wall."""
    x, y = groove.frame.tangent(station).outward
    return (-x, -y, 0.0)


def _along(groove: Groove, a: WallPoint, b: WallPoint) -> Part | None:
    """The body along one part of the axis; None where this runs straight off the wall."""
    frame = groove.frame
    if not isinstance(frame, Bend) or abs(b[0] - a[0]) < TOUCH:
        return _bar(groove, a, b)
    if math.dist(a[1:], b[1:]) < TOUCH:
        low, high = sorted((a[0], b[0]))
        return Block(frame, _section(groove.radius, a[1] + OVERCUT).moved(a[1], a[2]), low, high)
    stops = (a, *followed(frame, a, b))
    points = [frame.room_point(*stop) for stop in stops]
    # At each stop square to the way from the stop before it to the one behind.
    ways = [_less(points[min(k + 1, len(points) - 1)], points[max(k - 1, 0)]) for k in range(len(points))]
    axes = [_square(_mouth(groove, stop[0]), way) for stop, way in zip(stops, ways, strict=True)]
    places = tuple((p, aside, across) for p, (_, aside, across) in zip(points, axes, strict=True))
    return Winding(places, _section(groove.radius, max(a[1], b[1]) + OVERCUT))


def _bar(groove: Groove, a: WallPoint, b: WallPoint) -> Bar | None:
    start, end = (groove.frame.room_point(*place) for place in (a, b))
    mouth = _mouth(groove, a[0])
    along = _unit(_less(end, start))
    leaning = sum(u * v for u, v in zip(mouth, along, strict=True))
    upright = math.sqrt(max(0.0, 1 - leaning * leaning))
    if upright < TOUCH:
        return None
    section = _section(groove.radius, (max(a[1], b[1]) + OVERCUT) * upright)
    return Bar(start, _square(mouth, along), section, math.dist(start, end), -leaning / upright)


def _square(mouth: Vector, way: Vector) -> tuple[Vector, Vector, Vector]:
    """Unit vectors along a way, square to it towards a mouth, and across both."""
    along = _unit(way)
    leaning = sum(u * v for u, v in zip(mouth, along, strict=True))
    aside = _unit((mouth[0] - leaning * along[0], mouth[1] - leaning * along[1], -leaning * along[2]))
    across = (
        along[1] * aside[2] - along[2] * aside[1],
        along[2] * aside[0] - along[0] * aside[2],
        along[0] * aside[1] - along[1] * aside[0],
    )
    return along, aside, across


def _section(radius: float, deep: float) -> Outline:
    """A half circle about (0, 0), carried straight to minus `deep`."""
    path: tuple[Segment, ...] = (
        Arc((0.0, -radius), (0.0, radius), (0.0, 0.0), clockwise=False),
        Line((0.0, radius), (-deep, radius)),
        Line((-deep, radius), (-deep, -radius)),
        Line((-deep, -radius), (0.0, -radius)),
    )
    return Outline(path)


def _less(a: Vector, b: Vector) -> Vector:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _unit(v: Vector) -> Vector:
    size = math.hypot(*v)
    return (v[0] / size, v[1] / size, v[2] / size)
