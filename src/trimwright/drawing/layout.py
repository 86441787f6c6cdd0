"""A drawing on standard paper: the largest scale and the better way round, notes beside or above the title block."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from trimwright.drawing.clutter import Box, Clutter, on_paper
from trimwright.drawing.font import text_width
from trimwright.drawing.marks import Anchor, Drawing, Mark, Text
from trimwright.drawing.paper import Paper, frame_marks, paper, title_block_box
from trimwright.drawing.sheet import View

__all__ = ["Layout", "drawn_box", "laid_out", "note_marks", "room_for_views", "wrapped"]

NOTE = 2.5
"""Height of notes, paper mm."""

PITCH = 4.0
"""From one line of notes to the next, paper mm."""

INSET = 3.0
"""Kept free inside the frame, paper mm."""

BARELY = 0.1
"""Texts that touch by less than this, paper mm, are not one over the other."""

NARROWEST = 60.0
"""Notes stand beside the title block if at least this much is left there, else above it, paper mm."""

REDUCED = (1 / 5, 1 / 10, 1 / 20, 1 / 25, 1 / 50, 1 / 75, 1 / 100, 1 / 200, 1 / 500, 1 / 1000)
"""The reduced scales of ISO 5455, and between them 1:25 and 1:75 of a builder's scale rule."""

BETWEEN = (1 / 25, 1 / 75)
"""Not of the standard, which leaves intermediate scales to exceptional cases (from memory).

Exceptional is a drawing in which, at the next smaller scale of the standard, more texts would lie on lines or texts.
"""

Draw = Callable[[float], Drawing]
"""Makes a drawing for the scale it will be seen at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A drawing placed: the paper, the view, and the marks of frame and notes."""

    paper: Paper
    view: View
    marks: tuple[Mark, ...]


def drawn_box(drawing: Drawing, scale: float) -> Box:
    """What a drawing takes up on paper at a scale, with its model origin at the paper's origin."""
    boxes, lines = on_paper(drawing.marks, scale)
    xs = [x for box in boxes for x in (box.left, box.right)] + [p[0] for line in lines for p in line]
    ys = [y for box in boxes for y in (box.bottom, box.top)] + [p[1] for line in lines for p in line]
    return Box(min(xs), min(ys), max(xs), max(ys))


def wrapped(text: str, width: float, height: float = NOTE) -> list[str]:
    """A text in lines no wider than `width`; what follows the first is indented."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if line and text_width(longer, height) > width:
            lines.append(line)
            longer = f"   {word}"
        line = longer
    return [*lines, line] if line else lines


def note_marks(notes: Sequence[str], sheet: Paper) -> tuple[tuple[Mark, ...], float]:
    """Notes at the bottom of a sheet, and the height at which the room for the drawing begins.

    They stand beside the title block or over it, whichever leaves more room.
    """
    left, bottom, _, _ = sheet.space
    block_left, _, block_right, block_top = title_block_box(sheet)
    ways = [(block_top, block_right)]
    if block_left - left >= NARROWEST:
        ways.append((bottom, block_left))
    return min((_hung(notes, left, *way, block_top) for way in ways), key=lambda made: made[1])


def _hung(
    notes: Sequence[str], left: float, foot: float, right: float, block_top: float
) -> tuple[tuple[Mark, ...], float]:
    """Notes between a left and a right edge, from a foot up; and where the room over them and the block begins."""
    lines = [line for note in notes for line in wrapped(note, right - left - 2 * INSET)]
    top = foot + INSET + len(lines) * PITCH
    marks = tuple(
        Text((left + INSET, top - k * PITCH), line, NOTE, anchor=Anchor.TOP_LEFT) for k, line in enumerate(lines)
    )
    return marks, max(top, block_top) + INSET if lines else block_top + INSET


def room_for_views(sheet: Paper, foot: float) -> Box:
    """The part of the drawing space above the notes and the title block."""
    left, _, right, top = sheet.space
    return Box(left + INSET, foot, right - INSET, top - INSET)


def laid_out(
    draw: Draw,
    extent: tuple[float, float],
    notes: Sequence[str],
    size: str,
    scales: Sequence[float] = REDUCED,
    labelled: Callable[[Drawing, float, Box | None], Drawing] | None = None,
) -> Layout:
    """`draw` at the largest scale that fits on paper of a size, whichever way round; the smallest if none does.

    `extent` is the width and height in model mm of the bare drawing, without the dimensions and labels round it.
    `labelled` adds labels that take long to place, if `draw` leaves them out: not at a scale too large without them.
    Where it is the labels that do not fit, they are placed again, within what the paper holds.
    """
    tries = [(sheet, *note_marks(notes, sheet)) for sheet in (paper(size, True), paper(size, False))]

    def fits(box: Box) -> bool:
        return any(_fits(box, sheet, foot) for sheet, _, foot in tries)

    def whole(lines: Drawing, scale: float) -> Drawing:
        if labelled is None:
            return lines
        drawing, bare = labelled(lines, scale, None), drawn_box(lines, scale)
        if fits(drawn_box(drawing, scale)) or not fits(bare):
            return drawing
        spaces = [room_for_views(sheet, foot) for sheet, _, foot in tries if _fits(bare, sheet, foot)]
        across, up = (spaces[0].width - bare.width) / 2, (spaces[0].height - bare.height) / 2
        within = Box(bare.left - across, bare.bottom - up, bare.right + across, bare.top + up)
        return labelled(lines, scale, within)

    for scale in scales:
        last = scale == scales[-1]
        bare = Box(0.0, 0.0, extent[0] * scale, extent[1] * scale)
        if not last and not fits(bare):
            continue
        lines = draw(scale)
        if labelled and not last and not fits(drawn_box(lines, scale)):
            continue
        drawing = whole(lines, scale)
        box = drawn_box(drawing, scale)
        if scale in BETWEEN and not last and fits(box):
            smaller = next(s for s in scales if s < scale)
            other = whole(draw(smaller), smaller)
            # Labels may reach further out the less room is left for them inside: then the smaller does not fit.
            if fits(drawn_box(other, smaller)) and _unclear(other, smaller) <= _unclear(drawing, scale):
                continue
        for sheet, marks, foot in tries:
            if _fits(box, sheet, foot) or (last and sheet is tries[-1][0]):
                view = _centred(drawing, scale, box, room_for_views(sheet, foot))
                return Layout(paper=sheet, view=view, marks=(*frame_marks(sheet), *marks))
    raise ValueError("no scale given")


def _fits(box: Box, sheet: Paper, foot: float) -> bool:
    space = room_for_views(sheet, foot)
    return box.width <= space.width and box.height <= space.height


def _unclear(drawing: Drawing, scale: float) -> int:
    """How many texts lie on a line or another text."""
    boxes, lines = on_paper(drawing.marks, scale)
    inner = [box.grown(-BARELY) for box in boxes]
    clutter = Clutter(inner, lines)
    return sum(clutter.covered(box) > box.width * box.height + BARELY or clutter.crossed(box) > 0 for box in inner)


def _centred(drawing: Drawing, scale: float, bare: Box, space: Box) -> View:
    across = (space.left + space.right - bare.left - bare.right) / 2
    up = (space.bottom + space.top - bare.bottom - bare.top) / 2
    return View(drawing=drawing, scale=scale, model=(0.0, 0.0), paper=(across, up))
