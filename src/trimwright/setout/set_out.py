"""The whole setting out: trims placed, runs found, pieces cut, order of fitting."""

from __future__ import annotations

from trimwright.project.project import Project, check_survey
from trimwright.room import AnyFrame
from trimwright.setout.footprint import check_footprints
from trimwright.setout.piece import SetOut, Trim
from trimwright.setout.pieces import Cut, cut_trim
from trimwright.setout.placement import place
from trimwright.setout.runs import runs_of

__all__ = ["set_out"]


def set_out(project: Project) -> SetOut:
    """Every piece of every trim of the project.

    Raises RoomFileError if the readings of the room contradict each other, DoesNotFit or RoomFileError where the
    trims cannot be fitted as asked.
    """
    check_survey(project)
    room, clearance = project.room, project.clearance.pipe
    trims = place(project.trims, room.ceiling)
    joints: dict[AnyFrame, list[float]] = {}
    cuts = [cut_trim(trim, runs_of(trim, room, clearance), room, clearance, joints) for trim in trims]
    pieces = tuple(p for cut in cuts for p in cut.pieces)
    check_footprints(pieces, room)
    return SetOut(
        room=room,
        trims=trims,
        pieces=pieces,
        order=tuple(i for cut in cuts for i in cut.order),
        notes=tuple(dict.fromkeys(_notes(project, trims, cuts))),
    )


def _notes(project: Project, trims: tuple[Trim, ...], cuts: list[Cut]) -> list[str]:
    """What the fitter should be told, in the order it came up."""
    notes = [*project.notes, *(note for cut in cuts for note in cut.notes)]
    notes += [f"{t.name}: no wall has room for it" for t, cut in zip(trims, cuts, strict=True) if not cut.pieces]
    return notes
