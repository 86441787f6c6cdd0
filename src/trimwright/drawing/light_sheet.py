"""The sheets of the light: the strip in plan with its circuits, and how bright the room gets."""

from __future__ import annotations

from collections.abc import Sequence

from trimwright.drawing.clutter import Box
from trimwright.drawing.layout import REDUCED, drawn_box, laid_out, note_marks, room_for_views
from trimwright.drawing.light_plan import light_plan
from trimwright.drawing.lux_map import lux_drawing
from trimwright.drawing.marks import Drawing, Mark
from trimwright.drawing.paper import Paper, frame_marks, paper
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.voltage_graph import voltage_graph
from trimwright.light.brightness import Brightness
from trimwright.light.run import LightRun
from trimwright.light.words import bright_words, circuit_words, strip_words
from trimwright.setout.piece import SetOut
from trimwright.tolerance import DIVIDED

__all__ = ["light_sheets"]

BETWEEN = 2.5
"""Least paper mm between two views, and round them."""


def light_sheets(set_out: SetOut, run: LightRun, bright: Brightness | None, size: str) -> list[Sheet]:
    """The sheets without their title blocks: strip and circuits, then the maps of a closed room."""
    made = [_strip_sheet(set_out, run, size)]
    if bright is not None:
        made.append(_lux_sheet(set_out, run, bright, size))
    return made


def _strip_sheet(set_out: SetOut, run: LightRun, size: str) -> Sheet:
    xs, ys = zip(*set_out.room.outline(DIVIDED), strict=True)
    extent = (max(xs) - min(xs), max(ys) - min(ys))
    notes = [*strip_words(run), *circuit_words(run), *MAINS]
    layout = laid_out(lambda scale: light_plan(set_out, run, scale), extent, notes, size)
    return Sheet(
        name="light",
        title="Light strip and feeds",
        width=layout.paper.width,
        height=layout.paper.height,
        views=(layout.view,),
        marks=layout.marks,
        description="Plan of the light strip with feeds, polarity, dark lengths and joints",
    )


MAINS = (
    "Polarity: the + track lies towards the wall all the way round; join + to + at every link, and try each circuit"
    " before the diffuser goes in.",
    "The fuse sits in the + lead at the driver, one for each feed. Never join the outputs of two drivers.",
    "Everything on the mains side belongs to a licensed electrician and the local wiring rules; drivers need air and"
    " access.",
)


def _lux_sheet(set_out: SetOut, run: LightRun, bright: Brightness, size: str) -> Sheet:
    """Both maps beside or over each other, the graph of the voltage under them."""
    notes = list(bright_words(bright, run))
    xs, ys = zip(*set_out.room.outline(DIVIDED), strict=True)
    room = min(max(xs) - min(xs), max(ys) - min(ys))
    longest = max(paper(size).width, paper(size).height)
    for scale in REDUCED:
        if scale != REDUCED[-1] and room * scale > longest / 2:
            continue
        drawn = (lux_drawing(set_out.room, lux, scale) for lux in (bright.floor, bright.working))
        maps = [(drawing, drawn_box(drawing, scale)) for drawing in drawn]
        for lies in (True, False):
            sheet = paper(size, lies)
            marks, foot = note_marks(notes, sheet)
            space = room_for_views(sheet, foot)
            curve = voltage_graph(run, space.width)
            graph = (curve, drawn_box(curve, 1.0))
            last = scale == REDUCED[-1] and not lies
            views = _placed(maps, scale, graph, space, row=True) or _placed(maps, scale, graph, space, row=False)
            if views or last:
                return _framed(sheet, views, marks)
    raise ValueError("no scale given")


Boxed = tuple[Drawing, Box]
"""A drawing, and what it takes up on paper."""


def _placed(maps: Sequence[Boxed], scale: float, graph: Boxed, space: Box, row: bool) -> tuple[View, ...]:
    """Maps in a row or a column above the graph, spread over the space; none if they do not fit."""
    (curve, below), boxes = graph, [box for _, box in maps]
    top, bottom = max(box.top for box in boxes), min(box.bottom for box in boxes)
    left, right = min(box.left for box in boxes), max(box.right for box in boxes)
    columns, rows = (len(maps), 1) if row else (1, len(maps))
    across = (space.width - columns * (right - left)) / (columns + 1)
    up = (space.height - below.height - rows * (top - bottom)) / (rows + 2)
    if across < (BETWEEN if row else 0) or up < BETWEEN:
        return ()
    views = []
    for k, (drawing, _) in enumerate(maps):
        column, down = (k, 0) if row else (0, k)
        at = (
            space.left + across + column * (right - left + across) - left,
            space.top - up - down * (top - bottom + up) - top,
        )
        views.append(View(drawing=drawing, scale=scale, model=(0.0, 0.0), paper=at))
    foot = (space.left + (space.width - below.width) / 2 - below.left, space.bottom + up - below.bottom)
    return (*views, View(drawing=curve, scale=1.0, model=(0.0, 0.0), paper=foot))


def _framed(sheet: Paper, views: tuple[View, ...], marks: Sequence[Mark]) -> Sheet:
    return Sheet(
        name="lux",
        title="How bright the room gets",
        width=sheet.width,
        height=sheet.height,
        views=views,
        marks=(*frame_marks(sheet), *marks),
        description="Illuminance on the floor and at working height, and the voltage along the strip",
    )
