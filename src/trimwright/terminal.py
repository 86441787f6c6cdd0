"""Tables and sections in characters, for a terminal of any width."""

from __future__ import annotations

from collections.abc import Sequence

from trimwright.profile.outline import Outline, Point

__all__ = ["section_text", "table_text"]

COLUMNS, ROWS = 64, 32
"""The largest drawing of a section, in characters."""


def table_text(headers: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    """Columns wide enough for what is in them, numbers to the right, columns with nothing in them left out."""
    cells = [[_shown(c) for c in row] for row in rows]
    keep = [k for k in range(len(headers)) if not rows or any(row[k] for row in cells)]
    widths = {k: max(len(headers[k]), *(len(row[k]) for row in cells), 0) for k in keep}
    right = {k for k in keep if rows and all(isinstance(row[k], int | float) for row in rows)}

    def line(row: Sequence[str]) -> str:
        return "  ".join(row[k].rjust(widths[k]) if k in right else row[k].ljust(widths[k]) for k in keep).rstrip()

    rule = "  ".join("-" * widths[k] for k in keep)
    return "\n".join([line(list(headers)), rule, *(line(row) for row in cells)])


def _shown(cell: object) -> str:
    """A cell as text: numbers short, control characters left out so that a name cannot write on the terminal."""
    text = f"{cell:.2f}".rstrip("0").rstrip(".") if isinstance(cell, float) else "" if cell is None else str(cell)
    return "".join(c if c.isprintable() else "?" for c in text)


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
