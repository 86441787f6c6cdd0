"""The plan of the walls drawn in characters, as far as they are known, doors and windows in their places.

A character is about twice as high as it is wide, so a row stands for twice the length of a column.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from trimwright.measuring.notes import Notes
from trimwright.room import PlanPoint
from trimwright.survey.closing import walk
from trimwright.units import length

__all__ = ["ASCII", "LINES", "Strokes", "plan_text"]

Cell = tuple[int, int]

NEARLY = 0.06
"""A wall that leans no more than this from level or upright is drawn without a step."""

EAST, SOUTH, WEST, NORTH, SLANT = 1, 2, 4, 8, 16


@dataclass(frozen=True, slots=True)
class Strokes:
    """The characters of a drawing: `lines[sides]` for a cell from whose middle lines run to these sides."""

    lines: str
    rising: str
    falling: str
    corner: str
    gap: str
    start: str
    door: str
    window: str

    def of(self, sides: int) -> str:
        """The character of a cell."""
        return self.corner if sides & SLANT else self.lines[sides]


LINES = Strokes(" ╶╷┌╴─┐┬╵└│├┘┴┤┼", "╱", "╲", "+", "·", "●", "╌", "═")
ASCII = Strokes(" -|+--++|+|+++++", "/", "\\", "+", ".", "o", " ", "=")


def plan_text(notes: Notes, columns: int = 60, rows: int = 18, strokes: Strokes = LINES) -> str:
    """The plan within so many characters, its first corner marked; dots where the room has yet to close."""
    if not notes.walls:
        return ""
    points = walk(notes.lengths, notes.angles)
    cells = _cells(points, columns, rows)
    drawn: dict[Cell, str] = {}
    if notes.closed:
        drawn |= dict.fromkeys(_steps(cells[-1], cells[0]), strokes.gap)
    drawn |= _walls(cells, strokes, notes.closed)
    for opening in notes.openings:
        whole = notes.lengths[opening.wall]
        left, wide = length(opening.from_left) / whole, length(opening.width) / whole
        drawn |= _opening(cells[opening.wall : opening.wall + 2], left, wide, opening.kind == "window", strokes)
    drawn[cells[0]] = strokes.start
    for number in range(1, len(cells)):
        _label(drawn, cells[number - 1], cells[number], str(number))
    return _lines(drawn)


def _cells(points: Sequence[PlanPoint], columns: int, rows: int) -> list[Cell]:
    """The corners as (column, row), rows counted downwards."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    left, top = min(xs), max(ys)
    scale = max((max(xs) - left) / (columns - 1), (top - min(ys)) / (2 * (rows - 1)), 1e-9)
    cells = [(round((x - left) / scale), round((top - y) / (2 * scale))) for x, y in points]
    for k, ((x, y), (u, v)) in enumerate(pairwise(points)):
        if abs(u - x) < NEARLY * abs(v - y):
            cells[k + 1] = (cells[k][0], cells[k + 1][1])
        elif abs(v - y) < NEARLY * abs(u - x):
            cells[k + 1] = (cells[k + 1][0], cells[k][1])
    return cells


def _steps(a: Cell, b: Cell) -> list[Cell]:
    """The cells of a straight line, both ends included, each a neighbour of the last."""
    (x, y), (u, v) = a, b
    count = max(abs(u - x), abs(v - y), 1)
    # Halves always round up: rounding them to even would make a slanted wall limp.
    return [
        (math.floor(x + (u - x) * k / count + 0.5), math.floor(y + (v - y) * k / count + 0.5)) for k in range(count + 1)
    ]


def _walls(cells: Sequence[Cell], strokes: Strokes, closed: bool) -> dict[Cell, str]:
    """All walls; where they meet, the character that joins them."""
    sides: dict[Cell, int] = {}
    slants: dict[Cell, str] = {}
    corners = set(cells)
    for a, b in pairwise(cells):
        line = _steps(a, b)
        for (x, y), (u, v) in pairwise(line):
            if x != u and y != v:
                here, there = SLANT, SLANT
                slants[(x, y)] = slants[(u, v)] = strokes.falling if (u - x) * (v - y) > 0 else strokes.rising
            else:
                here, there = {(1, 0): (EAST, WEST), (-1, 0): (WEST, EAST), (0, 1): (SOUTH, NORTH)}.get(
                    (u - x, v - y), (NORTH, SOUTH)
                )
            sides[(x, y)] = sides.get((x, y), 0) | here
            sides[(u, v)] = sides.get((u, v), 0) | there
    return {c: slants[c] if c in slants and c not in corners else strokes.of(s) for c, s in sides.items()}


def _opening(ends: Sequence[Cell], left: float, wide: float, window: bool, strokes: Strokes) -> dict[Cell, str]:
    """The cells of an opening, never those of the wall's ends."""
    line = _steps(ends[0], ends[1])
    first, last = max(1, round(left * (len(line) - 1))), min(len(line) - 2, round((left + wide) * (len(line) - 1)))
    upright = abs(ends[1][1] - ends[0][1]) > abs(ends[1][0] - ends[0][0])
    mark = strokes.window if window else strokes.door
    turned = {"═": "║", "╌": "╎", "=": '"'}.get(mark, mark) if upright else mark
    return dict.fromkeys(line[first : last + 1], turned)


def _label(drawn: dict[Cell, str], a: Cell, b: Cell, text: str) -> None:
    """The wall's number: in the wall's line where that is long enough, else beside it on the solid side."""
    across, down = b[0] - a[0], b[1] - a[1]
    column, row = round((a[0] + b[0] - len(text) + 1) / 2), round((a[1] + b[1]) / 2)
    if abs(across) >= len(text) + 4 and abs(across) >= abs(down):
        text, column = f" {text} ", column - 1
    elif not (abs(down) >= 2 and abs(down) > abs(across)):
        size = math.hypot(across, down) or 1.0
        column, row = column + round(2 * down / size), row - round(across / size)
    for k, letter in enumerate(text):
        drawn[(column + k, row)] = letter


def _lines(drawn: dict[Cell, str]) -> str:
    """The cells as lines of text, from the leftmost and topmost."""
    left, top = min(c for c, _ in drawn), min(r for _, r in drawn)

    def row(at: int) -> Iterator[str]:
        for column in range(left, max(c for c, r in drawn if r == at) + 1 if any(r == at for _, r in drawn) else left):
            yield drawn.get((column, at), " ")

    return "\n".join("".join(row(r)).rstrip() for r in range(top, max(r for _, r in drawn) + 1))
