"""What is noted while a room is measured up, and the tables of the room file that it makes.

Lengths stay as they were given, a number of millimetres or a text with its unit, so that the file shows what was read.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from pydantic import ValidationError

from trimwright.errors import RoomFileError
from trimwright.project.measured import measured_room
from trimwright.project.models import RoomFile
from trimwright.room import Room
from trimwright.survey.adjust import Survey
from trimwright.units import feet_inches, length

__all__ = ["CornerNote", "Notes", "OpeningNote", "PipeNote", "TrimNote", "WallNote", "Written", "room_of"]

Written = float | str
"""A length as the room file has it: mm as a number, or a text with its unit."""


@dataclass(frozen=True, slots=True)
class CornerNote:
    """The corner at a wall's right-hand end, as the angle finder reads it: external on the solid side.

    An internal corner without an angle was not measured and is about square.
    """

    external: bool = False
    angle: float | None = None

    @property
    def in_room(self) -> float | None:
        """Degrees in the room; None if nobody measured it."""
        return 360 - self.angle if self.external and self.angle is not None else self.angle


@dataclass(frozen=True, slots=True)
class WallNote:
    """One wall. No name: "wall" and its number. No corner: the free right end of an open run.

    With a radius it is an arc over its straight length, bowed out of the room or `inward`.
    """

    length: Written
    corner: CornerNote | None = CornerNote()
    name: str = ""
    radius: Written | None = None
    inward: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningNote:
    """A door, window or opening; walls are counted from 0."""

    wall: int
    kind: str
    from_left: Written
    width: Written
    head: Written
    sill: Written = 0
    architrave: Written = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PipeNote:
    """A pipe: upright at `from_left`, or lying along the wall at `height`; `to` is where an upright one ends."""

    wall: int
    name: str
    out: Written
    diameter: Written
    from_left: Written | None = None
    height: Written | None = None
    to: Written | None = None
    temperature: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimNote:
    """A trim: profile, sizes, and where its back and its lower or upper `edge` go. No walls: all of them."""

    name: str
    profile: str
    edge: str
    at: Written
    back: Written = "wall"
    size: tuple[tuple[str, Written], ...] = ()
    walls: tuple[int, ...] = ()
    material: str | None = None
    stock: tuple[Written, ...] = ()


FIRST_TRIM = TrimNote(name="cornice", profile="cove", edge="top", at="ceiling")
"""What is written when no trim was asked for, so that the file builds as it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Notes:
    """Everything noted so far; diagonals are (corner, corner, length), corners counted from 0.

    `inches` has lengths shown in feet and inches as well. `origin` says where walls come from that no tape has checked
    yet.
    """

    name: str = "Room"
    ceiling: Written = 0
    closed: bool = True
    inches: bool = False
    date: str | None = None
    walls: tuple[WallNote, ...] = ()
    diagonals: tuple[tuple[int, int, Written], ...] = ()
    openings: tuple[OpeningNote, ...] = ()
    pipes: tuple[PipeNote, ...] = ()
    trims: tuple[TrimNote, ...] = ()
    origin: str = ""

    def wall_name(self, index: int) -> str:
        """The wall's own name, or its number."""
        return self.walls[index].name or f"wall {index + 1}"

    def shown(self, size: float) -> str:
        """A length of so many mm in words, as the fitter reads it."""
        return feet_inches(size) if self.inches else f"{size:.0f} mm"

    @property
    def lengths(self) -> list[float]:
        """Lengths of the walls in mm."""
        return [length(w.length) for w in self.walls]

    @property
    def angles(self) -> list[float | None]:
        """The corner at the right-hand end of each wall, in the room; None if it was not measured."""
        return [w.corner.in_room if w.corner else None for w in self.walls]

    def tables(self) -> dict[str, Any]:
        """The room file as TOML reads it."""
        tables = {
            "format": 1,
            "room": _said(
                name=self.name,
                ceiling=self.ceiling,
                closed=None if self.closed else False,
                units="in" if self.inches else None,
                date=self.date,
            ),
            "wall": [self._wall(k) for k in range(len(self.walls))],
            "diagonal": [{"corners": [a + 1, b + 1], "length": size} for a, b, size in self.diagonals],
            "opening": [self._opening(o) for o in self.openings],
            "pipe": [self._pipe(p) for p in self.pipes],
            "trim": [self._trim(t) for t in self.trims or (FIRST_TRIM,)],
        }
        return {key: table for key, table in tables.items() if table}

    def _wall(self, index: int) -> dict[str, Any]:
        wall = self.walls[index]
        corner = wall.corner or CornerNote()
        return _said(
            name=self.wall_name(index),
            length=wall.length,
            radius=wall.radius,
            bow="in" if wall.radius is not None and wall.inward else None,
            internal=None if corner.external else corner.angle,
            external=corner.angle if corner.external else None,
        )

    def _opening(self, note: OpeningNote) -> dict[str, Any]:
        return _said(
            wall=self.wall_name(note.wall),
            kind=note.kind,
            from_left=note.from_left,
            width=note.width,
            sill=note.sill or None,
            head=note.head,
            architrave=note.architrave or None,
        )

    def _pipe(self, note: PipeNote) -> dict[str, Any]:
        return _said(
            wall=self.wall_name(note.wall),
            name=note.name,
            direction="horizontal" if note.height is not None else None,
            from_left=note.from_left,
            height=note.height,
            out=note.out,
            diameter=note.diameter,
            to=note.to,
            temperature=note.temperature,
        )

    def _trim(self, note: TrimNote) -> dict[str, Any]:
        return _said(
            name=note.name,
            profile=note.profile,
            size=dict(note.size) or None,
            walls=[self.wall_name(k) for k in note.walls] or None,
            back=note.back,
            **{note.edge: note.at},
            material=note.material,
            stock=[{"length": each} for each in note.stock] or None,
        )


def _said(**entries: Any) -> dict[str, Any]:
    """Only what was said; the rest has its default in the room file."""
    return {key: value for key, value in entries.items() if value is not None}


def room_of(notes: Notes) -> tuple[Room, Survey]:
    """The room that the notes make and how well it is known. Raises RoomFileError, without a file's name."""
    made = _made(replace(notes, trims=()))
    if isinstance(made, str):
        raise RoomFileError(made)
    return made


@lru_cache(maxsize=256)
def _made(notes: Notes) -> tuple[Room, Survey] | str:
    """The same, or what is wrong with it; remembered, because a conversation is replayed at every answer."""
    try:
        return measured_room(RoomFile.model_validate(notes.tables()))
    except ValidationError as error:
        return "; ".join(str(fault["msg"]).removeprefix("Value error, ") for fault in error.errors())
    except RoomFileError as error:
        return str(error)
