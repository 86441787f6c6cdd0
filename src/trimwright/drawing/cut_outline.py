"""What is cut out of the back of a piece: its outlines seen through the face, and from above."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from trimwright.frame import Bend
from trimwright.profile.outline import Point
from trimwright.room import WallPoint
from trimwright.setout.piece import Groove, Housing, Piece
from trimwright.setout.seen_from import local
from trimwright.tolerance import TOUCH

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

__all__ = ["cut_outlines", "plan_outlines"]

QUARTER = 24
"""Chords for a quarter of the round end of a groove: of a radius of 60 they are within 0.03."""

PARTS = 32
"""Chords for what runs along a curve, seen on another face than its own."""


def cut_outlines(piece: Piece, hollow: Groove | Housing) -> list[list[Point]]:
    """Closed lines, (station, height) in the frame of a piece, round what is cut out of its back."""
    return _loops(piece, hollow, (0, 2), _box(piece))


def plan_outlines(piece: Piece, hollow: Groove | Housing) -> list[list[Point]]:
    """The same from above: closed lines, (station, distance out)."""
    return _loops(piece, hollow, (0, 1), _plan(piece))


def _loops(piece: Piece, hollow: Groove | Housing, axes: tuple[int, int], within: Polygon) -> list[list[Point]]:
    from shapely import union_all

    cut = union_all(list(_shadows(piece, hollow, axes))) & within
    found = [part for part in getattr(cut, "geoms", [cut]) if part.geom_type == "Polygon" and part.area > 0]
    return [[(float(x), float(y)) for x, y in part.exterior.coords[:-1]] for part in found]


def _shadows(piece: Piece, hollow: Groove | Housing, axes: tuple[int, int]) -> Iterator[BaseGeometry]:
    """What the parts of a hollow cover as they are seen; of a groove each part of the axis with its way to the wall,
    and the radius all round.
    """
    from shapely import MultiPoint

    def seen(place: WallPoint) -> Point:
        told = local(piece, hollow.frame, place)
        return told[axes[0]], told[axes[1]]

    if isinstance(hollow, Housing):
        for (low,), (high,) in pairwise(_between((hollow.low,), (hollow.high,), _count(hollow))):
            outs, heights = (0.0, hollow.out), (hollow.bottom, hollow.top)
            corners = [(station, out, height) for station in (low, high) for out in outs for height in heights]
            yield MultiPoint([seen(corner) for corner in corners]).convex_hull
        return
    for start, end in pairwise(hollow.axis):
        ends = _at_its_heights(piece, hollow.radius, start, end)
        for a, b in pairwise(_between(*ends, _count(hollow))):
            places = [seen(place) for place in (a, b, (b[0], 0.0, b[2]), (a[0], 0.0, a[2]))]
            yield MultiPoint(places).convex_hull.buffer(hollow.radius, QUARTER)


def _at_its_heights(piece: Piece, radius: float, a: WallPoint, b: WallPoint) -> tuple[WallPoint, WallPoint]:
    """As much of a part of an axis as lies within a radius of the heights of a piece."""
    _, bottom, _, top = piece.trim.edges
    levels = [piece.height(station, height) for station in piece.extent for height in (bottom, top)]
    low, high = min(levels) - radius, max(levels) + radius
    if abs(b[2] - a[2]) < TOUCH:
        return a, b
    first, last = (min(1.0, max(0.0, (level - a[2]) / (b[2] - a[2]))) for level in (low, high))
    places = _between(a, b, 1, min(first, last), max(first, last))
    return places[0], places[1]


def _count(hollow: Groove | Housing) -> int:
    return PARTS if isinstance(hollow.frame, Bend) else 1


def _between(a: tuple[float, ...], b: tuple[float, ...], count: int, low: float = 0.0, high: float = 1.0) -> list[Any]:
    """Points from one part of the way from `a` to `b` to another, so many steps apart."""
    parts = (low + (high - low) * k / count for k in range(count + 1))
    return [tuple(p + (q - p) * part for p, q in zip(a, b, strict=True)) for part in parts]


def _plan(piece: Piece) -> Polygon:
    from shapely import Polygon

    back, _, front, _ = piece.trim.edges
    ends = ((piece.left, back), (piece.right, back), (piece.right, front), (piece.left, front))
    return Polygon([(end.at(out), out) for end, out in ends])


def _box(piece: Piece) -> Polygon:
    """All that shows of a piece on its wall, and a little of what its ends hide."""
    from shapely import Polygon

    _, bottom, _, top = piece.trim.edges
    low, high = piece.extent
    return Polygon([(s, piece.height(s, h)) for s, h in ((low, bottom), (high, bottom), (high, top), (low, top))])
