"""The order of work, a thumbnail of the room after each step, several to a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trimwright.drawing.clutter import Box
from trimwright.drawing.layout import drawn_box, note_marks, room_for_views, wrapped
from trimwright.drawing.marks import Anchor, Drawing, Layer, Mark, Text
from trimwright.drawing.paper import frame_marks, paper
from trimwright.drawing.room_view import piece_marks, room_marks
from trimwright.drawing.sheet import Sheet, View
from trimwright.room import Wall
from trimwright.setout.piece import SetOut
from trimwright.work.steps import Step

__all__ = ["work_sheets"]

CELL = (88.0, 74.0)
"""The least a step takes, paper mm."""

TITLE, WORDS, PITCH = 3.5, 2.5, 3.7
"""Heights of a step's title and of its words, and from one line of words to the next, paper mm."""

ABOUT = 10
"""Walls shown on either side of a step's own: a hundred walls in a thumbnail show nothing, and take their time."""

LINES = 7
"""Lines of words under a title that a step has room for."""

NOTES = (
    "After each step: grey is up already, blue goes up in the step. The way in is that "
    "past everything that is up; write the id of a piece on its back. Of many walls only those near are shown.",
    "A piece that finds its way barred on site: stop, and look what stands in it; do not force a mitre.",
)


def work_sheets(set_out: SetOut, steps: Sequence[Step], size: str = "A3") -> list[Sheet]:
    """The steps in their order, without title blocks."""
    sheet = paper(size, landscape=True)
    notes, foot = note_marks(NOTES, sheet)
    space = room_for_views(sheet, foot)
    columns, rows = (max(1, int(s / c)) for s, c in zip((space.width, space.height), CELL, strict=True))
    count = columns * rows
    made: list[Sheet] = []
    for first in range(0, len(steps), count):
        marks: list[Mark] = [*frame_marks(sheet), *notes]
        views = []
        for k, step in enumerate(steps[first : first + count]):
            row, column = divmod(k, columns)
            cell = _cell(space, columns, rows, row, column)
            marks += _words(step, cell)
            views.append(_view(set_out, step, cell))
        made.append(
            Sheet(
                name=f"work-{len(made) + 1}",
                title="Order of work",
                width=sheet.width,
                height=sheet.height,
                views=tuple(views),
                marks=tuple(marks),
                description="The steps of the job in order, the room after each of them",
            )
        )
    return made


def _cell(space: Box, columns: int, rows: int, row: int, column: int) -> Box:
    width, height = space.width / columns, space.height / rows
    left, top = space.left + column * width, space.top - row * height
    return Box(left + 2, top - height + 2, left + width - 3, top - 2)


def _words(step: Step, cell: Box) -> Iterator[Mark]:
    """Number and title over the picture, what to know under it."""
    title = wrapped(f"{step.number}  {step.title}", cell.width, TITLE)[0]
    yield Text((cell.left, cell.top), title, TITLE, Layer.TITLE, Anchor.TOP_LEFT)
    lines = _lines(step, cell.width)
    for k, line in enumerate(lines):
        level = cell.bottom + (LINES - k) * PITCH
        yield Text((cell.left, level), line, WORDS, Layer.LABEL, Anchor.TOP_LEFT)


def _lines(step: Step, width: float) -> list[str]:
    """The words in lines; what does not fit is left to the list of steps, and says so."""
    lines = [line for words in step.words for line in wrapped(words, width, WORDS)]
    return lines if len(lines) <= LINES else [*lines[: LINES - 1], "… see the list"]


def _walls(set_out: SetOut, step: Step) -> list[Wall]:
    """The walls that are shown of a step: all, or of a room of many those about the walls that it is at."""
    walls = set_out.room.walls
    at = {set_out.piece(name).wall for name in step.pieces}
    if len(walls) <= 2 * ABOUT + 1 or not at:
        return list(walls)
    near = {(wall + k) % len(walls) for wall in at for k in range(-ABOUT, ABOUT + 1)}
    return [wall for wall in walls if wall.index in near]


def _view(set_out: SetOut, step: Step, cell: Box) -> View:
    """The room after a step, as large as the cell lets it be."""
    walls = _walls(set_out, step)
    shown = {wall.index for wall in walls}
    pieces = [piece for piece in set_out.pieces if piece.wall in shown]
    marks = (*room_marks(set_out.room, walls), *piece_marks(pieces, set(step.up), set(step.pieces)))
    drawing = Drawing(f"step-{step.number}", marks)
    space = Box(cell.left, cell.bottom + LINES * PITCH + 1.0, cell.right, cell.top - TITLE - 2.0)
    box = drawn_box(drawing, 1.0)
    scale = min(space.width / box.width, space.height / box.height)
    at = (
        (space.left + space.right) / 2 - (box.left + box.right) / 2 * scale,
        (space.bottom + space.top) / 2 - (box.bottom + box.top) / 2 * scale,
    )
    return View(drawing=drawing, scale=scale, model=(0.0, 0.0), paper=at)
