"""Writes the room file whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from trimwright.errors import OutputError
from trimwright.measuring.notes import Notes
from trimwright.measuring.room_text import SCHEMA, room_text

__all__ = ["save", "save_over"]


def save(notes: Notes, path: Path) -> Path:
    """Write a new file. Raises OutputError if there is one already, or if it cannot be written."""
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(_text(notes, path))
    except FileExistsError:
        raise OutputError(f"{path}: is there already; choose another name, or give --replace") from None
    except OSError as error:
        raise OutputError(f"{path}: cannot be written: {error.strerror}") from None
    return path


def save_over(notes: Notes, path: Path) -> Path:
    """Write the file in place of what may be there, in one step. Raises OutputError if it cannot be written."""
    beside = path.with_name(f".{path.name}.part")
    try:
        beside.write_text(_text(notes, path), encoding="utf-8", newline="\n")
        os.replace(beside, path)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise OutputError(f"{path}: cannot be written: {error.strerror}") from None
    return path


def _text(notes: Notes, path: Path) -> str:
    return room_text(notes, path.name, schema=(path.parent / SCHEMA).is_file())
