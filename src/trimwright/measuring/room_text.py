"""The notes as a room file: commented, so that it can be gone on with in an editor."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Mapping
from typing import Any

from trimwright.measuring.notes import Notes
from trimwright.measuring.toml_text import commented, key_line

__all__ = ["SCHEMA", "room_text"]

SCHEMA = "room.schema.json"
"""A schema of this name beside the room file is named in its first line, where editors look for it."""

SAID = {
    ("room", "ceiling"): "floor to ceiling; or one height for each corner: [2565, 2561, ...]",
    ("room", "closed"): "an open run of walls: the last has no corner at its right",
    ("room", "units"): "lengths are shown in feet and inches too",
    ("room", "date"): "when it was measured",
    ("wall", "radius"): "an arc of this radius over the straight length between its ends",
    ("opening", "from_left"): "left corner of the wall to the clear opening",
    ("opening", "head"): "floor to the top of the clear opening",
    ("opening", "sill"): "floor to its bottom",
    ("opening", "architrave"): "width of the casing round it",
    ("pipe", "from_left"): "left corner of the wall to the pipe's centre",
    ("pipe", "height"): "floor to the pipe's centre",
    ("pipe", "out"): "wall to the pipe's centre",
    ("pipe", "to"): "it ends at this height",
    ("pipe", "temperature"): "degrees Celsius",
    ("trim", "profile"): "trimwright profile lists them; or the path of a profile file",
    ("trim", "back"): 'or a distance out, or another trim\'s edge: "batten.front"',
    ("trim", "top"): 'a height, "ceiling", "ceiling - 20", or another trim\'s edge',
    ("trim", "bottom"): 'a height, "floor", or another trim\'s edge',
}
"""What is said beside an entry, the first time it is written."""

HEADINGS = {
    "wall": (
        "The walls, clockwise: face each from inside, it runs from your left to your right. The corner is the one at",
        "its right-hand end: internal, or external measured on the solid side. Left out: not measured, about 90.",
    ),
    "diagonal": ("Diagonals check the walls. Corner 1 is the left end of the first wall.",),
    "opening": ("Doors, windows and plain openings.",),
    "pipe": ("Pipes in front of the walls, floor to ceiling unless they say otherwise.",),
    "trim": ("The trims. Each hangs by back or front, and by top or bottom.",),
}

EXAMPLES: dict[str, tuple[str, dict[str, Any]]] = {
    "diagonal": (
        "A diagonal checks the walls; corner 1 is the left end of the first wall.",
        {"corners": [1, 3], "length": 5800},
    ),
    "opening": (
        "A door, window or opening.",
        {"wall": "", "kind": "door", "from_left": 300, "width": 838, "head": 2032, "architrave": 70},
    ),
    "pipe": ("A pipe.", {"wall": "", "name": "riser", "from_left": 200, "out": 40, "diameter": 22}),
    "fitting": (
        "A box in the way: sensor, grille, curtain track.",
        {"wall": "", "name": "grille", "from_left": 300, "width": 250, "bottom": 2100, "top": 2250, "out": 12},
    ),
}
"""What can still be said, ready to have its hashes taken off."""


def room_text(notes: Notes, name: str, *, schema: bool = False) -> str:
    """The whole file; `name` is what it will be called, `schema` whether one lies beside it."""
    tables = notes.tables()
    lines = [f"#:schema ./{SCHEMA}"] if schema else []
    lines += [commented("", words) for words in _head(notes, name)]
    lines += ["", "format = 1", "", "[room]", *_entries("room", tables["room"], set())]
    for key in ("wall", "diagonal", "opening", "pipe", "fitting", "trim"):
        if key in tables:
            lines += ["", *(commented("", words) for words in HEADINGS[key]), *_blocks(key, tables[key], notes)]
        elif key in EXAMPLES:
            lines += ["", *_example(key, tables["wall"][0]["name"])]
    return "\n".join(lines) + "\n"


def _head(notes: Notes, name: str) -> Iterator[str]:
    measured = f", {notes.date}" if notes.date else ""
    file = shlex.quote(name)
    yield f"{notes.name}{measured}. To go on: trimwright check {file}, then trimwright build {file}"
    yield 'Lengths are millimetres, or texts with their unit: "4.62 m", "15ft 1 7/8in".'
    if notes.origin:
        yield f"{notes.origin}: no tape has checked these walls. Measure each before anything is bought or cut."
    if not notes.trims:
        yield "No trim was asked for yet: the cornice below is there to begin with."


def _blocks(key: str, tables: list[dict[str, Any]], notes: Notes) -> Iterator[str]:
    said: set[str] = set()
    for number, table in enumerate(tables, 1):
        yield ""
        yield commented(f"[[{key}]]", str(number) if key == "wall" else "")
        checked = key != "wall" or not notes.origin
        yield from _entries(key, table, said, {} if checked else {"length": "not checked; by tape:"})


def _entries(
    key: str, table: Mapping[str, Any], said: set[str], beside: Mapping[str, str] | None = None
) -> Iterator[str]:
    for entry, value in table.items():
        about = "" if entry in said else SAID.get((key, entry), "")
        said.add(entry)
        yield key_line(entry, value, (beside or {}).get(entry, about))


def _example(key: str, wall: str) -> Iterator[str]:
    """A table behind hashes; its wall is the room's first."""
    about, entries = EXAMPLES[key]
    yield commented("", about)
    yield commented("", f"[[{key}]]")
    for entry, value in entries.items():
        yield commented("", key_line(entry, wall if entry == "wall" else value))
