"""Single answers as people give them: lengths, corners, choices, places. ValueError says what is wrong with one."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from typing import NamedTuple

from trimwright.measuring.notes import CornerNote, WallNote, Written
from trimwright.survey.closing import SQUARE
from trimwright.trim import read_constraint
from trimwright.units import length

__all__ = [
    "IMPERIAL",
    "UNITS",
    "SaidWall",
    "choice",
    "corner",
    "line_of_text",
    "place",
    "said_wall",
    "several",
    "written_length",
    "yes_or_no",
]

UNITS = ("mm", "cm", "m", "in", "ft")
IMPERIAL = ("in", "ft")

LENGTH_FIRST = re.compile(
    r"^(?P<length>.*?)(?:\s+r(?:adius)?\s*(?P<radius>[\d.].*?)(?P<inward>\s+inward)?)?"
    r"(?:\s+(?P<corner>(?:int|ext)[a-z]*\b.*))?$",
    re.IGNORECASE,
)
CORNER = re.compile(r"^(?P<side>int(?:ernal)?|ext(?:ernal)?)?\s*(?P<angle>\d+(?:\.\d+)?)?\s*°?$", re.IGNORECASE)
FEET = re.compile(r"(?:ft|feet|foot|['′’])\s*\d+(?:\s+\d+/\d+|/\d+|\.\d+)?$", re.IGNORECASE)
OFFSET = re.compile(r"^(?P<base>.*\S)\s+(?P<sign>[+-])\s*(?P<offset>\S.*)$")


def written_length(unit: str, least: float = 0.0, most: float = 100_000.0) -> Callable[[str], Written]:
    """Reads a length whose bare numbers are in `unit`; between `least` and `most` mm.

    Whole metric readings come back as numbers of mm where they were given so, others as texts with their unit.
    """

    def read(text: str) -> Written:
        value = _with_unit(text.strip(), unit)
        size = length(value)
        if size < least:
            raise ValueError(f"{size:g} mm is less than {least:.6g} mm{_advice(text, unit)}")
        if size > most:
            raise ValueError(f"{size:g} mm is more than {most:.6g} mm")
        return value

    return read


def _advice(text: str, unit: str) -> str:
    """What a bare number is taken for, when it cannot be what was meant."""
    return f"; a bare number is {unit}: write metres as 4.62 m" if text.strip()[-1:].isdigit() else ""


def _with_unit(text: str, unit: str) -> Written:
    """The text as the room file will have it: a bare last number gets its unit (inches after feet)."""
    if re.search(r"\d,\d", text):
        raise ValueError(f"'{text}': write a point for decimals and no commas, such as 4620.5")
    if not text[-1:].isdigit():
        if text.lower().endswith("mm") and re.fullmatch(r"[\d.]+\s*mm", text, re.IGNORECASE):
            return _number(text[:-2])
        return text
    if FEET.search(text):
        return f"{text}in"
    if unit == "mm" and re.fullmatch(r"\d+(?:\.\d*)?|\.\d+", text):
        return _number(text)
    return text if unit == "mm" else f"{text}{'' if unit == 'in' else ' '}{unit}"


def _number(text: str) -> float:
    value = float(text)
    return int(value) if value == int(value) else value


def corner(text: str) -> CornerNote:
    """A corner: "90.3" and "internal 90.3" alike; "ext", "external 89.6"; 225 in the room is an external of 135."""
    match = CORNER.match(text.strip())
    if not match or not text.strip():
        raise ValueError(f"'{text}' is not a corner; write degrees such as 90.3, or: ext, ext 89.6")
    external = (match["side"] or "").lower().startswith("ext")
    angle = float(match["angle"]) if match["angle"] else None
    if angle is None:
        return CornerNote(external, SQUARE if external else None)
    if not external and 180 < angle <= 330:
        return CornerNote(True, round(360 - angle, 6))
    if not 30 <= angle < 180:
        raise ValueError(f"{angle:g} degrees cannot be fitted; 30 to 180, measured on the side you call it")
    return CornerNote(external, angle)


class SaidWall(NamedTuple):
    """A wall as said on one line; what was not said is None."""

    length: Written
    corner: CornerNote | None = None
    radius: Written | None = None
    inward: bool = False

    def note(self, corner: CornerNote | None, name: str = "") -> WallNote:
        """The wall with its corner, however that came to be known."""
        return WallNote(self.length, corner, name, self.radius, self.inward)


def said_wall(unit: str) -> Callable[[str], SaidWall]:
    """Reads a wall's length and what may follow: "4620", "352 ext 90.5", "2400 r 3100 inward int 90"."""
    read_length = written_length(unit, least=10)

    def read(text: str) -> SaidWall:
        match = LENGTH_FIRST.match(text.strip())
        if match is None:
            return SaidWall(read_length(text))
        size = read_length(match["length"])
        turn = corner(match["corner"]) if match["corner"] else None
        if match["radius"] is None:
            return SaidWall(size, turn)
        radius = written_length(unit, least=math.ceil(length(size) / 2))(match["radius"])
        return SaidWall(size, turn, radius, match["inward"] is not None)

    return read


def line_of_text(most: int = 80) -> Callable[[str], str]:
    """Reads a name; one that is also a word of command is put in quotes."""

    def read(text: str) -> str:
        name = text.strip()
        if len(name) > 1 and name[0] == name[-1] == '"':
            name = name[1:-1].strip()
        if not name or len(name) > most or not name.isprintable():
            raise ValueError(f"a name has 1 to {most} letters")
        return name

    return read


def yes_or_no(text: str) -> bool:
    """Reads y, yes, n, no."""
    if text.strip().lower() in ("y", "yes"):
        return True
    if text.strip().lower() in ("n", "no"):
        return False
    raise ValueError("answer y or n")


def choice(words: Sequence[str], known: str = "") -> Callable[[str], str]:
    """Reads one of the words, its number in the list, or the beginning of just one of them."""

    def read(text: str) -> str:
        said = text.strip().lower()
        if said.isdigit() and 1 <= int(said) <= len(words):
            return words[int(said) - 1]
        if said in (word.lower() for word in words):
            return next(word for word in words if word.lower() == said)
        begun = [word for word in words if said and word.lower().startswith(said)]
        if len(begun) != 1:
            raise ValueError(f"'{text.strip()}' is not {known or 'one'} of: {', '.join(words)}")
        return begun[0]

    return read


def several(read: Callable[[str], Written]) -> Callable[[str], tuple[Written, ...]]:
    """Reads a list with commas; nothing is an empty list."""
    return lambda text: tuple(read(part) for part in text.split(",") if part.strip())


def place(edge: str, unit: str, trims: Sequence[str]) -> Callable[[str], Written]:
    """Reads where an edge of a trim goes: a length, a surface, another trim's edge, each with an offset or without."""

    def read(text: str) -> Written:
        try:
            value: Written = written_length(unit)(text)
        except ValueError:
            value = _referred(text.strip(), unit)
        constraint = read_constraint(edge, value, length)
        if constraint.trim is not None and constraint.trim not in trims:
            raise ValueError(f"there is no trim '{constraint.trim}' yet" + (f"; {_have(trims)}" if trims else ""))
        return value

    return read


def _have(trims: Sequence[str]) -> str:
    return "there is " + ", ".join(f"'{name}'" for name in trims)


def _referred(text: str, unit: str) -> str:
    """The place with its offset's unit written out."""
    match = OFFSET.match(text)
    if not match:
        return text
    offset = _with_unit(match["offset"].strip(), unit)
    return f"{match['base']} {match['sign']} {offset}"
