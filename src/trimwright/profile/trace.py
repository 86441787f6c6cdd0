"""Outlines traced from a drawing (DXF or SVG), joined up and brought to true size."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

from trimwright.errors import ProfileError
from trimwright.profile.drawn import Curve, Drawn
from trimwright.profile.outline import Arc, Line, Outline, Point, Segment
from trimwright.tolerance import COINCIDENT, JOINED, TRACE

__all__ = ["read_trace"]

LARGEST_FILE = 1_000_000
"""Bytes. A section is a few hundred points; more is another drawing, or an attack."""

MOST_EDGES = 2_000
"""Edges in a traced drawing; a section has tens."""


def read_trace(path: Path, drop: float | None, projection: float | None) -> Outline:
    """The one closed outline in a drawing, at its true drop or projection; its lower back corner at (0, 0).

    It is drawn as it sits, wall on the left, ceiling above. Lines and arcs stay what they are; other curves become
    lines within `tolerance.TRACE` of them. Raises ProfileError if the file cannot be read, or holds no closed
    outline or several.
    """
    loop = _one_loop(_read(path), path)
    scale = _scale([p for piece in loop for p in piece.extremes()], drop, projection, path)
    outline = Outline.of(segment for piece in loop for segment in _at_size(piece, scale))
    _limit(len(outline.segments), path)
    # Simplifying a curve can take up to TRACE off the extents; the stated size is kept exactly.
    points = [p for segment in outline.segments for p in segment.extremes()]
    again = _scale(points, drop, projection, path)
    outline = Outline(tuple(_scaled(segment, again) for segment in outline.segments))
    bounds = outline.bounds
    return outline.moved(-bounds.back, -bounds.bottom)


def _read(path: Path) -> list[Drawn]:
    """The edges in a file, by its ending."""
    kind = path.suffix.lower()
    if kind not in (".dxf", ".svg"):
        raise ProfileError(f"{path}: a traced outline is a .dxf or .svg file")
    try:
        size = path.stat().st_size
    except OSError as trouble:
        raise ProfileError(f"{path}: the traced outline cannot be read: {trouble.strerror}") from None
    if not path.is_file():
        raise ProfileError(f"{path}: the traced outline cannot be read: it is not a file")
    if size > LARGEST_FILE:
        raise ProfileError(f"{path}: {size // 1000} kB; a traced outline is at most {LARGEST_FILE // 1000} kB")
    if kind == ".dxf":
        from trimwright.profile.trace_dxf import read_dxf

        pieces = read_dxf(path)
    else:
        from trimwright.profile.trace_svg import read_svg

        pieces = read_svg(path)
    _limit(len(pieces), path)
    return pieces


def _limit(edges: int, path: Path) -> None:
    if edges > MOST_EDGES:
        raise ProfileError(f"{path}: {edges} edges; trace the outline with fewer than {MOST_EDGES}")


def _one_loop(pieces: list[Drawn], path: Path) -> list[Drawn]:
    """The pieces end to end as one closed loop, turned round where needed. Raises ProfileError."""
    outs = [p[0] for piece in pieces for p in piece.extremes()]
    heights = [p[1] for piece in pieces for p in piece.extremes()]
    if not pieces:
        raise ProfileError(f"{path}: no lines, arcs, polylines or curves found; trace the section's outline")
    reach = JOINED * math.hypot(max(outs) - min(outs), max(heights) - min(heights))
    rest = [piece for piece in pieces if piece.length > reach / 100]
    if not rest:
        raise ProfileError(f"{path}: the drawn outline has no size")
    loop = [rest.pop(0)]
    while rest:
        here = loop[-1].end
        found = next((p for p in rest if min(math.dist(here, p.start), math.dist(here, p.end)) <= reach), None)
        if found is None:
            break
        rest.remove(found)
        loop.append(found if math.dist(here, found.start) <= reach else found.reversed())
        if math.dist(loop[-1].end, loop[0].start) <= reach:
            break
    gap = math.dist(loop[-1].end, loop[0].start)
    if gap > reach:
        x, y = loop[-1].end
        raise ProfileError(f"{path}: the outline is open: nothing goes on from {x:.4g}, {y:.4g}; close it")
    if rest:
        raise ProfileError(f"{path}: {len(rest)} edges besides the closed outline; draw the section's outline only")
    return [piece for one, two in pairwise([*loop, loop[0]]) for piece in _bridged(one, two)]


def _bridged(one: Drawn, two: Drawn) -> list[Drawn]:
    """A piece and, if the next does not start exactly at its end, the short line across."""
    apart = math.dist(one.end, two.start) > COINCIDENT * JOINED
    return [one, Line(one.end, two.start)] if apart else [one]


def _scale(points: list[Point], drop: float | None, projection: float | None, path: Path) -> float:
    """True mm a drawing unit."""
    axis, true = (1, drop) if drop is not None else (0, projection)
    drawn = max(p[axis] for p in points) - min(p[axis] for p in points)
    if drawn <= 0 or true is None:
        raise ProfileError(f"{path}: the drawn outline has no {'drop' if axis else 'projection'}")
    return true / drawn


def _at_size(piece: Drawn, scale: float) -> list[Segment]:
    if not isinstance(piece, Curve):
        return [_scaled(piece, scale)]
    from shapely import LineString

    curve = LineString([_times(p, scale) for p in piece.points]).simplify(TRACE)
    return [Line((a[0], a[1]), (b[0], b[1])) for a, b in pairwise(curve.coords)]


def _scaled(segment: Segment, scale: float) -> Segment:
    start, end = _times(segment.start, scale), _times(segment.end, scale)
    if isinstance(segment, Arc):
        return Arc(start, end, _times(segment.centre, scale), segment.clockwise)
    return Line(start, end)


def _times(point: Point, scale: float) -> Point:
    return (point[0] * scale, point[1] * scale)
