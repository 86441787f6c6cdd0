"""The first sheet of a set: what it holds, the trims of the job, and what the lines mean."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from operator import itemgetter

from trimwright.drawing.layers import STYLES
from trimwright.drawing.marks import Group, Layer, Mark
from trimwright.drawing.press.list_sheets import Listing, list_sheets
from trimwright.drawing.sheet import Sheet
from trimwright.drawing.titled import kind_of, scale_of
from trimwright.setout.piece import SetOut

__all__ = ["index_sheets"]

PROJECTION = "Views are in first-angle projection. Plans are seen from above, through the ceiling. "
LENGTHS = "Lengths in mm, angles in degrees. Nothing is to be scaled off a drawing but full-size templates."


def index_sheets(set_out: SetOut, following: Sequence[Sheet], size: str) -> list[Sheet]:
    """Sheets without title blocks; they count themselves, since those that follow are numbered after them."""
    made: list[Sheet] = []
    while True:
        again = list_sheets("index", "Index of sheets", _listings(set_out, [*made, *following]), size)
        if len(again) == len(made):
            return again
        made = again


def _listings(set_out: SetOut, sheets: Sequence[Sheet]) -> list[Listing]:
    rows = tuple(_rows(sheets))
    used = {layer for sheet in sheets for layer in _layers(sheet)} - {Layer.FRAME, Layer.TITLE}
    return [
        Listing(
            title=f"{set_out.room.name}: index of sheets",
            headers=("sheet", "title", "document", "scale", "mm"),
            rows=rows,
            about=PROJECTION + LENGTHS,
        ),
        Listing(
            title="Trims",
            headers=("id", "trim", "material", "drop", "projection", "pieces", "length in all"),
            rows=tuple(_trims(set_out)),
            about="The letter begins the id of each piece; ids run clockwise from wall 1.",
        ),
        Listing(
            title="Lines",
            headers=("line", "meaning"),
            rows=tuple((layer, style.about) for layer, style in STYLES.items() if layer in used),
        ),
    ]


def _rows(sheets: Sequence[Sheet]) -> Iterable[tuple[str, ...]]:
    """A row a sheet; sheets that follow each other and are called alike share one."""
    numbered = enumerate(((s.title, kind_of(s), scale_of(s), _size(s)) for s in sheets), 1)
    for words, alike in groupby(numbered, key=itemgetter(1)):
        first, *others = (number for number, _ in alike)
        yield (f"{first} to {others[-1]}" if others else str(first), *words)


def _trims(set_out: SetOut) -> Iterable[tuple[str, ...]]:
    written = set_out.room.units.written
    for trim in set_out.trims:
        pieces = set_out.of_trim(trim)
        metres = sum(piece.length for piece in pieces) / 1000
        sizes = (written(trim.section.drop), written(trim.section.projection))
        yield (trim.letter, trim.name, trim.material.name, *sizes, str(len(pieces)), f"{metres:.2f} m")


def _size(sheet: Sheet) -> str:
    return f"{sheet.width:.0f} × {sheet.height:.0f}"


def _layers(sheet: Sheet) -> Iterable[Layer]:
    for view in sheet.views:
        yield from _of_marks(view.drawing.marks)


def _of_marks(marks: Iterable[Mark]) -> Iterable[Layer]:
    for mark in marks:
        if isinstance(mark, Group):
            yield from _of_marks(mark.marks)
        else:
            yield mark.layer
