"""Closed outlines in an architect's DXF drawing."""

from __future__ import annotations

import logging
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from ezdxf import units
from ezdxf.enums import InsertUnits
from ezdxf.filemanagement import readfile

from trimwright.errors import RoomFileError
from trimwright.measuring.outline import Drawing, Outline, Side

__all__ = ["read_plan"]

ROUND = 1e-6
"""A polyline whose ends are nearer than this part of its size is closed, whatever its flag says."""


def read_plan(path: Path, layer: str | None = None) -> Drawing:
    """Every closed polyline in model space, or of one layer. Raises RoomFileError if there is none."""
    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)  # its remarks would stand beside our one message
    try:
        document = readfile(path)
        lines = [entity for entity in document.modelspace() if entity.dxftype() in ("LWPOLYLINE", "POLYLINE")]
        found = [outline for entity in lines for outline in _outline(entity)]
        scale = _scale(document)
    except FileNotFoundError:
        raise RoomFileError(f"{path}: no such file") from None
    except Exception as trouble:
        # A damaged file makes the reader fail in many ways; to the person they are one.
        raise RoomFileError(f"{path}: not a readable DXF drawing: {trouble}") from None
    layers = sorted({outline.layer for outline in found})
    if not found:
        raise RoomFileError(f"{path}: has no closed polyline; draw the room's walls as one, on the inside of the walls")
    if layer is not None:
        found = [outline for outline in found if outline.layer.casefold() == layer.casefold()]
        if not found:
            raise RoomFileError(f"{path}: no closed polyline on layer '{layer}'; there are some on {', '.join(layers)}")
    return Drawing(path, tuple(sorted(found, key=lambda outline: -abs(outline.area))), scale)


def _scale(document: Any) -> float | None:
    """Millimetres per drawing unit by $INSUNITS; None if it names no unit."""
    code = document.header.get("$INSUNITS", 0)
    known = {int(unit) for unit in InsertUnits} - {int(InsertUnits.Unitless)}
    return units.conversion_factor(InsertUnits(code), InsertUnits.Millimeters) if code in known else None


def _outline(entity: Any) -> Iterator[Outline]:
    """The polyline as an outline, if it is closed (by its flag, or because it ends where it began)."""
    if entity.dxftype() == "POLYLINE" and not (entity.is_2d_polyline or entity.is_3d_polyline):
        return
    if entity.dxftype() == "POLYLINE":
        corners = list(entity.points_in_wcs())
        bulges = [vertex.dxf.get("bulge", 0.0) for vertex in entity.vertices]
    else:
        corners = list(entity.vertices_in_wcs())
        bulges = [bulge for *_, bulge in entity.get_points("xyb")]
    points = [(float(p.x), float(p.y)) for p in corners]
    closed = bool(entity.is_closed if entity.dxftype() == "POLYLINE" else entity.closed)
    size = max((math.dist(points[0], p) for p in points), default=0.0)
    back = len(points) > 2 and math.dist(points[0], points[-1]) <= ROUND * size
    if back:
        points.pop()
    if len(points) >= 3 and (closed or back):
        hand = -1.0 if entity.dxf.extrusion.z < 0 else 1.0  # drawn on a plane seen from below
        yield Outline(entity.dxf.layer, tuple(Side(p, hand * b) for p, b in zip(points, bulges, strict=False)))
