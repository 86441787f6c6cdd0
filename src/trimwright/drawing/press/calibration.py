"""The page that measures a printer: two long bars, and what to write in the room file for what they measure."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trimwright.drawing.layout import wrapped
from trimwright.drawing.marks import Anchor, Layer, Mark, Text, polyline
from trimwright.drawing.press.page import Body, Page, Printer
from trimwright.drawing.primitives import Window

__all__ = ["calibration_page"]

STEP = 10.0
"""From tick to tick on the bars."""

OFF = tuple(k / 2 for k in range(-4, 5))
"""Readings that the table holds, as mm off the true length."""

TITLE, WORDS, PITCH = 7.0, 3.5, 5.6
"""Heights of title and words, and from line to line."""


def calibration_page(printer: Printer) -> Body:
    """Printed as it is, whatever corrections are set: it shows what the printer does by itself."""
    page = Printer(size=printer.size, margin=printer.margin).page()
    across, along, box = _bars(page)
    marks = [*_frame(box, across, along), *_words(box, across, along, printer)]
    return Body(page=page, name="printer-check", title="Printer check", marks=tuple(marks))


def _bars(page: Page) -> tuple[float, float, Window]:
    """Lengths of the level and the upright bar in whole steps, and the rectangle that they begin."""
    left, bottom, right, top = page.window
    across, along = (STEP * math.floor((room - 2.0) / STEP) for room in (right - left, top - bottom))
    return across, along, (left, bottom, left + across, bottom + along)


def _frame(box: Window, across: float, along: float) -> Iterator[Mark]:
    """The two bars with ticks, and thin lines that close the rectangle."""
    left, bottom, right, top = box
    yield polyline([(left, bottom), (right, bottom)], Layer.CHECK)
    yield polyline([(left, bottom), (left, top)], Layer.CHECK)
    yield polyline([(right, bottom), (right, top), (left, top)], Layer.DIMENSION)
    for k in range(round(across / STEP) + 1):
        long = 3.0 if k % 5 == 0 else 1.8
        yield polyline([(left + k * STEP, bottom - long), (left + k * STEP, bottom)], Layer.CHECK)
    for k in range(round(along / STEP) + 1):
        long = 3.0 if k % 5 == 0 else 1.8
        yield polyline([(left - long, bottom + k * STEP), (left, bottom + k * STEP)], Layer.CHECK)
    yield Text(((left + right) / 2, bottom + 1.5), f"bar across: {across:.0f} mm", WORDS, Layer.CHECK, Anchor.BASE)
    middle = ((left + 1.5), (bottom + top) / 2)
    yield Text(middle, f"bar along: {along:.0f} mm", WORDS, Layer.CHECK, Anchor.TOP, angle=90.0)


def _words(box: Window, across: float, along: float, printer: Printer) -> Iterator[Mark]:
    left, _, right, top = box
    level = top - 9.0
    yield Text((left + 12.0, level), "Printer check", TITLE, Layer.TITLE, Anchor.BASE_LEFT)
    level -= 9.0
    for text in (
        f"1. Print this page by itself on {printer.size}, at 100 %, not fitted to the page.",
        "2. Measure both bars with a steel rule from first to last tick. The diagonals of the thin rectangle "
        f"({math.hypot(across, along):.1f} mm) must be equal, else the paper was drawn in askew.",
        "3. If a bar is out by more than 0.2 mm, write what it comes to under [paper] in the room file, from the table "
        f"or by division: scale_x = reading / {across:.0f}, scale_y = reading / {along:.0f}. Build again.",
        "4. This page is printed without correction, all that follow are corrected: "
        "their bars then measure 100 mm. The paper, its way into the printer and the settings must stay the same.",
        f"Set at present: scale_x = {printer.across:.10g}, scale_y = {printer.along:.10g}.",
    ):
        for line in wrapped(text, right - left - 18.0, WORDS):
            yield Text((left + 12.0, level), line, WORDS)
            level -= PITCH
        level -= 1.0
    level -= 3.0
    for k, (name, length) in enumerate((("scale_x", across), ("scale_y", along))):
        column = left + 12.0 + k * (right - left - 12.0) / 2
        yield Text((column, level), f"bar {'along' if k else 'across'}", WORDS)
        yield Text((column + 36.0, level), name, WORDS)
        for row, off in enumerate(OFF):
            y = level - (row + 1) * PITCH
            yield Text((column, y), f"{length + off:.1f} mm", WORDS)
            yield Text((column + 36.0, y), f"{(length + off) / length:.4f}", WORDS)
