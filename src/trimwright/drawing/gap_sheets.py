"""Pictures of the tightest gaps, a cut through each at the place where it is least, several to a sheet."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from trimwright.clearance.clearance import Clearance
from trimwright.clearance.obstacles import Kind, Obstacle
from trimwright.clearance.section import Cut, cut_through
from trimwright.drawing.clutter import Box
from trimwright.drawing.layout import note_marks, room_for_views, wrapped
from trimwright.drawing.marks import Anchor, Drawing, Fill, Hatch, Layer, Mark, Text, dot, polyline
from trimwright.drawing.paper import frame_marks, paper, scale_words
from trimwright.drawing.sheet import Sheet, View
from trimwright.mesh.shape import Mesh
from trimwright.profile.outline import Point
from trimwright.room import Room
from trimwright.setout.piece import SetOut
from trimwright.units import Units

__all__ = ["gap_sheets", "worth_a_picture"]

SPARE = 10.0
"""Gaps wider than wanted by more than this are not drawn, mm."""

BETWEEN = 1.5
"""Between the lines of words over a picture, paper mm."""

CELL = (94.0, 84.0)
"""The least a picture and its words take, paper mm."""

SCALE = 0.5

BODY = 12.0
"""Thickness of wall and ceiling that is drawn, mm."""

ALIKE = 2
"""Pictures of two trims that lie in each other along one wall; more would say the same."""

VERDICT = {True: "clear", False: "CLASH"}


def worth_a_picture(line: Clearance) -> bool:
    """Clashes, and gaps that are hardly wider than wanted; what rests on a casing is as it should be."""
    return not line.ok or (line.kind is not Kind.CASING and line.actual < line.wanted + SPARE)


def gap_sheets(
    set_out: SetOut,
    meshes: Mapping[str, Mesh],
    found: Sequence[Clearance],
    ways: Sequence[Obstacle],
    size: str = "A3",
) -> list[Sheet]:
    """A picture of each gap that is too small or hardly wide enough, clashes first, without title blocks."""
    drawn = _drawn(found)
    if not drawn:
        return []
    sheet = paper(size, landscape=True)
    notes, foot = note_marks(_notes(), sheet)
    space = room_for_views(sheet, foot)
    columns, rows = (max(1, int(s / c)) for s, c in zip((space.width, space.height), CELL, strict=True))
    count = columns * rows
    by_name = {way.name: way for way in ways}
    made: list[Sheet] = []
    for first in range(0, len(drawn), count):
        marks: list[Mark] = [*frame_marks(sheet), *notes]
        views = []
        for k, line in enumerate(drawn[first : first + count]):
            cell = _cell(space, columns, rows, k)
            cut = cut_through(set_out, meshes, line, by_name.get(line.obstacle) if line.kind is not Kind.TRIM else None)
            words = _words(line, cut, set_out, cell)
            marks += words
            below = replace(cell, top=cell.top - sum(text.height + BETWEEN for text in words))
            views.append(_view(f"gap-{first + k + 1}", tuple(_cut_marks(cut, line, set_out)), cut, below))
        made.append(
            Sheet(
                name=f"clearances-{len(made) + 1}",
                title="Clearances, cut where they are least",
                width=sheet.width,
                height=sheet.height,
                views=tuple(views),
                marks=tuple(marks),
                description="Cuts through trim and what is near it, at the least gap of each pair",
            )
        )
    return made


def _drawn(found: Sequence[Clearance]) -> list[Clearance]:
    """Clashes, the worst first, then the rest; of two trims that lie in each other along a wall only the worst few."""
    shown: list[Clearance] = []
    alike: Counter[tuple[str, str, int]] = Counter()
    worth = (line for line in found if worth_a_picture(line))
    for line in sorted(worth, key=lambda line: (line.ok, 0.0 if line.ok else round(line.actual - line.wanted, 1))):
        kind = (line.trim, line.other_trim, line.at.wall)
        alike[kind] += bool(line.other)
        if alike[kind] <= ALIKE or not line.other:
            shown.append(line)
    return shown


def _notes() -> list[str]:
    return [
        f"Cuts {scale_words(SCALE)}: upright ones look along the wall with the wall at the left; level ones are seen "
        "from above with the wall at the top. Bold: the least gap. Grey: what is in the way.",
        "Red: what two things would both take up. Of trims that lie in each other all along a wall the worst two places"
        " are drawn; the list of clearances has them all.",
        "A door or a casement is drawn as all that it sweeps, a grille with the space that its air needs.",
    ]


def _cell(space: Box, columns: int, rows: int, k: int) -> Box:
    """The k-th place of a grid, row by row from the top."""
    row, column = divmod(k, columns)
    width, height = space.width / columns, space.height / rows
    left, top = space.left + column * width, space.top - row * height
    return Box(left + 2, top - height + 2, left + width - 2, top - 2)


def _words(line: Clearance, cut: Cut, set_out: SetOut, cell: Box) -> list[Text]:
    """Who, how wide, and where, above the picture, in as many lines as it takes."""
    room, written = set_out.room, set_out.room.units.written
    kind = "upright" if cut.upright else f"level, at {written(cut.level)}"
    gap = f"in each other by {written(-line.actual)}" if line.overlap else f"gap {written(line.actual)}"
    where = f"{room.walls[line.at.wall].name}, {written(line.at.station)} from the left, {written(line.at.height)} high"
    texts = (
        (f"{VERDICT[line.ok]}: {line.piece} {line.trim}, {line.obstacle}", 3.5),
        (f"{gap}, wanted {written(line.wanted)}; cut {kind}", 2.5),
        (where, 2.5),
    )
    top, made = cell.top, list[Text]()
    for text, height in texts:
        for row in wrapped(text, cell.width, height):
            made.append(Text((cell.left, top), row, height, Layer.TITLE, Anchor.TOP_LEFT))
            top -= height + BETWEEN
    return made


def _view(name: str, marks: tuple[Mark, ...], cut: Cut, cell: Box) -> View:
    """The picture centred on the gap in what its words leave of a cell."""
    window = (cell.left, cell.bottom, cell.right, cell.top)
    middle = ((window[0] + window[2]) / 2, (window[1] + window[3]) / 2)
    centre = ((cut.at[0] + cut.to[0]) / 2, (cut.at[1] + cut.to[1]) / 2)
    return View(drawing=Drawing(name, marks), scale=SCALE, model=centre, paper=middle, window=window)


def _cut_marks(cut: Cut, line: Clearance, set_out: SetOut) -> Iterator[Mark]:
    yield from _upright_room(set_out.room, line, cut) if cut.upright else _wall_above(cut)
    for loop in cut.obstacle:
        yield Fill(polyline(loop, Layer.FITTING, closed=True).segments, Layer.FITTING, 0.82)
        yield polyline(loop, Layer.FITTING, closed=True)
    for name, loop in cut.trims:
        edge = polyline(loop, Layer.SECTION, closed=True)
        angle = -45.0 if name == line.other else 45.0
        yield Hatch(edge.segments, angle=angle, spacing=1.6 if name in (line.piece, line.other) else 3.0)
        yield edge
    for loop in cut.shared:
        yield Fill(polyline(loop, Layer.SECTION, closed=True).segments, Layer.SECTION, "#9b1c1c")
    yield from _gap_marks(cut, line, set_out.room.units)


def _upright_room(room: Room, line: Clearance, cut: Cut) -> Iterator[Mark]:
    """Wall and ceiling near the gap, hatched."""
    ceiling = room.ceiling_at(line.at.wall, cut.station)
    low, far = cut.at[1] - 400, max(cut.at[0], cut.to[0]) + 400
    body = [(0.0, low), (0.0, ceiling), (far, ceiling), (far, ceiling + BODY), (-BODY, ceiling + BODY), (-BODY, low)]
    yield Hatch(polyline(body, Layer.WALL, closed=True).segments, angle=-45.0, spacing=2.5)
    yield polyline([(0.0, low), (0.0, ceiling), (far, ceiling)], Layer.WALL)


def _wall_above(cut: Cut) -> Iterator[Mark]:
    """The wall of a level cut, along its upper side."""
    left, right = cut.at[0] - 400, cut.at[0] + 400
    body = [(left, 0.0), (right, 0.0), (right, BODY), (left, BODY)]
    yield Hatch(polyline(body, Layer.WALL, closed=True).segments, angle=-45.0, spacing=2.5)
    yield polyline([(left, 0.0), (right, 0.0)], Layer.WALL)


def _gap_marks(cut: Cut, line: Clearance, units: Units) -> Iterator[Mark]:
    """The least gap as a bold line between two dots, its width written beside it."""
    for point in {cut.at, cut.to}:
        yield dot(point, 0.8, Layer.CUT)
    if math.dist(cut.at, cut.to) > 0:
        yield polyline([cut.at, cut.to], Layer.CUT)
    words = f"in by {units.written(-line.actual)}" if line.overlap else units.written(line.actual)
    target: Point = ((cut.at[0] + cut.to[0]) / 2, (cut.at[1] + cut.to[1]) / 2)
    spot = (target[0] + 36, target[1] - 20)
    yield polyline([target, spot], Layer.LABEL)
    yield Text((spot[0] + 2, spot[1]), words, 3.5, Layer.LABEL, Anchor.LEFT, ground=True)
