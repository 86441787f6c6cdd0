"""From a sheet to primitives in paper millimetres, once, for every writer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from trimwright.drawing.dimensions import dimension, running
from trimwright.drawing.hatching import hatch_lines
from trimwright.drawing.lettering import lettering
from trimwright.drawing.marks import Dimension, Drawing, Fill, Group, Hatch, Mark, Path, Running, Text
from trimwright.drawing.primitives import Area, Block, Primitive, Stroke, Window, extents
from trimwright.drawing.sheet import Sheet, View
from trimwright.profile.outline import Arc, Line, Segment

__all__ = ["lower"]


def lower(sheet: Sheet) -> tuple[Block, ...]:
    """What is on the sheet: one block a view, then one for the sheet's own marks."""
    own = View(drawing=Drawing("sheet", sheet.marks), scale=1.0, model=(0.0, 0.0), paper=(0.0, 0.0))
    return tuple(
        Block(view.drawing.name, tuple(_seen(_lower(view.drawing.marks, view), view.window)), window=view.window)
        for view in (*sheet.views, own)
        if view.drawing.marks
    )


def _lower(marks: Iterable[Mark], view: View) -> Iterator[Primitive]:
    for mark in marks:
        match mark:
            case Path(segments, layer, closed):
                if segments:
                    yield Stroke(_placed(segments, view), layer, closed)
            case Fill(segments, layer, shade):
                if segments:
                    yield Area(_placed(segments, view), layer, _colour(shade))
            case Hatch(segments, layer, angle, spacing):
                lines = hatch_lines(_placed(segments, view), angle, spacing) if segments else ()
                if lines:
                    yield Stroke(lines, layer)
            case Text(position, text, height, layer, anchor, angle, ground):
                yield from lettering(view.to_paper(position), text, height, layer, anchor, angle, ground)
            case Dimension():
                yield from dimension(mark, view)
            case Running():
                yield from running(mark, view)
            case Group(name, inner, title):
                yield Block(name, tuple(_lower(inner, view)), title)


def _placed(segments: Iterable[Segment], view: View) -> tuple[Segment, ...]:
    return tuple(
        Line(view.to_paper(s.start), view.to_paper(s.end))
        if isinstance(s, Line)
        else Arc(view.to_paper(s.start), view.to_paper(s.end), view.to_paper(s.centre), s.clockwise)
        for s in segments
    )


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
        elif not isinstance(item, Stroke | Area) or _overlaps(extents(item), window):
            yield item


def _overlaps(a: Window, b: Window) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]
