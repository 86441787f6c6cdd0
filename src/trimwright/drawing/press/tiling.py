"""Large templates over several pages: tiles with overlap, lines to cut and to glue along, numbers and a key plan.

Rows are lettered from the top, columns numbered from the left: B3 is the third tile of the second row. Each tile but
those of the first column is cut along its left edge and laid on the strip at the right of its neighbour; rows likewise,
the upper edge on the strip below. Short ticks across each joint must meet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trimwright.drawing.clutter import Clutter, on_paper, texts_and_lines
from trimwright.drawing.marks import Anchor, Fill, Layer, Mark, Text, polyline
from trimwright.drawing.press.page import CROP, KEY, Body, Page
from trimwright.drawing.press.template import Template
from trimwright.drawing.primitives import Window
from trimwright.drawing.render import lower
from trimwright.drawing.sheet import Sheet
from trimwright.profile.outline import Point

__all__ = ["OVERLAP", "Grid", "grid", "tiles"]

OVERLAP = 12.0
"""Width of the strip that a tile leaves for its neighbour to be glued on."""

TICK = 5.0
"""Ticks reach this far to either side of a joint."""

PARTS = (0.25, 0.5, 0.75)
"""Where along a joint they stand."""

ALONG = (0.6, 0.4, 0.65, 0.35, 0.7, 0.3, 0.8, 0.2, 0.85, 0.15, 0.55, 0.45)
"""Where along a strip its name is tried."""

LETTERED = (5.5, 3.8)
"""Least width and height of a tile in the key plan that has its number in it, mm."""

HOW = "Cut along the thin line, glue on the neighbour's strip up to the dashed line; the ticks must meet."


@dataclass(frozen=True, slots=True)
class Grid:
    """How a template is parted: columns and rows, from the left edge of one tile to the next, and likewise down."""

    columns: int
    rows: int
    across: float
    down: float

    def name(self, row: int, column: int) -> str:
        """The number of a tile: A1 is at the upper left."""
        return f"{chr(ord('A') + row)}{column + 1}"


def grid(size: tuple[float, float], room: tuple[float, float]) -> Grid:
    """The fewest tiles, all alike, that cover a template of `size` on pages with `room`; neighbours share `OVERLAP`."""
    (columns, across), (rows, down) = (_parted(*lengths) for lengths in zip(size, room, strict=True))
    return Grid(columns, rows, across, down)


def _parted(length: float, room: float) -> tuple[int, float]:
    """In how many parts a length is divided, and from the start of one to that of the next."""
    count = max(1, math.ceil((length - OVERLAP) / (room - OVERLAP) - 1e-9))
    return count, (length - OVERLAP) / count


def tiles(template: Template, page: Page) -> list[Body]:
    """A page for each tile, row by row."""
    parted = grid(template.size, page.room)
    return [
        _tile(template, page, parted, row, column) for row in range(parted.rows) for column in range(parted.columns)
    ]


def _tile(template: Template, page: Page, parted: Grid, row: int, column: int) -> Body:
    left, _, _, top = page.window
    corner = (left - column * parted.across, top + row * parted.down)
    window = (left, top - parted.down - OVERLAP, left + parted.across + OVERLAP, top)
    name = parted.name(row, column)
    views = template.views_at(corner, window)
    boxes, _ = texts_and_lines(lower(Sheet(name="", title="", width=page.width, height=page.height, views=views)))
    taken = Clutter(boxes)
    return Body(
        page=page,
        name=f"{template.name}-{name.lower()}",
        title=f"Tile {name} of {template.title}",
        views=views,
        marks=(*_joints(parted, row, column, window, taken), *_key(page, parted, row, column)),
        keyed=True,
    )


def _joints(parted: Grid, row: int, column: int, window: Window, taken: Clutter) -> Iterator[Mark]:
    """Lines to cut along, lines to glue up to, and ticks, round one tile."""
    left, bottom, right, top = window
    if column > 0:
        yield from _cut((left, bottom), (left, top))
        yield from _ticks((left, bottom), (left, top), (0.0, TICK))
    if row > 0:
        yield from _cut((left, top), (right, top))
        yield from _ticks((left, top), (right, top), (-TICK, 0.0))
    if column < parted.columns - 1:
        at = left + parted.across
        yield polyline([(at, bottom), (at, top)], Layer.HIDDEN)
        yield from _ticks((at, bottom), (at, top), (-TICK, TICK))
        places = [(at + OVERLAP / 2, bottom + part * (top - bottom)) for part in ALONG]
        yield _glue(places, parted.name(row, column + 1), 90.0, taken)
    if row < parted.rows - 1:
        at = top - parted.down
        yield polyline([(left, at), (right, at)], Layer.HIDDEN)
        yield from _ticks((left, at), (right, at), (-TICK, TICK))
        places = [(left + part * (right - left), at - OVERLAP / 2) for part in ALONG]
        yield _glue(places, parted.name(row + 1, column), 0.0, taken)
    if row == column == 0:
        yield Text((left, bottom - CROP + 0.8), HOW, 2.5, Layer.LABEL)


def _cut(start: Point, end: Point) -> Iterator[Mark]:
    """A thin line, carried past both ends so that a knife can be set to it."""
    (x, y), (ex, ey) = start, end
    length = math.dist(start, end)
    dx, dy = (ex - x) / length * CROP, (ey - y) / length * CROP
    yield polyline([(x - dx, y - dy), (ex + dx, ey + dy)], Layer.DIMENSION)


def _ticks(start: Point, end: Point, reach: tuple[float, float]) -> Iterator[Mark]:
    """Ticks square to a joint, from `reach` on its left or lower side to its right or upper side."""
    upright = start[0] == end[0]
    for part in PARTS:
        x, y = (a + part * (b - a) for a, b in zip(start, end, strict=True))
        ends = [(x + r, y) if upright else (x, y + r) for r in reach]
        yield polyline(ends, Layer.DIMENSION)


def _glue(places: Sequence[Point], name: str, angle: float, taken: Clutter) -> Text:
    """What is to be glued on a strip, where it covers least of what is lettered there."""
    texts = [Text(p, f"lay {name} on this strip", 2.5, Layer.LABEL, Anchor.MIDDLE, angle, ground=True) for p in places]
    return min(texts, key=lambda text: sum(taken.covered(box.grown(0.5)) for box in on_paper([text], 1.0)[0]))


def _key(page: Page, parted: Grid, row: int, column: int) -> Iterator[Mark]:
    """All tiles in their places at the right of the foot, not to scale, this one grey."""
    width, height = min(9.0, KEY[0] / parted.columns), min(7.0, KEY[1] / parted.rows)
    right, low = page.width - page.margin, page.margin + 1.0
    for r in range(parted.rows):
        for c in range(parted.columns):
            x, y = right - (parted.columns - c) * width, low + (parted.rows - r - 1) * height
            box = polyline([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], Layer.TITLE, closed=True)
            if (r, c) == (row, column):
                yield Fill(box.segments, Layer.TITLE, 0.8)
            yield box
            if width >= LETTERED[0] and height >= LETTERED[1]:
                yield Text((x + width / 2, y + height / 2), parted.name(r, c), 2.5, Layer.LABEL, Anchor.MIDDLE)
