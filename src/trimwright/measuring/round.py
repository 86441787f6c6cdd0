"""Going round the walls: each asked for, and the closing told at once."""

from __future__ import annotations

import math
from dataclasses import replace

from trimwright.errors import RoomFileError
from trimwright.measuring.conversation import Question, Script, ask
from trimwright.measuring.notes import CornerNote, Notes, room_of
from trimwright.measuring.spoken import SaidWall, corner, said_wall, yes_or_no
from trimwright.survey.closing import SQUARE, closing_gap, walk

__all__ = ["WALL_HELP", "closing_words", "corner_question", "walls"]

MOST_WALLS = 500
"""As many as a room file takes."""

NEARLY = 0.02
"""A walk that ends within this part of its length of where it began has come round."""

USUAL_GAP = 0.002
"""A gap of more than this part of the way round is told as a fault to look for. Common practice, no source."""

START = """\

Stand in the room and choose a first wall. Face it: it runs from your left to
your right. The next wall is the one on your right, and so on round the room."""

WALL_HELP = """\
Its length from left to right. Its right corner may follow on the same line:
4620 int 89.7, or 352 ext. A curved wall: the straight line between its ends,
and its radius: 2400 r 3100, or 2400 r 3100 inward if it bows into the room.
Enter, once walls are there: that was the last one."""

CORNER_HELP = """\
Degrees at the wall's right-hand end, as the angle finder reads them: 89.7.
Where the corner juts into the room, measured on the solid side: ext 90.5;
ext alone is ext 90. Enter: internal, not measured, about 90."""


def walls(notes: Notes, unit: str) -> Script[Notes]:
    """The walls one after another, until the room closes or the last is said to be there."""
    while len(notes.walls) < MOST_WALLS:
        said = yield from ask(_wall(notes, unit))
        if said is None:
            break
        turn = said.corner or (yield from ask(corner_question(notes)))
        notes = replace(notes, walls=(*notes.walls, said.note(turn)))
        if turn is None or (_closes(notes) and (yield from ask(_whole_round(notes)))):
            break
    return notes


def _wall(notes: Notes, unit: str) -> Question[SaidWall | None]:
    """The next wall's length; Enter ends the round once there are enough walls."""
    read = said_wall(unit)
    enough = len(notes.walls) >= (3 if notes.closed else 1)
    return Question(
        text=f"Wall {len(notes.walls) + 1}, length",
        read=lambda text: read(text) if text else None,
        usual="" if enough else None,
        shown="no more walls" if enough else None,
        help=WALL_HELP,
        opens=True,
        before=_so_far(notes) if notes.walls else START,
        plan=notes if notes.walls else None,
    )


def corner_question(notes: Notes) -> Question[CornerNote | None]:
    """The corner at the right of the last wall; in an open run it may be a free end."""
    at_end = "" if notes.closed else ", or end"

    def read(text: str) -> CornerNote | None:
        if not text:
            return CornerNote()
        return None if not notes.closed and text.lower() == "end" else corner(text)

    return Question(
        text=f"  its right corner: degrees, ext{at_end}",
        read=read,
        usual="",
        shown="about 90",
        help=CORNER_HELP + ("" if notes.closed else "\nend: the run ends here, at a free end."),
    )


def _whole_round(notes: Notes) -> Question[bool]:
    return Question(
        text="  back at the first corner: is that the whole round? y or n",
        read=yes_or_no,
        usual="y" if closes_well(notes) else None,
        before=closing_words(notes),
        plan=notes,
    )


def closes_well(notes: Notes) -> bool:
    """True if the gap is one that tape and square corners usually leave."""
    return closing_gap(notes.lengths, notes.angles).size <= USUAL_GAP * sum(notes.lengths)


def closing_words(notes: Notes) -> str:
    """How the room closes as it was read."""
    gap = closing_gap(notes.lengths, notes.angles)
    if closes_well(notes):
        return f"The room closes to {notes.shown(gap.size)}."
    return (
        f"The room misses its first corner by {notes.shown(gap.size)} ({gap.direction}):"
        "\na wall was misread, or corners that were not measured are out of square."
    )


def _closes(notes: Notes) -> bool:
    """True if the walls come back to the first corner, as well as such readings can."""
    if not notes.closed or len(notes.walls) < 3:
        return False
    if closing_gap(notes.lengths, notes.angles).size > NEARLY * sum(notes.lengths):
        return False
    try:
        return not room_of(notes)[1].suspects
    except RoomFileError:
        return False


def _so_far(notes: Notes) -> str:
    """Where one stands: how far the first corner is, and whether the next wall leads straight to it."""
    if not notes.closed or len(notes.walls) < 2:
        return ""
    (x, y), heading = walk(notes.lengths, notes.angles)[-1], -_turned(notes)
    ahead, aside = _along(-x, -y, heading)
    if ahead > 0 and abs(aside) < NEARLY * ahead:
        return f"The first corner is {notes.shown(ahead)} straight ahead."
    return f"The first corner is {notes.shown(math.hypot(x, y))} away."


def _turned(notes: Notes) -> float:
    """Degrees turned to the right after the last corner."""
    return sum(180 - (SQUARE if a is None else a) for a in notes.angles)


def _along(dx: float, dy: float, heading: float) -> tuple[float, float]:
    """A step as (ahead, aside) for one who faces along `heading`."""
    c, s = math.cos(math.radians(heading)), math.sin(math.radians(heading))
    return dx * c + dy * s, dy * c - dx * s
