"""The rates that quantities follow from: the shipped table, with what a room file gives anew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trimwright.data import table
from trimwright.errors import RoomFileError
from trimwright.project.project import Project
from trimwright.spelling import nearest

__all__ = ["Rates", "kind_rates", "merged_rates", "rates_of"]

Rates = Mapping[str, Any]

PLAIN = "batten"
"""A kind of trim that the rates do not name is taken as this: fixed, neither filled nor painted."""

MOST, MOST_ROWS = 1e6, 100
"""No rate is higher, and no trim takes more beads, rows or coats."""

LEAST = 1e-3
"""Nor is a rate lower that may not be 0."""

MAY_BE_NOTHING = {"from_end", "clear", "part"}
"""Rates that may be 0 though nothing is divided by them; so may all of a kind's."""


def rates_of(project: Project) -> Rates:
    """The rates of a job. Raises RoomFileError for a rate that there is not, or of another sort than the shipped."""
    return merged_rates(project.rates, str(project.path))


def merged_rates(own: Rates, source: str) -> Rates:
    """The shipped rates with those of a file over them; `source` is how messages name it."""
    return _merged(table("rates"), own, [f"{source}: [rates]"])


def kind_rates(rates: Rates, kind: str) -> Rates:
    """What a kind of trim takes of everything."""
    kinds: Mapping[str, Rates] = rates["kind"]
    return kinds.get(kind, kinds[PLAIN])


def _merged(shipped: Rates, own: Rates, place: Sequence[str]) -> Rates:
    merged = dict(shipped)
    for key, value in own.items():
        if key not in shipped:
            raise RoomFileError(f"{', '.join(place)}: there is no rate '{key}'{nearest(key, list(shipped))}")
        where = [*place, key]
        if isinstance(shipped[key], Mapping):
            if not isinstance(value, Mapping):
                raise RoomFileError(f"{', '.join(where)}: give the rates by name, as in {{ pack = 100 }}")
            merged[key] = _merged(shipped[key], value, where)
        else:
            merged[key] = _checked(shipped[key], value, where)
    return merged


def _checked(shipped: object, value: object, where: Sequence[str]) -> object:
    """A rate of the sort that the shipped one is."""
    name = ", ".join(where)
    if isinstance(shipped, bool | str):
        if type(value) is not type(shipped):
            raise RoomFileError(f"{name}: write {'true or false' if isinstance(shipped, bool) else 'a text'}")
        return value
    least = 0 if "kind" in where or where[-1] in MAY_BE_NOTHING else LEAST
    most = MOST_ROWS if "kind" in where else MOST
    if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
        raise RoomFileError(f"{name}: write a number from {least:g} to {most:.0f} (it is {value!r:.40})")
    if "kind" in where and int(value) != value:
        raise RoomFileError(f"{name}: write a whole number of beads or rows (it is {value!r})")
    return int(value) if "kind" in where else value
