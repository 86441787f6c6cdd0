"""Which files a room is made from, and when they were last written."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from trimwright.toml_file import Unreadable, tables

__all__ = ["Stamp", "folders_of", "stamp"]

SOURCES = (".toml", ".dxf", ".svg")
"""What a room, a profile or a traced outline is written in."""

Stamp = frozenset[tuple[str, int, int]]


def folders_of(room: Path) -> frozenset[Path]:
    """The folder of a room file, and those of the profiles that it names by a path, as far as it can be read."""
    own = room.absolute().parent
    try:
        trims = tables(room).get("trim", [])
        named = [Path(trim["profile"]) for trim in trims if "/" in str(trim["profile"])]
    except (Unreadable, TypeError, KeyError, AttributeError):
        named = []
    return frozenset({own, *(own / path.parent for path in named)})


def stamp(folders: Iterable[Path]) -> Stamp:
    """Name, time and size of every file in these folders that a room can be made from: another one means news.

    A folder is asked rather than the files themselves, so that what an editor removes and writes anew is found again.
    """
    found = set()
    for folder in folders:
        try:
            with os.scandir(folder) as entries:
                for entry in entries:
                    if entry.name.endswith(SOURCES):
                        status = entry.stat()
                        found.add((entry.path, status.st_mtime_ns, status.st_size))
        except OSError:
            continue  # gone for a moment, or for good: then reading the room says so
    return frozenset(found)
