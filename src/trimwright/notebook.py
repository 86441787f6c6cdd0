"""Rooms, profiles, pieces and whole jobs show themselves as drawings in a notebook.

`%load_ext trimwright` in a cell, once; from then on a `Project`, a `Room`, a `Section`, a `Profile`, a `Piece`, a
`SetOut` or a `Job` at the end of a cell is its drawing. Without a notebook `svg_of` gives the same as text. What draws
stands above what is drawn, so that the values themselves know nothing of it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import singledispatch
from typing import Any

from trimwright.drawing.ceiling_plan import ceiling_plan
from trimwright.drawing.piece_sheet import piece_sheet
from trimwright.drawing.profile_sheet import profile_sheet
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.svg import svg_text
from trimwright.pack.job import Job
from trimwright.profile.file import Profile
from trimwright.profile.section import Section
from trimwright.project.project import Project
from trimwright.room import Room
from trimwright.setout.piece import Piece, SetOut

__all__ = ["show_drawings", "show_text", "svg_of"]

LONG = 150.0
"""Longer side of a plan without its dimensions, paper mm."""

AROUND = 32.0
"""Paper round it for those."""


@singledispatch
def sheet_of(value: object) -> Sheet:
    """The sheet that shows a value. Raises TypeError for one that has no drawing."""
    raise TypeError(f"there is no drawing of a {type(value).__name__}")


@sheet_of.register
def _(value: SetOut) -> Sheet:
    xs, ys = zip(*value.room.outline(1.0), strict=True)
    across, up = max(xs) - min(xs), max(ys) - min(ys)
    scale = LONG / max(across, up)
    view = View(drawing=ceiling_plan(value, scale), scale=scale, model=(min(xs), min(ys)), paper=(AROUND, AROUND))
    width, height = across * scale + 2 * AROUND, up * scale + 2 * AROUND
    return Sheet(name="plan", title=f"{value.room.name}, plan", width=width, height=height, views=(view,))


@sheet_of.register
def _(value: Room) -> Sheet:
    return sheet_of(SetOut(room=value, trims=(), pieces=(), order=()))


@sheet_of.register
def _(value: Job) -> Sheet:
    return sheet_of(value.set_out)


@sheet_of.register
def _(value: Project) -> Sheet:
    return sheet_of(value.room)


@sheet_of.register
def _(value: Piece) -> Sheet:
    return piece_sheet(value)


@sheet_of.register
def _(value: Section) -> Sheet:
    return profile_sheet(value)


@sheet_of.register
def _(value: Profile) -> Sheet:
    return profile_sheet(value.section())


def svg_of(value: object) -> str:
    """The drawing of a room, a job, a piece or a profile as SVG text. Raises TypeError for anything else."""
    return svg_text(sheet_of(value))


def show_drawings(shell: Any) -> None:
    """From now on an IPython shell shows these values as drawings."""
    formatter = shell.display_formatter.formatters["image/svg+xml"]
    for kind in _drawn():
        formatter.for_type(kind, svg_of)


def show_text(shell: Any) -> None:
    """They are shown as text again."""
    formatter = shell.display_formatter.formatters["image/svg+xml"]
    for kind in _drawn():
        formatter.pop(kind, None)


def _drawn() -> list[type]:
    kinds: dict[type, Callable[..., Sheet]] = dict(sheet_of.registry)
    return [kind for kind in kinds if kind is not object]
