"""A gauge for a cope: a plate cut to the negative of the section, to hold against the face and to try copes with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trimwright.mesh.gauges.bed import WALL, plate
from trimwright.profile.outline import Arc, Point, chord_points
from trimwright.profile.silhouette import front_silhouette
from trimwright.setout.piece import Trim
from trimwright.tolerance import CHORD

if TYPE_CHECKING:
    from manifold3d import Manifold

__all__ = ["THICKNESS", "cope_gauge"]

THICKNESS = 4.0
"""Of the plate, mm."""

ARM = 12.0
"""What reaches to the wall below the section, and above it unless it is at the ceiling."""

GRIP = 40.0
"""Plate before the front of the section, to hold it by."""

HOLE = 24.0
"""Diameter of the hole in the grip."""


def cope_gauge(trim: Trim) -> Manifold:
    """The plate, (out, height) of the section lying on the bed.

    It is put on from the front, so it follows the front silhouette. What would be thinner than `WALL`, a tongue for
    a narrow quirk, is left away.
    """
    from shapely import Point as ShapelyPoint
    from shapely import Polygon

    _, bottom, front, top = trim.edges
    solid = Polygon(_negative(trim))
    kept = solid.buffer(-WALL / 2, join_style="mitre").buffer(WALL / 2, join_style="mitre")
    largest = max(getattr(kept, "geoms", [kept]), key=lambda part: part.area)
    grip = largest.difference(ShapelyPoint(front + GRIP / 2, (bottom + top) / 2).buffer(HOLE / 2, quad_segs=24))
    body = plate(list(grip.exterior.coords)[:-1], 0.0, THICKNESS)
    for ring in grip.interiors:
        body -= plate(list(ring.coords)[:-1], -1.0, THICKNESS + 1.0)
    return body


def _negative(trim: Trim) -> list[Point]:
    """The plate's outline: arms to the wall, the grip in front, and the line of the face, from its top down."""
    back, bottom, front, top = trim.edges
    upper = top if trim.section.kind == "cornice" else top + ARM
    line = front_silhouette(trim.outline)
    face: list[Point] = [line[0].start]
    for edge in line:
        face += chord_points(edge, CHORD) if isinstance(edge, Arc) else [edge.end]
    plain = [(back, bottom - ARM), (front + GRIP, bottom - ARM), (front + GRIP, upper)]
    above = [(back, upper), (back, top)] if upper > top else []
    return [*plain, *above, *reversed(face), (back, bottom)]
