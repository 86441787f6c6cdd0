"""Edges of a traced outline out of the model space of a DXF file."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from ezdxf.filemanagement import readfile
from ezdxf.math import BoundingBox2d

from trimwright.errors import ProfileError
from trimwright.profile.drawn import Curve, Drawn
from trimwright.profile.outline import Arc, Line, Point

__all__ = ["read_dxf"]

FINE = 1e-5
"""Splines are first followed to within this part of their own size."""


def read_dxf(path: Path) -> list[Drawn]:
    """Lines, arcs, circles, polylines (bulges kept as arcs), splines and ellipses; anything else is passed over.

    Raises ProfileError if the file is not DXF.
    """
    # Its remarks on damaged files would stand beside our one message.
    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)
    try:
        document = readfile(path)
        return [edge for entity in document.modelspace() for edge in _edges(entity)]
    except Exception as trouble:
        # A damaged file makes the reader fail in many ways; to the person at the bench they are one.
        raise ProfileError(f"{path}: not a readable DXF file: {trouble}") from None


def _edges(entity: Any) -> Iterator[Drawn]:
    match entity.dxftype():
        case "LINE":
            yield Line(_flat(entity.dxf.start), _flat(entity.dxf.end))
        case "ARC":
            yield _arc(entity, _flat(entity.start_point), _flat(entity.end_point))
        case "CIRCLE":
            centre = _flat(entity.ocs().to_wcs(entity.dxf.center))
            left, right = (centre[0] - entity.dxf.radius, centre[1]), (centre[0] + entity.dxf.radius, centre[1])
            yield _arc(entity, left, right)
            yield _arc(entity, right, left)
        case "LWPOLYLINE" | "POLYLINE":
            for part in entity.virtual_entities():
                yield from _edges(part)
        case "SPLINE":
            box = BoundingBox2d(entity.construction_tool().control_points)
            yield Curve(tuple(_flat(p) for p in entity.flattening(FINE * box.size.magnitude)))
        case "ELLIPSE":
            yield Curve(tuple(_flat(p) for p in entity.flattening(FINE * entity.dxf.major_axis.magnitude)))


def _arc(entity: Any, start: Point, end: Point) -> Arc:
    """An arc of a circle or arc entity; DXF arcs run anticlockwise about their extrusion, which may point down."""
    return Arc(start, end, _flat(entity.ocs().to_wcs(entity.dxf.center)), clockwise=entity.dxf.extrusion.z < 0)


def _flat(point: Any) -> Point:
    return (float(point.x), float(point.y))
