"""What is cut out of the back of a piece, seen through its face: outlines on the wall it lies on."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from trimwright.frame import AnyFrame, Frame
from trimwright.profile.outline import Point
from trimwright.room import WallPoint
from trimwright.setout.piece import Groove, Housing, Piece

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

__all__ = ["cut_outlines"]

QUARTER = 24
"""Chords for a quarter of the round end of a groove: of a radius of 60 they are within 0.03."""

PARTS = 32
"""Chords for what runs along a curve, seen on another face than its own."""


def cut_outlines(piece: Piece, hollow: Groove | Housing) -> list[list[Point]]:
    """Closed lines, (station, height) in the frame of a piece, round what is cut out of its back."""
    from shapely import union_all

    parts = _strips(hollow, piece.frame) if isinstance(hollow, Groove) else [_front(hollow, piece.frame)]
    cut = union_all(list(parts)) & _box(piece)
    return [[(float(x), float(y)) for x, y in part.exterior.coords[:-1]] for part in _polygons(cut)]


def _polygons(shape: BaseGeometry) -> Iterator[Polygon]:
    yield from (part for part in getattr(shape, "geoms", [shape]) if part.geom_type == "Polygon" and part.area > 0)


def _strips(groove: Groove, face: AnyFrame) -> Iterator[BaseGeometry]:
    """Each part of the axis with its way to the wall, and the radius all round."""
    from shapely import MultiPoint

    count = 1 if face == groove.frame or isinstance(groove.frame, Frame) else PARTS
    for a, b in pairwise(groove.axis):
        stops = [tuple(p + (q - p) * k / count for p, q in zip(a, b, strict=True)) for k in range(count + 1)]
        for (s, o, h), (t, p, g) in pairwise(stops):
            places = ((s, o, h), (t, p, g), (t, 0.0, g), (s, 0.0, h))
            seen = MultiPoint([_seen(groove.frame, face, place) for place in places])
            yield seen.convex_hull.buffer(groove.radius, QUARTER)


def _front(housing: Housing, face: AnyFrame) -> BaseGeometry:
    """A housing as far as it is seen on a face."""
    from shapely import MultiPoint

    corners = [
        (s, out, h)
        for s in (housing.low, housing.high)
        for out in (0.0, housing.out)
        for h in (housing.bottom, housing.top)
    ]
    return MultiPoint([_seen(housing.frame, face, corner) for corner in corners]).convex_hull


def _seen(frame: AnyFrame, face: AnyFrame, place: WallPoint) -> Point:
    """(station, height) on a face of a place told in another frame."""
    station, out, height = place
    return (station if frame == face else face.locate(frame.plan(station, out))[0], height)


def _box(piece: Piece) -> Polygon:
    """All that shows of a piece on its wall, and a little of what its ends hide."""
    from shapely import Polygon

    _, bottom, _, top = piece.trim.edges
    low, high = piece.extent
    return Polygon([(s, piece.height(s, h)) for s, h in ((low, bottom), (high, bottom), (high, top), (low, top))])
