"""The `[finish]` table of a room file as it may be written: what the room is painted or made of."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from trimwright.data import table

__all__ = ["ABOUT", "HEX", "TABLES", "FinishTable"]

HEX = r"^#[0-9a-fA-F]{6}$"

Name = Annotated[str, Field(min_length=1, max_length=80)]
Look = Annotated[str, Field(min_length=1, max_length=80)]
Colour = Annotated[str, Field(pattern=HEX)]


class FinishTable(BaseModel):
    """`[finish]`: each entry a colour, a paint named under `paints`, or a finish that is known."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=False)

    walls: Look | None = None
    ceiling: Look | None = None
    floor: Look | None = None
    casings: Look | None = None
    doors: Look | None = None
    wall: dict[Name, Look] = {}
    trim: dict[Name, Look] = {}
    paints: dict[Name, Colour] = {}


ABOUT = {
    "FinishTable": {
        "walls": "All walls.",
        "ceiling": "The ceiling.",
        "floor": "The floor.",
        "casings": "Casings of openings, and frames of windows.",
        "doors": "The leaves of doors.",
        "wall": "Walls that differ from the others, by name.",
        "trim": "Trims that are painted, by name.",
        "paints": "Paints by a name of your own, each as #rrggbb.",
    },
}

TABLES = {
    "FinishTable": "Colours: each #rrggbb, a paint named under paints, or one of " + ", ".join(table("finishes")) + "."
}
