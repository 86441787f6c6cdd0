"""The key to the strips of a trim: its section, with the way of the paper and the letters of the folds."""

from __future__ import annotations

from collections.abc import Iterable

from trimwright.drawing.developed.strip import Strip
from trimwright.drawing.labels import Label, place, ring
from trimwright.drawing.layout import drawn_box
from trimwright.drawing.marks import Drawing, Hatch, Layer, Mark, Path
from trimwright.drawing.primitives import Window
from trimwright.drawing.sheet import View
from trimwright.profile.outline import Point
from trimwright.setout.piece import Trim

__all__ = ["key_view"]

AROUND = 5.0
"""Kept free round the section for the letters, paper mm."""


def key_view(trim: Trim, strip: Strip, space: Window) -> View:
    """The section with its letters in the middle of `space` (left, bottom, width, height).

    As large as fits, at most full size.
    """
    left, bottom, width, height = space
    back, low, front, top = trim.edges
    scale = min(1.0, (width - 2 * AROUND) / (front - back), (height - 2 * AROUND) / (top - low))
    marks: list[Mark] = [
        Hatch(trim.outline.segments, spacing=2.5),
        Path(trim.outline.segments, Layer.DIMENSION, closed=True),
        Path(tuple(stretch.edge for stretch in strip.stretches), Layer.JOINT),
    ]
    named: Iterable[tuple[str, Point]] = [(fold.letter, fold.point) for fold in strip.folds]
    labels = [Label(text=letter, spots=ring(point, scale), target=(point, point)) for letter, point in named]
    marks += place(labels, marks, scale)
    drawing = Drawing(f"key-{trim.letter}", tuple(marks))
    box = drawn_box(drawing, scale)
    paper = (left + (width - box.left - box.right) / 2, bottom + (height - box.bottom - box.top) / 2)
    return View(drawing=drawing, scale=scale, model=(0.0, 0.0), paper=paper)
