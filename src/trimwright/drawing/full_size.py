"""A full-size template before it is laid on paper, and a sheet of its own for it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from trimwright.drawing.clutter import Box
from trimwright.drawing.layout import drawn_box, wrapped
from trimwright.drawing.marks import Anchor, Drawing, Layer, Mark, Text, polyline
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.template_marks import ACROSS, BAR, check_bars

__all__ = ["FullSize", "template_sheet"]

PRINT = "Print at 100 %, do not fit to the page; both bars must measure 100 mm."

MARGIN = 7.0
"""Inside the edge of the sheet."""

LETTERS, PITCH = 3.0, 5.0
"""Height of words, and from line to line."""


@dataclass(frozen=True)
class FullSize:
    """A template: its drawing in mm, what it is called, and the words that go with it.

    `name` is fit for a file, `about` says in one line what is seen. Every paper that it is tried on asks for its box,
    so it is measured once.
    """

    name: str
    title: str
    drawing: Drawing
    words: tuple[str, ...]
    about: str

    @cached_property
    def box(self) -> Box:
        """What the drawing takes up, lettering and all, in its own mm."""
        return drawn_box(self.drawing, 1.0)


def template_sheet(template: FullSize) -> Sheet:
    """The drawing at full size, the words below it, the check bars at the left and bottom."""
    box = template.box
    left, bottom, right, top = box.left, box.bottom, box.right, box.top
    inner = max(ACROSS, right - left)
    width = inner + 2 * MARGIN + 10
    lines = [line for text in (*template.words, PRINT) for line in wrapped(text, width - 2 * MARGIN - 10, LETTERS)]
    bars = (MARGIN + 6, MARGIN + 3)
    foot = bars[1] + 8 + len(lines) * PITCH + 14
    paper = (MARGIN + 10 + (inner - right - left) / 2, foot - bottom)
    view = View(drawing=template.drawing, scale=1.0, model=(0.0, 0.0), paper=paper)
    height = max(foot + top - bottom + MARGIN, bars[1] + BAR + MARGIN)
    texts: list[Mark] = [Text((MARGIN + 12, foot - 6), template.title, 5.0, Layer.TITLE, Anchor.TOP_LEFT)]
    for k, line in enumerate(lines):
        texts.append(Text((MARGIN + 12, foot - 15 - k * PITCH), line, LETTERS, Layer.LABEL, Anchor.TOP_LEFT))
    border = [(2.0, 2.0), (width - 2, 2.0), (width - 2, height - 2), (2.0, height - 2)]
    marks = (*texts, *check_bars(bars), polyline(border, Layer.TITLE, closed=True))
    return Sheet(
        name=template.name,
        title=template.title,
        width=width,
        height=height,
        views=(view,),
        marks=marks,
        description=template.about,
    )
