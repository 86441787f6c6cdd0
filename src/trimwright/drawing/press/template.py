"""A full-size template as it lies on a page: without frame and bars, which every page brings once."""

from __future__ import annotations

from dataclasses import dataclass, replace

from trimwright.drawing.clutter import Box, texts_and_lines
from trimwright.drawing.full_size import FullSize
from trimwright.drawing.layout import drawn_box, wrapped
from trimwright.drawing.marks import Anchor, Drawing, Layer, Mark, Text
from trimwright.drawing.primitives import Window
from trimwright.drawing.render import lower, own_marks
from trimwright.drawing.sheet import Sheet, View
from trimwright.profile.outline import Point

__all__ = ["Template", "template_of", "without_bars"]

AROUND = 0.5
"""Half the width of the widest line, and a little."""

COLUMN = 46.0
"""Words stand beside a drawing if so much is left there, else under it."""

BETWEEN = 4.0
"""From the drawing to its words."""

TITLE, WORDS, PITCH = 3.5, 2.5, 4.0
"""Heights of title and words, and from line to line."""


@dataclass(frozen=True, slots=True)
class Template:
    """What a template shows: its views, and the box round all of it in the frame of its file."""

    name: str
    title: str
    views: tuple[View, ...]
    box: Box

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, mm."""
        return self.box.width, self.box.height

    def views_at(self, corner: Point, window: Window | None = None) -> tuple[View, ...]:
        """The views with the upper left corner of the box at a point of the page, seen through a window of it."""
        dx, dy = corner[0] - self.box.left, corner[1] - self.box.top
        return tuple(
            replace(view, paper=(view.paper[0] + dx, view.paper[1] + dy), window=window) for view in self.views
        )


def template_of(template: FullSize, width: float) -> Template:
    """A template no wider than `width` if its drawing is not: the words beside the drawing, or under it."""
    drawn = template.box
    view = View(drawing=template.drawing, scale=1.0, model=(0.0, 0.0), paper=(0.0, 0.0))
    width -= 2 * AROUND
    left = width - drawn.width - BETWEEN
    if left >= COLUMN:
        words, box = _words(template, (drawn.right + BETWEEN, drawn.top), left)
    else:
        # Under a drawing that will be parted the words stay within its first tile.
        least = 2 * COLUMN
        wide = least if drawn.width > width else max(drawn.width, min(width, least))
        words, box = _words(template, (drawn.left, drawn.bottom - BETWEEN), wide)
    both = Box(
        min(drawn.left, box.left), min(drawn.bottom, box.bottom), max(drawn.right, box.right), max(drawn.top, box.top)
    )
    return Template(template.name, template.title, (view, words), both.grown(AROUND))


def _words(template: FullSize, corner: Point, width: float) -> tuple[View, Box]:
    """Title and words hung from a corner, and the box that they take."""
    (x, y) = corner
    marks: list[Mark] = []
    for text, high in ((template.title, TITLE), *((words, WORDS) for words in template.words)):
        y -= 1.0
        for line in wrapped(text, width, high):
            marks.append(Text((x, y), line.strip(), high, Layer.LABEL, Anchor.TOP_LEFT))
            y -= PITCH + high - WORDS
    view = own_marks(Sheet(name="", title="", width=0.0, height=0.0, marks=tuple(marks)))
    words = replace(view, drawing=Drawing(f"{template.name}-words", view.drawing.marks))
    return words, drawn_box(words.drawing, 1.0)


def without_bars(sheet: Sheet) -> Template:
    """The template on a sheet laid out by itself, less the bars and the border."""
    kept = tuple(m for m in sheet.marks if isinstance(m, Text) and m.layer is not Layer.CHECK)
    words = own_marks(replace(sheet, marks=kept))
    views = (*sheet.views, words)
    boxes, lines = texts_and_lines(lower(replace(sheet, views=views, marks=())))
    xs = [x for b in boxes for x in (b.left, b.right)] + [p[0] for line in lines for p in line]
    ys = [y for b in boxes for y in (b.bottom, b.top)] + [p[1] for line in lines for p in line]
    return Template(sheet.name, sheet.title, views, Box(min(xs), min(ys), max(xs), max(ys)).grown(AROUND))
