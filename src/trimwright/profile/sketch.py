"""A section in characters, for a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from trimwright.profile.outline import Outline, Point

__all__ = ["section_text"]

COLUMNS, ROWS = 64, 32
"""The largest drawing of a section, in characters."""


def section_text(outline: Outline) -> str:
    """The section filled with characters, wall to the left, twice as many across as down (a character is 1 x 2)."""
    back, bottom, front, top = outline.bounds
    cell = max((front - back) / COLUMNS, (top - bottom) / ROWS / 2)
    across = max(1, round((front - back) / cell))
    down = max(1, round((top - bottom) / (2 * cell)))
    points = outline.points(cell / 4)
    lines = []
    for row in range(down):
        height = top - (row + 0.5) * (top - bottom) / down
        inside = [_inside(points, (back + (k + 0.5) * (front - back) / across, height)) for k in range(across)]
        lines.append(("|" + "".join("#" if i else " " for i in inside)).rstrip())
    return "\n".join(lines)


def _inside(points: Sequence[Point], place: Point) -> bool:
    """Even-odd rule."""
    x, y = place
    inside = False
    for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]], strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            inside = not inside
    return inside
