"""Closed outlines in an architect's DXF drawing."""

from __future__ import annotations

import logging
import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from ezdxf import units
from ezdxf.enums import InsertUnits
from ezdxf.filemanagement import readfile

from trimwright.errors import RoomFileError
from trimwright.measuring.outline import Drawing, Outline
from trimwright.room import PlanPoint

__all__ = ["read_plan"]


def read_plan(path: Path, layer: str | None = None) -> Drawing:
    """Every closed polyline in model space, or of one layer. Raises RoomFileError if there is none."""
    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)  # its remarks would stand beside our one message
    try:
        document = readfile(path)
        lines = [entity for entity in document.modelspace() if entity.dxftype() in ("LWPOLYLINE", "POLYLINE")]
        found = [outline for entity in lines for outline in _outline(entity)]
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
    code = int(document.header.get("$INSUNITS", 0))
    scale = units.conversion_factor(InsertUnits(code), InsertUnits.Millimeters) if code else None
    return Drawing(path, tuple(sorted(found, key=lambda outline: -abs(outline.area))), scale)


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
    back = len(points) > 2 and math.dist(points[0], points[-1]) <= 1e-6 * size
    if back:
        points.pop()
    if len(points) < 3 or not (closed or back):
        return
    arcs = [k for k, bulge in enumerate(bulges[: len(points)]) if bulge]
    yield Outline(entity.dxf.layer, tuple(points), _curve(points, bulges, arcs[0]) if arcs else "")


def _curve(points: Sequence[PlanPoint], bulges: Sequence[float], k: int) -> str:
    (x, y), (u, v) = points[k], points[(k + 1) % len(points)]
    return f"from ({x:g}, {y:g}) to ({u:g}, {v:g})"
