"""Walls from one line: "4620, 3580" is a rectangle; more lengths are walls, clockwise, with corners if not square.

In a list without any corners the external ones are found, if the walls close in one way only.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from trimwright.errors import RoomFileError
from trimwright.measuring.notes import CornerNote, Notes, WallNote, room_of
from trimwright.measuring.spoken import said_wall
from trimwright.survey.closing import closing_gap
from trimwright.survey.report import sentences

__all__ = ["listed_walls"]

MOST_TRIED = 16
"""External corners are looked for in rooms of at most so many walls."""

NEARLY = 0.01
"""A list closes if its gap is no more than this part of its length."""

EXTERNAL = CornerNote(True, 90.0)


def listed_walls(text: str, unit: str, closed: bool) -> tuple[WallNote, ...]:
    """The walls of a list. Raises RoomFileError with the item at fault, or if they make no room."""
    walls = tuple(_items(text, unit))
    if closed and len(walls) == 2:
        walls = walls + walls
    if not closed:
        walls = (*walls[:-1], replace(walls[-1], corner=None))
    elif all(wall.corner == CornerNote() for wall in walls) and not _closes(walls):
        walls = _with_external_corners(walls)
    _, survey = room_of(Notes(walls=walls, closed=closed, ceiling=2400))
    if survey.suspects or (survey.gap and len(walls) > 3 and not _closes(walls)):
        said = " ".join(sentences(survey)[: len(survey.suspects) + 1])
        raise RoomFileError(f"--walls: the room does not close. {said}")
    return walls


def _items(text: str, unit: str) -> Iterator[WallNote]:
    read = said_wall(unit)
    for number, item in enumerate(text.split(","), 1):
        try:
            said = read(item)
        except ValueError as error:
            raise RoomFileError(f"--walls, wall {number}: {error}") from None
        yield said.note(said.corner or CornerNote())


def _closes(walls: Sequence[WallNote]) -> bool:
    notes = Notes(walls=tuple(walls))
    return closing_gap(notes.lengths, notes.angles).size <= NEARLY * sum(notes.lengths)


def _with_external_corners(walls: tuple[WallNote, ...]) -> tuple[WallNote, ...]:
    """Square corners turned outwards where that closes the room: four more internal than external ones.

    Square corners of n walls add up to (n - 2) * 180 only if (n - 4) / 2 of them are external.
    """
    count = len(walls)
    if count % 2 or not 4 < count <= MOST_TRIED:
        return walls
    tries = (
        tuple(replace(wall, corner=EXTERNAL) if k in out else wall for k, wall in enumerate(walls))
        for out in combinations(range(count), (count - 4) // 2)
    )
    found = [tried for tried in tries if _closes(tried) and _is_a_room(tried)]
    if len(found) > 1:
        ways = " or ".join(", ".join(str(k + 1) for k, w in enumerate(way) if w.corner == EXTERNAL) for way in found)
        raise RoomFileError(
            f"--walls: these walls close in {len(found)} ways; say which corners jut into the room, those of walls"
            f" {ways}: write ext behind their lengths"
        )
    return found[0] if found else walls


def _is_a_room(walls: tuple[WallNote, ...]) -> bool:
    try:
        room_of(Notes(walls=walls, ceiling=2400))
    except RoomFileError:
        return False
    return True
