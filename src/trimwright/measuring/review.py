"""All walls shown for correction, with what the survey makes of them, until they make a room."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

from trimwright.errors import RoomFileError
from trimwright.measuring.conversation import Question, Script, ask
from trimwright.measuring.notes import CornerNote, Notes, WallNote, Written, room_of
from trimwright.measuring.round import WALL_HELP, closing_words, corner_question
from trimwright.measuring.spoken import line_of_text, said_wall, written_length
from trimwright.survey.reading import Kind
from trimwright.survey.report import sentences
from trimwright.terminal import table_text

__all__ = ["reviewed"]

REVIEW_HELP = """\
3            says wall 3 anew
name 3 bay   names it
add          goes on after the last wall; add 3 puts a wall in front of wall 3
drop 3       takes wall 3 away"""

KEEP_HELP = "\nkeep         leaves it as it is, to be measured again before anything is built"


class Wish(NamedTuple):
    """What is to be done to which wall (from 0)."""

    do: str
    wall: int = 0
    name: str = ""


def reviewed(notes: Notes, unit: str) -> Script[Notes]:
    """The walls as a table; any of them can be said anew, named, put in or taken away, until they make a room."""
    while True:
        wish = yield from ask(_review(notes))
        if wish.do == "done":
            tied = yield from _tied(notes, unit)
            if tied is notes:
                return notes
            notes = tied
        else:
            walls = yield from _mended(notes, wish, unit)
            notes = replace(notes, walls=_ended(walls, notes.closed), diagonals=_kept(notes, wish))


def _mended(notes: Notes, wish: Wish, unit: str) -> Script[tuple[WallNote, ...]]:
    """The walls with one wish carried out."""
    before, old, after = notes.walls[: wish.wall], notes.walls[wish.wall : wish.wall + 1], notes.walls[wish.wall + 1 :]
    match wish.do:
        case "name":
            return (*before, replace(old[0], name=wish.name), *after)
        case "drop":
            return (*before, *after)
        case "add":
            return (*before, (yield from _said_anew(notes, wish.wall, unit, None)), *old, *after)
        case _:
            return (*before, (yield from _said_anew(notes, wish.wall, unit, old[0])), *after)


def _ended(walls: tuple[WallNote, ...], closed: bool) -> tuple[WallNote, ...]:
    """Walls of which none has a free end at its right but the last of an open run."""
    joined = tuple(wall if wall.corner else replace(wall, corner=CornerNote()) for wall in walls)
    return joined if closed else (*joined[:-1], replace(joined[-1], corner=None))


def _kept(notes: Notes, wish: Wish) -> tuple[tuple[int, int, Written], ...]:
    """The diagonals that still mean the same: none once corners are counted differently."""
    return () if wish.do in ("add", "drop") else notes.diagonals


def _tied(notes: Notes, unit: str) -> Script[Notes]:
    """The notes with the diagonal that holds the room's shape, if corners taken as square are all that does."""
    survey = room_of(notes)[1]
    wanted = survey.next_reading
    if wanted is None or wanted.kind is not Kind.DIAGONAL or notes.diagonals:
        return notes
    a, b = wanted.at
    read = written_length(unit, least=10)
    size = yield from ask(
        Question(
            text=f"Diagonal, corner {_between(a, notes)} to corner {_between(b, notes)}",
            read=lambda text: read(text) if text else None,
            usual="",
            shown="not measured",
            help="Straight through the room from corner to corner, at the height of the other readings.",
            opens=True,
            before=f"Only corners taken as square hold the shape. It should be about {notes.shown(wanted.value)}.",
            plan=notes,
        )
    )
    return notes if size is None else replace(notes, diagonals=((a, b, size),))


def _between(corner: int, notes: Notes) -> str:
    """ "2 (walls 1 and 2)": a corner by its number and its walls; a free end has one."""
    count = len(notes.walls)
    if not notes.closed and corner in (0, count):
        return f"{corner + 1} (end of wall {max(1, corner)})"
    return f"{corner + 1} (walls {(corner - 1) % count + 1} and {corner + 1})"


def _said_anew(notes: Notes, number: int, unit: str, old: WallNote | None) -> Script[WallNote]:
    """One wall asked for with what it was in brackets."""
    said = yield from ask(
        Question(
            text=f"Wall {number + 1}, length",
            read=said_wall(unit),
            usual=None if old is None else _said_length(old),
            help=WALL_HELP,
            opens=True,
        )
    )
    question = corner_question(notes)
    if old is not None and old.corner != CornerNote():
        was = _said_corner(old.corner) or "end"
        question = replace(question, usual=was, shown=was)
    return said.note(said.corner or (yield from ask(question)), old.name if old else "")


def _said_length(wall: WallNote) -> str:
    """A length, with its radius if it has one, as it would be typed."""
    curve = "" if wall.radius is None else f" r {wall.radius}{' inward' if wall.inward else ''}"
    return f"{wall.length}{curve}"


def _said_corner(note: CornerNote | None) -> str:
    """A corner as it would be typed."""
    if note is None:
        return ""
    angle = "" if note.angle is None else f"{note.angle:g}"
    return f"ext {angle}".strip() if note.external else angle


def _review(notes: Notes) -> Question[Wish]:
    fault, doubt, good = _verdict(notes)
    table = table_text(("wall", "name", "length", "corner", "angle"), [_row(notes, k) for k in range(len(notes.walls))])
    texts = [
        "Correct which wall?",
        "Correct which wall? (keep: leave it so)",
        "Enter if right; a wall's number corrects it",
    ]
    return Question(
        text=texts[0] if fault else texts[1] if doubt else texts[2],
        read=_wish(notes, fault),
        usual=None if fault or doubt else "",
        help=REVIEW_HELP + (KEEP_HELP if doubt else ""),
        opens=True,
        before=f"{table}\n{fault or doubt or good}",
        plan=notes,
    )


def _row(notes: Notes, k: int) -> tuple[object, ...]:
    """A wall's line: the corner is the one at its right."""
    wall = notes.walls[k]
    corner = 1 if notes.closed and k == len(notes.walls) - 1 else k + 2
    angle = "free end" if wall.corner is None else _said_corner(wall.corner) or "about 90"
    return k + 1, notes.wall_name(k), _said_length(wall), corner, angle


def _verdict(notes: Notes) -> tuple[str, str, str]:
    """What keeps the walls from making a room; else what makes them doubtful; else how good they are."""
    try:
        survey = room_of(notes)[1]
    except RoomFileError as error:
        return str(error).removeprefix("[[wall]]: "), "", ""
    said = sentences(survey, [w.name for w in notes.walls])
    if survey.suspects:
        return "", "The room does not close. " + "\n".join(said[: len(survey.suspects) + 1]), ""
    return "", "", closing_words(notes) if notes.closed else f"An open run of {len(notes.walls)} walls."


def _wish(notes: Notes, fault: str) -> Callable[[str], Wish]:
    """Reads what is to be corrected."""
    count = len(notes.walls)
    order = re.compile(r"^(?P<do>name|drop|add)?\s*(?P<wall>\d+)?\s*(?P<name>.*)$", re.IGNORECASE)

    def read(text: str) -> Wish:
        if not text or (text.lower() == "keep" and not fault):
            return Wish("done")
        match = order.match(text)
        do = (match["do"] or "change").lower() if match else ""
        if match is None or (match["name"] and do != "name") or (match["wall"] is None and do != "add"):
            raise ValueError(f"'{text}': write a wall's number, or one of: name 3 bay, drop 3, add, add 3")
        wall = int(match["wall"] or count + 1)
        if not 1 <= wall <= count + (do == "add"):
            raise ValueError(f"there is no wall {wall}; they are 1 to {count}")
        if do == "drop" and count == 1:
            raise ValueError("it is the only wall; say it anew")
        return Wish(do, wall - 1, _new_name(match["name"], notes, wall - 1) if do == "name" else "")

    return read


def _new_name(text: str, notes: Notes, wall: int) -> str:
    name = line_of_text()(text)
    if name in (notes.wall_name(k) for k in range(len(notes.walls)) if k != wall):
        raise ValueError(f"another wall is called '{name}'")
    return name
