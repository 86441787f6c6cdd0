"""Edges of a traced outline out of an SVG file."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import svgelements
from defusedxml.ElementTree import fromstring

from trimwright.errors import ProfileError
from trimwright.profile.drawn import Curve, Drawn
from trimwright.profile.outline import Arc, Line, Point

__all__ = ["read_svg"]

CURVE_POINTS = 64
"""Points along one Bézier curve or elliptic arc: within 1/8 of the square of its share, 3e-5 of its length."""

ROUND = 1e-6
"""An arc whose two radii differ by less than this part is a circle's."""


def read_svg(path: Path) -> list[Drawn]:
    """Paths, polygons and basic shapes, with their transforms; y turned up.

    The bytes pass a strict XML reader first: entities, document types and copied elements (which can multiply
    without end) are refused. Raises ProfileError.
    """
    data = path.read_bytes()
    try:
        root = fromstring(data, forbid_dtd=True)
    except Exception as trouble:
        # Malformed XML and each forbidden construct have their own exception; all mean: not a file we take.
        raise ProfileError(f"{path}: not a plain SVG file: {type(trouble).__name__}: {trouble}") from None
    if any(str(element.tag).rpartition("}")[2] in ("use", "image") for element in root.iter()):
        raise ProfileError(f"{path}: holds copied elements or pictures; draw the outline as one path")
    try:
        drawing = svgelements.SVG.parse(BytesIO(data))
        shapes = [svgelements.Path(e) for e in drawing.elements() if isinstance(e, svgelements.Shape)]
        return [edge for shape in shapes for segment in shape for edge in _edges(segment)]
    except Exception as trouble:
        # As above: damaged numbers and transforms fail in many ways inside the reader.
        raise ProfileError(f"{path}: not a readable SVG file: {trouble}") from None


def _edges(segment: Any) -> Iterator[Drawn]:
    if isinstance(segment, svgelements.Move) or segment.start is None or segment.end is None:
        return
    if isinstance(segment, svgelements.Line | svgelements.Close):
        yield Line(_up(segment.start), _up(segment.end))
    elif isinstance(segment, svgelements.Arc) and abs(segment.rx - segment.ry) <= ROUND * segment.rx:
        # A positive sweep turns clockwise as seen, since y runs down in the file.
        yield Arc(_up(segment.start), _up(segment.end), _up(segment.center), clockwise=segment.sweep > 0)
    else:
        yield Curve(tuple(_up(segment.point(k / CURVE_POINTS)) for k in range(CURVE_POINTS + 1)))


def _up(point: Any) -> Point:
    return (float(point.x), -float(point.y))
