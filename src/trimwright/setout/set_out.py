"""The whole setting out: trims placed, runs found, pieces cut, order of fitting."""

from __future__ import annotations

from collections.abc import Mapping

from trimwright.project.project import Project, check_survey
from trimwright.room import AnyFrame
from trimwright.setout.footprint import check_footprints
from trimwright.setout.piece import SetOut, Trim
from trimwright.setout.pieces import Cut, Rules, cut_trim
from trimwright.setout.placement import place
from trimwright.setout.runs import runs_of

__all__ = ["set_out"]


def set_out(project: Project, joints: Mapping[tuple[str, str], tuple[float, ...]] | None = None) -> SetOut:
    """Every piece of every trim of the project.

    `joints` are stations of joints along walls by trim and stretch, where one who plans the cutting has chosen them;
    those that do not keep the rules are not taken.

    Raises RoomFileError if the readings of the room contradict each other, DoesNotFit or RoomFileError where the
    trims cannot be fitted as asked.
    """
    check_survey(project)
    room = project.room
    rules = Rules(clearance=project.clearance.pipe, end_trim=project.saw.end_trim, joints=joints or {})
    trims = place(project.trims, room.ceiling)
    behind: dict[AnyFrame, list[float]] = {}
    cuts = [cut_trim(trim, runs_of(trim, room, rules.clearance), room, rules, behind) for trim in trims]
    pieces = tuple(p for cut in cuts for p in cut.pieces)
    check_footprints(pieces, room)
    return SetOut(
        room=room,
        trims=trims,
        pieces=pieces,
        order=tuple(i for cut in cuts for i in cut.order),
        long={trim.name: cut.long for trim, cut in zip(trims, cuts, strict=True) if cut.long},
        notes=tuple(dict.fromkeys(_notes(project, trims, cuts))),
    )


def _notes(project: Project, trims: tuple[Trim, ...], cuts: list[Cut]) -> list[str]:
    """What the fitter should be told, in the order it came up."""
    notes = [*project.notes, *(note for cut in cuts for note in cut.notes)]
    notes += [f"{t.name}: no wall has room for it" for t, cut in zip(trims, cuts, strict=True) if not cut.pieces]
    return notes
