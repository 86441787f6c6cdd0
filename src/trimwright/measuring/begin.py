"""The command that begins a room: from answers, from a list of walls or from a drawing to a room file."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from trimwright.errors import OutputError, RoomFileError
from trimwright.measuring.at_terminal import hold, line, yes
from trimwright.measuring.from_drawing import asked_of_drawing, from_drawing
from trimwright.measuring.interview import Given, interview
from trimwright.measuring.notes import Notes, Written
from trimwright.measuring.saving import save, save_over
from trimwright.measuring.spoken import IMPERIAL, written_length
from trimwright.measuring.wall_list import listed_walls

if TYPE_CHECKING:
    from trimwright.measuring.outline import Drawing

__all__ = ["Wanted", "begin", "usual_path"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the command line said."""

    path: Path | None = None
    name: str | None = None
    unit: str | None = None
    ceiling: str | None = None
    walls: str | None = None
    run: bool = False
    plan: Path | None = None
    layer: str | None = None
    outline: int | None = None
    replace: bool = False
    date: str


def begin(wanted: Wanted) -> Path:
    """Write a room file and give its path. With walls and a ceiling given nothing is asked.

    Raises RoomFileError for what cannot be a room, OutputError where the file cannot be written.
    """
    if wanted.walls is not None and wanted.plan is not None:
        raise RoomFileError("give the walls by --walls or by --plan, not both")
    notes = Notes(
        name=wanted.name or "Room",
        date=wanted.date,
        closed=not wanted.run,
        inches=wanted.unit in IMPERIAL,
        ceiling=_ceiling(wanted),
        walls=listed_walls(wanted.walls, wanted.unit or "mm", not wanted.run) if wanted.walls is not None else (),
    )
    drawing = _drawing(wanted)
    silent = bool(notes.ceiling) and (bool(notes.walls) or drawing is not None)
    path = wanted.path
    if path is not None and path.exists() and not wanted.replace:
        _allowed_over(path, silent)
    if silent:
        if drawing is not None:
            notes = from_drawing(notes, drawing, wanted.unit, wanted.outline)
        place = path or usual_path(notes)
        return save_over(notes, place) if wanted.replace else save(notes, place)
    drawn = None
    if drawing is not None:
        drawn = partial(asked_of_drawing, drawing=drawing, unit=wanted.unit, outline=wanted.outline)
    given = Given(notes=notes, unit=wanted.unit, named=wanted.name is not None, drawn=drawn)
    notes = hold(lambda: interview(given))
    return save_over(notes, path) if path is not None else _asked_where(notes)


def _allowed_over(path: Path, silent: bool) -> None:
    """Go on only if a person says that the file may be written over."""
    if silent or not yes(f"{path} is there already. Write over it at the end?"):
        raise OutputError(f"{path}: is there already; choose another name, or give --replace")


def _drawing(wanted: Wanted) -> Drawing | None:
    if wanted.plan is None:
        return None
    from trimwright.measuring.plan_dxf import read_plan

    return read_plan(wanted.plan, wanted.layer)


def _ceiling(wanted: Wanted) -> Written:
    if wanted.ceiling is None:
        return 0
    try:
        return written_length(wanted.unit or "mm", least=500, most=20_000)(wanted.ceiling)
    except ValueError as error:
        raise RoomFileError(f"--ceiling: {error}") from None


def usual_path(notes: Notes) -> Path:
    """A file named for the room, in this folder."""
    return Path(re.sub(r"[^a-z0-9]+", "-", notes.name.lower()).strip("-") or "room").with_suffix(".toml")


def _asked_where(notes: Notes) -> Path:
    """Ask for the file's name until it can be written."""
    while True:
        usual = usual_path(notes)
        path = Path(line(f"\nWrite to [{usual}]: ").strip() or usual)
        path = path if path.suffix else path.with_suffix(".toml")
        if path.exists() and not yes(f"{path} is there already. Write over it?"):
            continue
        try:
            return save_over(notes, path)
        except OutputError as error:
            print(f"  {error}")
