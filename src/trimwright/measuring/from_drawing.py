"""The walls of a drawing's outline in the notes, its unit and the outline asked for where they are not known."""

from __future__ import annotations

import math
from dataclasses import replace

from trimwright.errors import RoomFileError
from trimwright.measuring.conversation import Question, Script, ask
from trimwright.measuring.notes import Notes, room_of
from trimwright.measuring.outline import Drawing, drawn_walls
from trimwright.measuring.spoken import UNITS, choice
from trimwright.terminal import table_text
from trimwright.units import MILLIMETRES

__all__ = ["asked_of_drawing", "from_drawing"]

MOST_LISTED = 20
"""So many outlines of a drawing are listed; smaller ones are cupboards and symbols."""


def from_drawing(notes: Notes, drawing: Drawing, unit: str | None, outline: int | None) -> Notes:
    """The walls of the drawing's outline: the one asked for, else the largest. Nothing is asked."""
    scale = _scale(drawing, unit)
    if scale is None:
        raise RoomFileError(f"{drawing.path}: does not say its unit; give it with --unit mm, cm, m, in or ft")
    return _with_outline(notes, drawing, scale, _number(drawing, outline))


def _scale(drawing: Drawing, unit: str | None) -> float | None:
    return MILLIMETRES[unit] if unit is not None else drawing.scale


def _number(drawing: Drawing, asked: int | None) -> int:
    """Which outline, from 0."""
    if asked is not None and not 1 <= asked <= len(drawing.outlines):
        raise RoomFileError(f"--outline {asked}: there are {len(drawing.outlines)} closed outlines, 1 is the largest")
    return (asked or 1) - 1


def _with_outline(notes: Notes, drawing: Drawing, scale: float, number: int) -> Notes:
    outline = drawing.outlines[number]
    try:
        walls = drawn_walls(outline, scale)
        room_of(Notes(walls=walls, ceiling=2400))
    except RoomFileError as error:
        raise RoomFileError(f"{drawing.path}: {error}") from None
    many = f", outline {number + 1} of {len(drawing.outlines)}" if len(drawing.outlines) > 1 else ""
    return replace(
        notes, walls=walls, closed=True, origin=f"From the drawing {drawing.path.name}, layer {outline.layer}{many}"
    )


def asked_of_drawing(notes: Notes, drawing: Drawing, unit: str | None, outline: int | None) -> Script[Notes]:
    """The walls of the drawing, with its unit and the outline asked for where they are not known."""
    scale = _scale(drawing, unit)
    if scale is None:
        scale = MILLIMETRES[(yield from ask(_unit_question(notes, drawing)))]
    number = _number(drawing, outline)
    if outline is None and len(drawing.outlines) > 1:
        number = yield from ask(_outline_question(notes, drawing, scale))
    return _with_outline(notes, drawing, scale, number)


def _unit_question(notes: Notes, drawing: Drawing) -> Question[str]:
    """Offers the unit in which the largest outline is nearest to a room of four metres."""
    size = abs(drawing.outlines[0].area) ** 0.5
    pick = choice(UNITS, "a unit: one")

    def read(text: str) -> str:
        unit = pick(text)
        _try_any(notes, drawing, MILLIMETRES[unit])
        return unit

    return Question(
        text=f"{drawing.path.name} does not say its unit: mm, cm, m, in or ft",
        read=read,
        usual=min(UNITS, key=lambda unit: abs(math.log(size * MILLIMETRES[unit] / 4000))),
        help="The unit in which its lines are drawn; it may differ from that of your tape.",
        opens=True,
        before=f"Its largest outline is about {size:.4g} units across.",
    )


def _try(notes: Notes, drawing: Drawing, scale: float, number: int) -> None:
    """Raise ValueError, to be put right in the conversation, if that outline makes no room."""
    try:
        _with_outline(notes, drawing, scale, number)
    except RoomFileError as error:
        raise ValueError(str(error)) from None


def _try_any(notes: Notes, drawing: Drawing, scale: float) -> None:
    """Raise the ValueError of the largest outline if none of them makes a room."""
    faults = []
    for number in range(len(drawing.outlines)):
        try:
            return _try(notes, drawing, scale, number)
        except ValueError as fault:
            faults.append(fault)
    raise faults[0]


def _outline_question(notes: Notes, drawing: Drawing, scale: float) -> Question[int]:
    rows = [
        (k, outline.layer, len(outline.sides), f"{abs(outline.area) * scale**2 / 1e6:.1f}")
        for k, outline in enumerate(drawing.outlines, 1)
    ]

    more = f"\nand {len(rows) - MOST_LISTED} smaller ones" if len(rows) > MOST_LISTED else ""

    def read(text: str) -> int:
        if not text.isdigit() or not 1 <= int(text) <= len(rows):
            raise ValueError(f"a number, 1 to {len(rows)}")
        _try(notes, drawing, scale, int(text) - 1)
        return int(text) - 1

    return Question(
        text="Which outline is the room",
        read=read,
        usual="1",
        opens=True,
        help="The number of the one that runs along the inside of the room's walls.",
        before=table_text(("", "layer", "corners", "m²"), rows[:MOST_LISTED]) + more,
    )
