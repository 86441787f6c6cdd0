"""The conversation that measures up a room: the room, its walls, what is in them and before them, the trims."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from trimwright.measuring.conversation import Question, Script, ask
from trimwright.measuring.notes import Notes
from trimwright.measuring.on_walls import openings, pipes
from trimwright.measuring.review import reviewed
from trimwright.measuring.round import walls
from trimwright.measuring.spoken import IMPERIAL, UNITS, choice, line_of_text, written_length, yes_or_no
from trimwright.measuring.trims import trims

__all__ = ["Given", "interview"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What the command line said already, and is not asked again. `drawn` asks what a drawing left open."""

    notes: Notes
    unit: str | None = None
    named: bool = False
    drawn: Callable[[Notes], Script[Notes]] | None = None


def interview(given: Given) -> Script[Notes]:
    """All questions in order; what is given is taken as said."""
    notes = given.notes
    if not given.named:
        notes = replace(notes, name=(yield from ask(_name())))
    unit = given.unit or (yield from ask(_unit()))
    notes = replace(notes, inches=unit in IMPERIAL)
    if not notes.ceiling:
        notes = replace(notes, ceiling=(yield from ask(_ceiling(unit))))
    if given.drawn is not None:
        notes = yield from given.drawn(notes)
    if not notes.walls:
        notes = replace(notes, closed=(yield from ask(_closed())))
        notes = yield from walls(notes, unit)
    notes = yield from reviewed(notes, unit)
    notes = yield from openings(notes, unit)
    notes = yield from pipes(notes, unit)
    return (yield from trims(notes, unit))


def _name() -> Question[str]:
    return Question(
        text="Name of the room",
        read=line_of_text(),
        usual="Room",
        opens=True,
        help="Shown on every sheet. A name that is also a word of command goes in quotes.",
    )


def _unit() -> Question[str]:
    return Question(
        text="Unit of your tape: mm, cm, m, in or ft",
        read=choice(UNITS, "a unit: one"),
        usual="mm",
        opens=True,
        help="For numbers without a unit. Any answer may have its own: 4.62 m, 15ft 1 7/8in, 7' 10 1/2\".",
    )


def _ceiling(unit: str) -> Question[float | str]:
    return Question(
        text="Floor to ceiling",
        read=written_length(unit, least=500, most=20_000),
        opens=True,
        help="Where it is lowest, if it is out of level. The file can hold one height for each corner.",
    )


def _closed() -> Question[bool]:
    return Question(
        text="Trim all round the room? y, or n for some of its walls only",
        read=yes_or_no,
        usual="y",
        opens=True,
        help="n: an open run of walls, such as an alcove by itself, with a free end at the left and at the right.",
    )
