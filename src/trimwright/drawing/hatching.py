"""Hatch lines cut to a closed area. Many programs drop hatch patterns from SVG, so hatching is drawn as lines."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence

from trimwright.profile.outline import Line, Outline, Point, Segment
from trimwright.tolerance import CHORD

__all__ = ["hatch_lines"]


def hatch_lines(
    segments: Sequence[Segment], angle: float, spacing: float, origin: Point = (0.0, 0.0)
) -> tuple[Line, ...]:
    """Parallel lines at `angle` degrees, `spacing` apart, inside the area (even-odd rule, arcs within CHORD).

    Lines of equal angle and spacing fall on one lattice through `origin`, so that neighbouring areas agree.
    """
    turn = math.radians(angle)
    cos, sin = math.cos(turn), math.sin(turn)
    points = Outline(tuple(segments)).points(CHORD)
    turned = [(x * cos + y * sin, y * cos - x * sin) for x, y in points]
    heights = [y for _, y in turned]
    base = origin[1] * cos - origin[0] * sin
    numbers = range(math.ceil((min(heights) - base) / spacing), math.floor((max(heights) - base) / spacing) + 1)
    levels = [base + k * spacing for k in numbers]
    lines: list[Line] = []
    for level, crossings in zip(levels, _crossings(turned, levels), strict=True):
        for left, right in zip(crossings[::2], crossings[1::2], strict=True):
            ends = [(x * cos - level * sin, x * sin + level * cos) for x in (left, right)]
            lines.append(Line(ends[0], ends[1]))
    return tuple(lines)


def _crossings(polygon: Sequence[Point], levels: Sequence[float]) -> list[list[float]]:
    """Where horizontal lines at levels, sorted, cross a polygon; edges own their lower end: vertices count once."""
    found: list[list[float]] = [[] for _ in levels]
    for (ax, ay), (bx, by) in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
        for k in range(bisect_left(levels, min(ay, by)), bisect_left(levels, max(ay, by))):
            found[k].append(ax + (levels[k] - ay) * (bx - ax) / (by - ay))
    return [sorted(places) for places in found]
