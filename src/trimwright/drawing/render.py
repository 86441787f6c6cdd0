"""From a sheet to primitives in paper millimetres, once, for every writer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from trimwright.drawing.dimensions import dimension, running
from trimwright.drawing.hatching import hatch_lines
from trimwright.drawing.lettering import lettering
from trimwright.drawing.marks import Dimension, Drawing, Fill, Group, Hatch, Mark, Path, Running, Text
from trimwright.drawing.primitives import Area, Block, Primitive, Stroke, Window, extents
from trimwright.drawing.sheet import Sheet, View

__all__ = ["lower", "lower_view", "own_marks"]


def lower(sheet: Sheet) -> tuple[Block, ...]:
    """What is on the sheet: one block a view, then one for the sheet's own marks."""
    return tuple(lower_view(view) for view in (*sheet.views, own_marks(sheet)) if view.drawing.marks)


def own_marks(sheet: Sheet) -> View:
    """The sheet's own marks, which are in paper mm already, as a view at full size."""
    return View(drawing=Drawing("sheet", sheet.marks), scale=1.0, model=(0.0, 0.0), paper=(0.0, 0.0))


def lower_view(view: View) -> Block:
    """One view as a block of primitives on paper."""
    items = _seen(_lower(view.drawing.marks, view), view.window)
    return Block(view.drawing.name, tuple(items), window=view.window)


def _lower(marks: Iterable[Mark], view: View) -> Iterator[Primitive]:
    for mark in marks:
        match mark:
            case Path(segments, layer, closed):
                if segments:
                    yield Stroke(view.on_paper(segments), layer, closed)
            case Fill(segments, layer, shade):
                if segments:
                    yield Area(view.on_paper(segments), layer, _colour(shade))
            case Hatch(segments, layer, angle, spacing):
                # On a lattice of the drawing, not of the sheet: it must go on from tile to tile.
                origin = view.to_paper((0.0, 0.0))
                lines = hatch_lines(view.on_paper(segments), angle, spacing, origin) if segments else ()
                if lines:
                    yield Stroke(lines, layer)
            case Text(position, text, height, layer, anchor, angle, ground):
                yield from lettering(view.to_paper(position), text, height, layer, anchor, angle, ground)
            case Dimension():
                yield from dimension(mark, view)
            case Running():
                yield from running(mark, view)
            case Group(name, inner, title):
                items = tuple(_lower(inner, view))
                if items:
                    yield Block(name, items, title)


def _colour(shade: float | str) -> str:
    if isinstance(shade, str):
        return shade
    level = round(255 * min(1.0, max(0.0, shade)))
    return f"#{level:02x}{level:02x}{level:02x}"


def _seen(items: Iterable[Primitive], window: Window | None) -> Iterator[Primitive]:
    """What is not wholly outside the window: a tile of a large template carries only its own lines."""
    for item in items:
        if window is None:
            yield item
        elif isinstance(item, Block):
            kept = tuple(_seen(item.items, window))
            if kept:
                yield Block(item.name, kept, item.title)
        elif _overlaps(extents(item), window):
            yield item


def _overlaps(a: Window, b: Window) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]
