"""The colours that the `[finish]` table of a room file comes to."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from trimwright.data import table
from trimwright.errors import RoomFileError
from trimwright.project.finish_tables import HEX, FinishTable
from trimwright.spelling import nearest

__all__ = ["AS_USUAL", "Finish", "finish_of", "trim_colours"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """Colours (#rrggbb) of what the file speaks of: by `part` (wall, floor, ...), and of single walls by index."""

    part: Mapping[str, str] = field(default_factory=dict)
    wall: Mapping[int, str] = field(default_factory=dict)


AS_USUAL = Finish()
"""Nothing said: every part has its usual colour."""

PARTS = {"walls": "wall", "ceiling": "ceiling", "floor": "floor", "casings": "casing", "doors": "leaf"}
"""Entries and the parts of the room that they colour."""


def finish_of(given: FinishTable, walls: Iterable[str]) -> Finish:
    """The colours of the room. Raises RoomFileError for a word that is no colour and for a wall that is not there."""
    index = {name: k for k, name in enumerate(walls)}
    said = {entry: getattr(given, entry) for entry in PARTS}
    for name in given.wall:
        if name not in index:
            raise RoomFileError(f"[finish], wall: there is no wall '{name}'{nearest(name, list(index))}")
    return Finish(
        part={PARTS[entry]: _colour(look, given, entry) for entry, look in said.items() if look is not None},
        wall={index[name]: _colour(look, given, f"wall, {name}") for name, look in given.wall.items()},
    )


def trim_colours(given: FinishTable, trims: Iterable[str]) -> dict[str, str]:
    """The colours of painted trims by name. Raises RoomFileError as above, and for a trim that is not there."""
    known = list(trims)
    for name in given.trim:
        if name not in known:
            raise RoomFileError(f"[finish], trim: there is no trim '{name}'{nearest(name, known)}")
    return {name: _colour(look, given, f"trim, {name}") for name, look in given.trim.items()}


def _colour(look: str, given: FinishTable, entry: str) -> str:
    if re.match(HEX, look):
        return look.lower()
    known = {name: row["colour"] for name, row in table("finishes").items()} | given.paints
    if look not in known:
        raise RoomFileError(
            f"[finish], {entry}: '{look}' is no colour{nearest(look, list(known))};"
            " write one as #rrggbb, or name a paint under [finish.paints]"
        )
    return str(known[look]).lower()
