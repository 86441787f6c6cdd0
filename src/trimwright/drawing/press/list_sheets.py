"""Lists on framed sheets: tables that run down columns of a title block's width, as many as the paper holds.

A table that would be crammed in such a column has sheets of its own, and runs across the whole of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from trimwright.drawing.font import text_width
from trimwright.drawing.layout import wrapped
from trimwright.drawing.marks import Anchor, Layer, Mark, Text, polyline
from trimwright.drawing.paper import BLOCK_WIDTH, Paper, frame_marks, paper, title_block_box
from trimwright.drawing.primitives import Window
from trimwright.drawing.sheet import Sheet

__all__ = ["Cell", "Listing", "list_sheets"]

INSET = 3.0
"""Kept free inside the frame and between columns."""

TITLE, WORDS, PITCH = 5.0, 2.5, 4.0
"""Heights of the title of a table and of its words, and from line to line."""

BETWEEN = 3.0
"""Between the columns of a table."""

CRAMMED = 8
"""A table with a cell of more lines than this has sheets of its own if they are wider."""

SAMPLE = 24.0
"""Length of a line shown as a sample."""

Cell = str | Layer
"""A text, or a line of a layer as a sample."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """A table with its title and words under that; rows may be of no columns but one."""

    title: str
    headers: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    about: str = ""


@dataclass(frozen=True, slots=True)
class _Row:
    """A line of a table: the cells wrapped, its height, and whether a rule is drawn under it."""

    cells: tuple[tuple[str, ...] | Layer, ...]
    lefts: tuple[float, ...]
    height: float
    lettering: float = WORDS
    rule: bool = False


def list_sheets(name: str, title: str, listings: Sequence[Listing], size: str) -> list[Sheet]:
    """Sheets without title blocks that hold the tables one after the other."""
    pages: list[tuple[Paper, list[Mark]]] = []
    upright = paper(size)
    width = _column_width(_columns(upright))
    for crammed, group in groupby(listings, lambda listing: _crammed(listing, width)):
        sheet = paper(size, landscape=True) if crammed else upright
        columns = _whole(sheet) if crammed else _columns(sheet)
        pages += [(sheet, marks) for marks in _pages(list(group), columns)]
    return [
        Sheet(
            name=name if k == 0 else f"{name}-{k + 1}",
            title=title if len(pages) == 1 else f"{title}, {k + 1} of {len(pages)}",
            width=sheet.width,
            height=sheet.height,
            marks=(*frame_marks(sheet), *marks),
            description=title,
        )
        for k, (sheet, marks) in enumerate(pages)
    ]


def _pages(listings: Sequence[Listing], columns: Sequence[Window]) -> list[list[Mark]]:
    """What stands on each sheet, all of which have the same columns."""
    width = _column_width(columns)
    pages: list[list[Mark]] = [[]]
    at, level = 0, columns[0][3]
    for listing in listings:
        head, body = _rows(listing, width)
        whole = sum(row.height for row in [*head, *body])
        onward = columns[(at + 1) % len(columns)]
        # A table that would be parted here but is not in the next column is kept together there.
        kept = whole if whole <= onward[3] - onward[1] else sum(row.height for row in [*head, *body[:2]])
        if level - kept < columns[at][1]:
            pages, at, level = _onward(pages, at, columns)
        for row in head:
            pages[-1] += _row_marks(row, columns[at], level)
            level -= row.height
        for row in body:
            if level - row.height < columns[at][1]:
                pages, at, level = _onward(pages, at, columns)
                for again in head[-1:]:
                    pages[-1] += _row_marks(again, columns[at], level)
                    level -= again.height
            pages[-1] += _row_marks(row, columns[at], level)
            level -= row.height
        level -= 2 * PITCH
    return pages


def _crammed(listing: Listing, width: float) -> bool:
    """True for a table whose words are wider than their columns, or one of whose cells runs down the paper."""
    rows = [row for row in (listing.headers, *listing.rows) if row]
    words = [max(_widest_word(row[k]) for row in rows) for k in range(len(rows[0]))] if rows else []
    if sum(words) + BETWEEN * (len(words) - 1) > width:
        return True
    _, body = _rows(listing, width)
    return any(len(cell) > CRAMMED for row in body for cell in row.cells if not isinstance(cell, Layer))


def _column_width(columns: Sequence[Window]) -> float:
    return columns[0][2] - columns[0][0]


def _whole(sheet: Paper) -> list[Window]:
    """One column across the whole sheet, above the title block."""
    left, _, right, top = sheet.space
    return [(left + INSET, title_block_box(sheet)[3] + INSET, right - INSET, top - INSET)]


def _columns(sheet: Paper) -> list[Window]:
    """Where tables may run: columns as wide as a title block, the last one above it."""
    left, bottom, right, top = sheet.space
    count = max(1, int((right - left) // BLOCK_WIDTH))
    width = (right - left) / count
    foot = title_block_box(sheet)[3]
    edges = [(left + k * width + INSET, left + (k + 1) * width - INSET) for k in range(count)]
    return [(a, (foot if b > title_block_box(sheet)[0] else bottom) + INSET, b, top - INSET) for a, b in edges]


def _onward(pages: list[list[Mark]], at: int, columns: Sequence[Window]) -> tuple[list[list[Mark]], int, float]:
    """The next column, on the next sheet after the last one."""
    following = (at + 1) % len(columns)
    return (pages if following else [*pages, []]), following, columns[following][3]


def _rows(listing: Listing, width: float) -> tuple[list[_Row], list[_Row]]:
    """Title, words and headers; then the rows."""
    head = [_Row(((listing.title,),), (0.0,), TITLE + PITCH, TITLE)]
    about = wrapped(listing.about, width)
    head += [_Row((tuple(about),), (0.0,), PITCH * len(about) + 1.5)] if about else []
    widths = _widths([listing.headers, *listing.rows], width)
    lefts = tuple(sum(widths[:k]) + k * BETWEEN for k in range(len(widths)))
    head += [_cells(listing.headers, widths, lefts)] if any(listing.headers) else []
    return head, [_cells(row, widths, lefts) for row in listing.rows]


def _cells(row: Sequence[Cell], widths: Sequence[float], lefts: tuple[float, ...]) -> _Row:
    cells = tuple(
        cell if isinstance(cell, Layer) else tuple(line.strip() for line in wrapped(cell, wide)) or ("",)
        for cell, wide in zip(row, widths, strict=True)
    )
    most = max(1 if isinstance(cell, Layer) else len(cell) for cell in cells)
    return _Row(cells, lefts, PITCH * most + 1.0, rule=True)


def _widths(rows: Sequence[Sequence[Cell]], width: float) -> list[float]:
    """Each column as wide as its widest cell; where that is too much the widest are cut to one width.

    None is cut to less than its widest word, as long as all words fit.
    """
    filled = [row for row in rows if row]
    columns = range(len(filled[0])) if filled else range(0)
    wanted = [max(_width(row[k]) for row in filled) for k in columns]
    room = width - BETWEEN * (len(wanted) - 1)
    if sum(wanted) <= room:
        return wanted
    least = [max(_widest_word(row[k]) for row in filled) for k in columns]
    if sum(least) > room:
        least = [0.0] * len(wanted)
    # The one width: columns that want less or need more have their own, the others share what these leave.
    own: dict[int, float] = {}
    while True:
        share = (room - sum(own.values())) / max(1, len(wanted) - len(own))
        needy = {k: least[k] for k in columns if k not in own and least[k] > share}
        modest = {k: wanted[k] for k in columns if k not in own and wanted[k] < share}
        if not needy and not modest:
            return [own.get(k, share) for k in columns]
        own |= needy or modest


def _widest_word(cell: Cell) -> float:
    return SAMPLE if isinstance(cell, Layer) else max((_width(word) for word in cell.split()), default=0.0)


def _width(cell: Cell) -> float:
    return SAMPLE if isinstance(cell, Layer) else text_width(cell, WORDS) + 0.01


def _row_marks(row: _Row, column: Window, level: float) -> Iterator[Mark]:
    """A row hung from a level."""
    for cell, left in zip(row.cells, row.lefts, strict=True):
        x = column[0] + left
        if isinstance(cell, Layer):
            y = level - 0.5 - WORDS / 2
            yield polyline([(x, y), (x + SAMPLE, y)], cell)
            continue
        for k, line in enumerate(cell):
            if line:
                yield Text((x, level - 0.5 - k * PITCH), line, row.lettering, Layer.LABEL, Anchor.TOP_LEFT)
    if row.rule:
        y = level - row.height + 0.6
        yield polyline([(column[0], y), (column[2], y)], Layer.TITLE)
