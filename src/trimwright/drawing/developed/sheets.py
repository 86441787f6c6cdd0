"""Sheets of developed templates: the strips of each trim packed on A4, with the section that names the folds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trimwright.drawing.clutter import Box
from trimwright.drawing.developed.groups import end_templates, slot_templates
from trimwright.drawing.developed.key import key_view
from trimwright.drawing.developed.marks import (
    end_drawing,
    end_name,
    end_words,
    slot_drawing,
    slot_name,
    slot_words,
)
from trimwright.drawing.developed.strip import Strip, strip_of
from trimwright.drawing.font import fitted
from trimwright.drawing.layout import drawn_box, wrapped
from trimwright.drawing.marks import Anchor, Drawing, Layer, Mark, Text, polyline
from trimwright.drawing.paper import SIZES
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.template_marks import check_bars
from trimwright.names import slug
from trimwright.setout.piece import SetOut, Trim
from trimwright.tolerance import OPEN_JOINT

__all__ = ["Strips", "developed_templates", "unrolled"]

A4 = SIZES["A4"]

MARGIN, COLUMN, GAP = 7.0, 12.0, 6.0
"""To the edge of the sheet; more for the check bars at left and bottom; between strips."""

KEY_WIDTH = 52.0
"""Kept free at the right of the words for the section that names the folds."""

TITLE, LETTERS, PITCH, BELOW = 5.0, 2.5, 4.0, 2.0
"""Heights of title and words, from line to line, and from a strip to its words."""


FEW = 3
"""So many strips are named in the title of their sheet, one by one."""


@dataclass(frozen=True, slots=True)
class Block:
    """A strip with its name and the words under it: its extents in its own frame, mm."""

    name: str
    drawing: Drawing
    box: Box
    words: tuple[str, ...]

    @property
    def width(self) -> float:
        """Of the strip."""
        return self.box.width

    @property
    def height(self) -> float:
        """Of the strip and the words under it."""
        return self.box.height + BELOW + PITCH * len(self.words)


@dataclass(frozen=True, slots=True)
class Strips:
    """The strips of one trim, whose whole face unrolled is `strip`."""

    trim: Trim
    strip: Strip
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Placed:
    """A block on a sheet: its upper left corner, measured to the right and down from the room for strips."""

    block: Block
    across: float
    down: float


def unrolled(set_out: SetOut) -> list[Strips]:
    """Full-size strips for every mitre, cope, return, scarf and slot, trim by trim; equal ends share a strip."""
    faces = [(trim, strip_of(trim)) for trim in set_out.trims]
    return [Strips(trim, strip, tuple(_blocks(set_out, trim, strip))) for trim, strip in faces]


def developed_templates(set_out: SetOut, found: Sequence[Strips], size: tuple[float, float] = A4) -> list[Sheet]:
    """The strips packed on sheets of a `size`, width by height in mm; one that is larger has a larger sheet."""
    sheets: list[Sheet] = []
    width, height = size[0] - 2 * MARGIN - COLUMN, size[1] - 2 * MARGIN - COLUMN
    for strips in found:
        lines = _words(set_out, strips.trim, strips.strip, width - KEY_WIDTH)
        pages = _paged(strips.blocks, width, height - _head(lines)) if strips.blocks else []
        sheets += [_sheet(strips, page, lines, size, (k + 1, len(pages))) for k, page in enumerate(pages)]
    return sheets


def _blocks(set_out: SetOut, trim: Trim, strip: Strip) -> Iterator[Block]:
    for end in end_templates(set_out, trim, strip):
        yield _block(end_name(end), end_drawing(end, strip), end_words(end))
    for slot in slot_templates(set_out, trim, strip):
        yield _block(slot_name(slot), slot_drawing(slot, strip), slot_words(slot, set_out.room.units))


def _block(name: str, drawing: Drawing, words: Sequence[str]) -> Block:
    box = drawn_box(drawing, 1.0)
    lines = tuple(line for text in words for line in wrapped(text, box.width, LETTERS))
    return Block(name, drawing, box, lines)


def _paged(blocks: Sequence[Block], width: float, height: float) -> list[list[Placed]]:
    """Blocks in rows from left to right, rows from the top down, pages one after the other."""
    pages: list[list[Placed]] = [[]]
    across = down = row = 0.0
    for block in blocks:
        if across > 0 and across + block.width > width:
            across, down, row = 0.0, down + row + GAP, 0.0
        if down > 0 and down + block.height > height:
            pages.append([])
            across = down = row = 0.0
        pages[-1].append(Placed(block, across, down))
        across, row = across + block.width + GAP, max(row, block.height)
    return pages


def _sheet(
    strips: Strips,
    page: Sequence[Placed],
    lines: Sequence[str],
    size: tuple[float, float],
    number: tuple[int, int],
) -> Sheet:
    """One sheet of `number` (which, of how many): of the size asked for, or larger where a strip is."""
    trim, head = strips.trim, _head(lines)
    width = max(size[0], max(p.across + p.block.width for p in page) + 2 * MARGIN + COLUMN)
    height = max(size[1], max(p.down + p.block.height for p in page) + head + 2 * MARGIN + COLUMN)
    left, top = MARGIN + COLUMN, height - MARGIN - head
    views = [_view(placed, left, top) for placed in page]
    views.append(key_view(trim, strips.strip, (width - MARGIN - KEY_WIDTH, top + 1.0, KEY_WIDTH, head - 1.0)))
    several = number[1] > 1
    named = f" {_named(page)}, {number[0]} of {number[1]}" if several else ""
    title, high = fitted(f"Unrolled cuts: {trim.name}{named}", width - left - MARGIN - KEY_WIDTH, TITLE)
    marks: list[Mark] = [Text((left, height - MARGIN - 1.0), title, high, Layer.TITLE, Anchor.TOP_LEFT)]
    marks += _lines(lines, left, height - MARGIN - 2.0 - TITLE - LETTERS)
    for p in page:
        marks += _lines(p.block.words, left + p.across, top - p.down - p.block.box.height - BELOW)
    border = [(2.0, 2.0), (width - 2, 2.0), (width - 2, height - 2), (2.0, height - 2)]
    marks += [*check_bars((MARGIN + 6, MARGIN + 3)), polyline(border, Layer.TITLE, closed=True)]
    return Sheet(
        # The letter as well: names that differ only in marks or script would share a file.
        name=slug(f"developed {trim.letter} {trim.name}" + (f" {number[0]}" if several else "")),
        title=title,
        width=width,
        height=height,
        views=tuple(views),
        marks=tuple(marks),
        description=f"Full-size strips to wrap round the {trim.name} and mark its cuts by",
    )


def _named(page: Sequence[Placed]) -> str:
    """What a sheet has: its strips by name, or the first and the last of many."""
    names = [placed.block.name for placed in page]
    return ", ".join(names) if len(names) <= FEW else f"{names[0]} to {names[-1]}"


def _view(placed: Placed, left: float, top: float) -> View:
    box = placed.block.box
    corner = (left + placed.across, top - placed.down)
    return View(drawing=placed.block.drawing, scale=1.0, model=(box.left, box.top), paper=corner)


def _words(set_out: SetOut, trim: Trim, strip: Strip, width: float) -> list[str]:
    """How the strips are used, in lines of a width that leaves room for the section at their right."""
    girth = set_out.room.units.written(strip.girth)
    sentences = [
        f"{set_out.room.name}; {trim.letter} {trim.name}, girth {girth} round the face.",
        "Cut the strip out along its thin outline. Wrap it round the face, print outside, each dashed fold on the "
        "arris of its letter. Lay the short thick line at its edge, marked 0 where the cut begins elsewhere, on the "
        "mark for the back length, then draw along the thick line. Hatched is waste.",
        f"Ends that share a strip differ from its line by {2 * OPEN_JOINT:g} at most.",
        "Print at 100 %, do not fit to the page; both bars must measure 100 mm.",
    ]
    return [line for text in sentences for line in wrapped(text, width, LETTERS)]


def _head(lines: Sequence[str]) -> float:
    """Height of title and words, with a gap under them."""
    return 2.0 + TITLE + LETTERS + PITCH * len(lines) + GAP


def _lines(lines: Sequence[str], left: float, top: float) -> Iterator[Mark]:
    for k, line in enumerate(lines):
        yield Text((left, top - k * PITCH), line, LETTERS, Layer.LABEL, Anchor.TOP_LEFT)
