"""The plan of the walls drawn in characters, as far as they are known, doors and windows in their places.

A character is about twice as high as it is wide, so a row stands for twice the length of a column.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from trimwright.frame import Bend, PlanPoint
from trimwright.measuring.notes import Notes, WallNote
from trimwright.survey.closing import walk
from trimwright.units import length

__all__ = ["ASCII", "LINES", "Strokes", "plan_text"]

Cell = tuple[int, int]

NEARLY = 0.06
"""A wall that leans no more than this from level or upright is drawn without a step."""

ARC_PARTS = 24
"""A curved wall is drawn through so many parts."""

EAST, SOUTH, WEST, NORTH, SLANT = 1, 2, 4, 8, 16

TOWARDS = {(1, 0): (EAST, WEST), (-1, 0): (WEST, EAST), (0, 1): (SOUTH, NORTH), (0, -1): (NORTH, SOUTH)}
"""Sides of the cell that a step leaves, and of the cell it reaches."""


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
    lines = [_line(face) for face in _cells(_faces(notes), columns, rows)]
    drawn: dict[Cell, str] = {}
    if notes.closed:
        drawn |= dict.fromkeys(_steps(lines[-1][-1], lines[0][0]), strokes.gap)
    drawn |= _walls(lines, strokes)
    for opening in notes.openings:
        whole = notes.lengths[opening.wall]
        left, wide = length(opening.from_left) / whole, length(opening.width) / whole
        drawn |= _opening(lines[opening.wall], left, wide, opening.kind == "window", strokes)
    drawn[lines[0][0]] = strokes.start
    for number, line in enumerate(lines, 1):
        _label(drawn, line, str(number))
    return _text(drawn)


def _faces(notes: Notes) -> list[list[PlanPoint]]:
    """Each wall's face as a line of plan points: two for a straight one."""
    corners = pairwise(walk(notes.lengths, notes.angles))
    return [_face(wall, a, b) for wall, (a, b) in zip(notes.walls, corners, strict=True)]


def _face(wall: WallNote, a: PlanPoint, b: PlanPoint) -> list[PlanPoint]:
    chord, radius = math.dist(a, b), length(wall.radius or 0)
    if 2 * radius <= chord:
        return [a, b]
    bend = Bend.between(a, b, radius, wall.inward)
    whole = 2 * math.asin(chord / 2 / radius) * radius
    return [a, *(bend.plan(whole * k / ARC_PARTS) for k in range(1, ARC_PARTS)), b]


def _cells(faces: Sequence[Sequence[PlanPoint]], columns: int, rows: int) -> list[list[Cell]]:
    """The faces as (column, row), rows counted downwards; one that hardly leans is set straight."""
    xs, ys = [p[0] for face in faces for p in face], [p[1] for face in faces for p in face]
    left, top = min(xs), max(ys)
    scale = max((max(xs) - left) / (columns - 1), (top - min(ys)) / (2 * (rows - 1)), 1e-9)
    placed = [[(round((x - left) / scale), round((top - y) / (2 * scale))) for x, y in face] for face in faces]
    for k, (face, cells) in enumerate(zip(faces, placed, strict=True)):
        if k:
            cells[0] = placed[k - 1][-1]
        across, down = abs(face[-1][0] - face[0][0]), abs(face[-1][1] - face[0][1])
        if len(face) == 2 and across < NEARLY * down:
            cells[1] = (cells[0][0], cells[1][1])
        elif len(face) == 2 and down < NEARLY * across:
            cells[1] = (cells[1][0], cells[0][1])
    return placed


def _line(cells: Sequence[Cell]) -> list[Cell]:
    """All cells along a face, each a neighbour of the last."""
    return [cells[0], *(cell for a, b in pairwise(cells) if a != b for cell in _steps(a, b)[1:])]


def _steps(a: Cell, b: Cell) -> list[Cell]:
    """The cells of a straight line, both ends included, each a neighbour of the last."""
    (x, y), (u, v) = a, b
    count = max(abs(u - x), abs(v - y), 1)
    # Halves always round up: rounding them to even would make a slanted wall limp.
    return [
        (math.floor(x + (u - x) * k / count + 0.5), math.floor(y + (v - y) * k / count + 0.5)) for k in range(count + 1)
    ]


def _walls(lines: Sequence[Sequence[Cell]], strokes: Strokes) -> dict[Cell, str]:
    """All walls; where they meet, the character that joins them."""
    sides: dict[Cell, int] = {}
    slants: dict[Cell, str] = {}
    corners = {end for line in lines for end in (line[0], line[-1])}
    for (x, y), (u, v) in (step for line in lines for step in pairwise(line)):
        if x != u and y != v:
            here, there = SLANT, SLANT
            slants[(x, y)] = slants[(u, v)] = strokes.falling if (u - x) * (v - y) > 0 else strokes.rising
        else:
            here, there = TOWARDS[(u - x, v - y)]
        sides[(x, y)] = sides.get((x, y), 0) | here
        sides[(u, v)] = sides.get((u, v), 0) | there
    return {c: slants[c] if c in slants and c not in corners else strokes.of(s) for c, s in sides.items()}


def _opening(line: Sequence[Cell], left: float, wide: float, window: bool, strokes: Strokes) -> dict[Cell, str]:
    """The cells of an opening, never those of the wall's ends."""
    first, last = max(1, round(left * (len(line) - 1))), min(len(line) - 2, round((left + wide) * (len(line) - 1)))
    upright = abs(line[-1][1] - line[0][1]) > abs(line[-1][0] - line[0][0])
    mark = strokes.window if window else strokes.door
    turned = {"═": "║", "╌": "╎", "=": '"'}.get(mark, mark) if upright else mark
    return dict.fromkeys(line[first : last + 1], turned)


def _label(drawn: dict[Cell, str], line: Sequence[Cell], text: str) -> None:
    """The wall's number: in the wall's line where that is long enough, else beside it on the solid side."""
    (x, y), (u, v) = line[0], line[-1]
    across, down = u - x, v - y
    middle = line[len(line) // 2]
    column, row = middle[0] - (len(text) - 1) // 2, middle[1]
    if abs(across) >= len(text) + 4 and abs(across) >= abs(down):
        text, column = f" {text} ", column - 1
    elif not (abs(down) >= 2 and abs(down) > abs(across)):
        size = math.hypot(across, down) or 1.0
        column, row = column + round(2 * down / size), row - round(across / size)
    for k, letter in enumerate(text):
        drawn[(column + k, row)] = letter


def _text(drawn: dict[Cell, str]) -> str:
    """The cells as lines of text, from the leftmost and topmost."""
    left, top = min(c for c, _ in drawn), min(r for _, r in drawn)

    def row(at: int) -> Iterator[str]:
        for column in range(left, max(c for c, r in drawn if r == at) + 1 if any(r == at for _, r in drawn) else left):
            yield drawn.get((column, at), " ")

    return "\n".join("".join(row(r)).rstrip() for r in range(top, max(r for _, r in drawn) + 1))
