"""Scribe strips: the gap over a trim that runs level under a ceiling which does not, drawn as it is closed.

Heights are full size; along the wall, where millimetres do not matter, a strip is drawn to a scale that fits the
paper. The bold edge is the ceiling. A wall whose gap is too narrow for a strip is filled, and named in the notes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from trimwright.ceiling import Strip, strips
from trimwright.drawing.clutter import Box
from trimwright.drawing.labels import Label, Spot, along, place
from trimwright.drawing.layout import INSET, REDUCED, drawn_box, note_marks, room_for_views
from trimwright.drawing.marks import Anchor, Drawing, Fill, Layer, Mark, Text, polyline
from trimwright.drawing.paper import Paper, frame_marks, paper, scale_words
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.template_marks import BAR, check_bars
from trimwright.profile.outline import Point
from trimwright.setout.piece import SetOut

__all__ = ["fill_words", "scribe_sheets", "strip_drawing"]

TICK = 4.0
"""From the lower edge of a strip down to the stations of its points, paper mm."""

TITLE = 3.5
"""Height of a strip's title, paper mm."""

BARS = 12.0
"""Kept free at the left and at the foot for the check bars, paper mm."""

BETWEEN = 8.0
"""Least distance between strips on a sheet, paper mm."""

STEPS = (1.5, 5.5, 9.5, 13.5)
"""Distances of a value from its point that are tried, paper mm."""

PARTS = (0.5, 0.4, 0.6, 0.3, 0.7)
"""Parts of an edge at which its name is tried."""

SHADE = 0.9


@dataclass(frozen=True, slots=True)
class Block:
    """A strip as it is drawn, and the room it takes."""

    drawing: Drawing
    box: Box


def scribe_sheets(set_out: SetOut, size: str = "A3") -> list[Sheet]:
    """The strips of all walls, several to a sheet, without title blocks; none where nothing has to be scribed."""
    wanted = [strip for strip in strips(set_out) if strip.scribed]
    if not wanted:
        return []
    sheet = paper(size, landscape=True)
    notes, foot = note_marks(_notes(set_out), sheet)
    space = room_for_views(sheet, foot)
    bars = check_bars((space.left + INSET, space.bottom + INSET))
    space = Box(space.left + BARS, space.bottom + BARS, space.right, space.top)
    pages = _paged([_fitted(set_out, strip, space.width) for strip in wanted], space.height)
    return [
        _sheet(page, number, sheet, space, (*frame_marks(sheet), *notes, *bars)) for number, page in enumerate(pages, 1)
    ]


def fill_words(set_out: SetOut, wall: int | None = None) -> list[str]:
    """Which gaps are only filled, on one wall or on all."""
    room = set_out.room
    return [
        f"Fill, no strip: over the {strip.trim.name} on wall {strip.wall + 1} ({room.walls[strip.wall].name}), "
        f"at most {room.units.written(strip.widest)}."
        for strip in strips(set_out, wall)
        if not strip.scribed
    ]


def _notes(set_out: SetOut) -> list[str]:
    return [
        "Heights are full size, lengths along the wall are not: each strip says its scale. The bold edge meets the "
        "ceiling, the lower edge lies on the trim; left and right as one faces the wall.",
        "Mark the heights at their stations on a strip of the trim's material, join them, and hold it up: between the "
        "points measured the ceiling is drawn straight, so scribe what is left before cutting.",
        *fill_words(set_out),
        f"Print at 100 %, do not fit to the page; both bars must measure {BAR:.0f} mm.",
    ]


def _fitted(set_out: SetOut, strip: Strip, width: float) -> Block:
    """The strip at the largest scale along the wall at which it fits across the sheet; the smallest if none does."""
    for scale in REDUCED:
        drawing = strip_drawing(set_out, strip, scale)
        box = drawn_box(drawing, 1.0)
        if box.width <= width:
            break
    return Block(drawing, box)


def strip_drawing(set_out: SetOut, strip: Strip, scale: float) -> Drawing:
    """One strip in paper mm: x is the station times `scale`, y the height over the trim, 1:1."""
    wall = set_out.room.walls[strip.wall]
    line = [(station * scale, gap) for station, gap in strip.points]
    (left, first), (right, last) = line[0], line[-1]
    ends = [[(left, min(0.0, first) - 2), (left, first + 2)], [(right, min(0.0, last) - 2), (right, last + 2)]]
    marks: list[Mark] = [
        Fill(polyline([*line, (right, 0.0), (left, 0.0)], Layer.TRIM, closed=True).segments, Layer.TRIM, SHADE),
        *(polyline(end, Layer.WALL) for end in ends),
        *(polyline([(x, -TICK), (x, max(gap, 0.0))], Layer.DIMENSION) for x, gap in line),
        polyline([(left, 0.0), (right, 0.0)], Layer.TRIM),
        polyline(line, Layer.CUT),
    ]
    labels = [*_point_labels(set_out, strip, line), *_edge_labels(set_out, strip, line)]
    marks += place(labels, marks, 1.0)
    title = f"Wall {strip.wall + 1}, {wall.name}: over the {strip.trim.name}"
    words = f"{title}; {scale_words(scale)} along the wall, {scale_words(1.0)} in height"
    top = drawn_box(Drawing("", tuple(marks)), 1.0).top
    marks.append(Text((left, top + 3.0), words, TITLE, Layer.TITLE))
    return Drawing(f"scribe-{strip.wall + 1}-{strip.trim.name}", tuple(marks))


def _point_labels(set_out: SetOut, strip: Strip, line: Sequence[Point]) -> Iterator[Label]:
    """The height of the gap at each point, over the ceiling's edge, and under the strip the point's station."""
    written = set_out.room.units.written
    for (x, gap), (station, _) in zip(line, strip.points, strict=True):
        above = tuple(((x, max(gap, 0.0) + up), Anchor.BASE) for up in STEPS)
        yield Label(text=written(gap), spots=above, target=((x, gap), (x, gap)))
        below = tuple(((x, -TICK - down), Anchor.TOP) for down in STEPS)
        yield Label(text=written(station), spots=below, target=((x, -TICK), (x, -TICK)))


def _edge_labels(set_out: SetOut, strip: Strip, line: Sequence[Point]) -> Iterator[Label]:
    """Corners at both ends, ceiling and trim at the two edges."""
    room = set_out.room
    (left, _), (right, _) = line[0], line[-1]
    ends = (
        (room.corner_left(strip.wall), left - 3.0, Anchor.RIGHT, "left end"),
        (room.corner_right(strip.wall), right + 3.0, Anchor.LEFT, "right end"),
    )
    for corner, x, anchor, end in ends:
        text = end if corner is None else f"corner {corner.right + 1}"
        yield Label(text=text, spots=(((x, 1.5), anchor), ((x, -3.0), anchor)))
    for start, stop in pairwise(line):
        yield Label(text="ceiling", spots=_beside(start, stop), optional=True)
    under = along((left, 0.0), (right, 0.0), PARTS, (0.0, -1.0), Anchor.TOP)
    yield Label(text=f"top edge of the {strip.trim.name}", spots=under)


def _beside(start: Point, stop: Point) -> tuple[Spot, ...]:
    """Spots over an edge, further off where it is steep."""
    return tuple(spot for up in (1.0, 2.0, 3.0, 4.0) for spot in along(start, stop, PARTS, (0.0, up), Anchor.BASE))


def _paged(blocks: Sequence[Block], height: float) -> list[list[Block]]:
    """Blocks one under the other, as many to a sheet as fit."""
    pages: list[list[Block]] = [[]]
    used = 0.0
    for block in blocks:
        if pages[-1] and used + BETWEEN + block.box.height > height:
            pages.append([])
            used = 0.0
        used += (BETWEEN if pages[-1] else 0.0) + block.box.height
        pages[-1].append(block)
    return pages


def _sheet(page: Sequence[Block], number: int, sheet: Paper, space: Box, marks: tuple[Mark, ...]) -> Sheet:
    """Strips spread evenly over the height of a sheet."""
    spare = space.height - sum(block.box.height for block in page)
    gap = spare / (len(page) + 1)
    views, level = [], space.top
    for block in page:
        level -= gap
        at = (space.left, level)
        views.append(View(drawing=block.drawing, scale=1.0, model=(block.box.left, block.box.top), paper=at))
        level -= block.box.height
    return Sheet(
        name=f"scribe-{number}",
        title="Scribe strips under the ceiling",
        width=sheet.width,
        height=sheet.height,
        views=tuple(views),
        marks=marks,
        description="Gaps between trims and ceiling, full size in height, to be closed by strips",
    )
