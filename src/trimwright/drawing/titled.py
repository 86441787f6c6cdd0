"""Title blocks for a set of sheets, numbered through."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from trimwright.drawing.paper import Paper, TitleBlock, first_angle_marks, scale_words, title_block_marks
from trimwright.drawing.sheet import Sheet

__all__ = ["kind_of", "scale_of", "titled"]

KINDS = {
    "index": "Index",
    "ceiling-plan": "Plan",
    "section": "Section",
    "wall": "Elevation",
    "scribe": "Scribe strips",
    "clearances": "Clearances",
    "work": "Order of work",
    "detail": "Detail",
    "cutting-plan": "Cutting plan",
    "cut-cards": "Cutting cards",
    "light": "Light",
    "lux": "Light",
}
"""By the name of a sheet without its number; all others are lists."""


def kind_of(sheet: Sheet) -> str:
    """The type of document that a sheet is."""
    return KINDS.get(sheet.name.rstrip("-0123456789"), "List")


def scale_of(sheet: Sheet) -> str:
    """Its scale in words; empty where nothing is drawn."""
    if kind_of(sheet) == "Order of work":
        return ""  # a view of the whole room in parallel projection, not to any scale
    if kind_of(sheet) in ("Scribe strips", "Cutting cards"):
        return "as stated"
    scales = {scale_words(view.scale) for view in sheet.views}
    return scales.pop() if len(scales) == 1 else "as stated" if scales else ""


def titled(sheets: Sequence[Sheet], room: str, issued: str, of: int | None = None) -> list[Sheet]:
    """The sheets of a set with their title blocks; `of` is the number of all sheets where more follow.

    Details show a joint from the front and from above, so they carry the symbol of first-angle projection.
    """
    count = of or len(sheets)
    made = []
    for number, sheet in enumerate(sheets, 1):
        block = TitleBlock(
            title=sheet.title,
            supplement=room,
            identification=sheet.name,
            issued=issued,
            sheet=number,
            sheets=count,
            kind=kind_of(sheet),
            scale=scale_of(sheet),
        )
        frame = Paper("", sheet.width, sheet.height)
        symbol = first_angle_marks(frame) if kind_of(sheet) == "Detail" else ()
        made.append(replace(sheet, marks=(*sheet.marks, *title_block_marks(frame, block), *symbol)))
    return made
