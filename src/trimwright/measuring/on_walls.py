"""Openings and pipes, each asked for wall by wall, kept within its wall and under the ceiling at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from trimwright.errors import RoomFileError
from trimwright.measuring.conversation import Question, Script, ask
from trimwright.measuring.notes import Notes, OpeningNote, PipeNote, Written, room_of
from trimwright.measuring.spoken import choice, line_of_text, written_length
from trimwright.units import length

__all__ = ["openings", "pipes"]

OPENING_KINDS = ("door", "window", "opening")


def openings(notes: Notes, unit: str) -> Script[Notes]:
    """Doors, windows and plain openings, until there are no more."""
    while (
        wall := (yield from ask(_which_wall(notes, "door, window or opening in", bool(notes.openings))))
    ) is not None:
        opening = yield from _opening(notes, wall, unit)
        notes = replace(notes, openings=(*notes.openings, opening))
    return notes


def pipes(notes: Notes, unit: str) -> Script[Notes]:
    """Pipes in front of walls, until there are no more."""
    while (wall := (yield from ask(_which_wall(notes, "pipe on", bool(notes.pipes))))) is not None:
        pipe = yield from _pipe(notes, wall, unit)
        notes = replace(notes, pipes=(*notes.pipes, pipe))
    return notes


def _which_wall(notes: Notes, what: str, more: bool) -> Question[int | None]:
    names = [notes.wall_name(k) for k in range(len(notes.walls))]
    pick = choice(names, "a wall: its number or one")
    return Question(
        text=f"{'Another' if more else 'A'} {what} which wall?",
        read=lambda text: names.index(pick(text)) if text else None,
        usual="",
        shown="no more" if more else "none",
        help="The number of the wall, or its name. Enter: no more of these.",
        opens=True,
        plan=notes,
    )


def _opening(notes: Notes, wall: int, unit: str) -> Script[OpeningNote]:
    """One opening; the casing is offered as wide as the last one's."""
    room = notes.lengths[wall]
    last = notes.openings[-1] if notes.openings else None
    kind = yield from ask(Question(text="  door, window or opening", read=choice(OPENING_KINDS), usual="door"))
    left = yield from ask(
        Question(
            text="  from the wall's left corner to the clear opening",
            read=written_length(unit, most=room),
            help="To the near edge of the opening itself, not of its casing.",
        )
    )
    width = yield from ask(
        Question(text="  width of the clear opening", read=written_length(unit, least=1, most=room - length(left)))
    )
    sill: Written = 0
    if kind == "window":
        sill = yield from ask(Question(text="  floor to its lower edge", read=written_length(unit)))

    def made(head: Written, casing: Written = 0) -> OpeningNote:
        return OpeningNote(wall=wall, kind=kind, from_left=left, width=width, sill=sill, head=head, architrave=casing)

    head = yield from ask(
        Question(
            text="  floor to its upper edge",
            read=_fits(written_length(unit, least=1), lambda head: replace(notes, openings=(made(head),))),
        )
    )
    casing = yield from ask(
        Question(
            text="  width of the casing round it",
            read=written_length(unit, most=500),
            usual=str(last.architrave) if last else "0",
            help="What is nailed round the opening: architrave. 0 if there is none.",
        )
    )
    return made(head, casing)


def _pipe(notes: Notes, wall: int, unit: str) -> Script[PipeNote]:
    """One pipe, upright or lying along the wall."""
    usual = f"pipe {len(notes.pipes) + 1}"
    name = yield from ask(Question(text="  name of the pipe", read=line_of_text(), usual=usual))
    lies = yield from ask(
        Question(text="  upright, or lying along the wall", read=choice(("upright", "lying")), usual="upright")
    )
    out = yield from ask(
        Question(text="  wall to the pipe's centre", read=written_length(unit, least=1, most=2000), usual=None)
    )
    diameter = yield from ask(
        Question(
            text="  outer diameter",
            read=written_length(unit, least=1, most=min(1000, 2 * length(out))),
            help="With its insulation if that stays on.",
        )
    )

    def made(at: Written) -> PipeNote:
        upright = lies == "upright"
        return PipeNote(
            wall=wall,
            name=name,
            out=out,
            diameter=diameter,
            from_left=at if upright else None,
            height=None if upright else at,
        )

    where = "the wall's left corner" if lies == "upright" else "the floor"
    at = yield from ask(
        Question(
            text=f"  from {where} to its centre",
            read=_fits(written_length(unit), lambda at: replace(notes, pipes=(made(at),))),
        )
    )
    pipe = made(at)
    if lies == "upright":
        pipe = replace(pipe, to=(yield from ask(_upper_end(notes, pipe, unit))))
    return replace(pipe, temperature=(yield from ask(_temperature())))


def _upper_end(notes: Notes, pipe: PipeNote, unit: str) -> Question[Written | None]:
    read = _fits(written_length(unit, least=1), lambda to: replace(notes, pipes=(replace(pipe, to=to),)))
    return Question(
        text="  floor to its upper end",
        read=lambda text: read(text) if text else None,
        usual="",
        shown="up to the ceiling",
    )


def _temperature() -> Question[float | None]:
    def read(text: str) -> float | None:
        if not text:
            return None
        try:
            value = float(text.removesuffix("C").removesuffix("°"))
        except ValueError:
            value = float("nan")
        if not -50 <= value <= 400:
            raise ValueError("degrees Celsius, -50 to 400, such as 70")
        return value

    return Question(
        text="  how hot it gets, °C",
        read=read,
        usual="",
        shown="not known",
        help="For a heating pipe: foam and some glues must keep away from it.",
    )


def _fits(read: Callable[[str], Written], made: Callable[[Written], Notes]) -> Callable[[str], Written]:
    """The same reader, which also refuses what would not fit in the room."""

    def checked(text: str) -> Written:
        value = read(text)
        try:
            room_of(made(value))
        except RoomFileError as error:
            raise ValueError(str(error).split(": ", 1)[-1]) from None
        return value

    return checked
