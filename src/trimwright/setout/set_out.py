"""The whole setting out: trims placed, runs found, pieces cut, order of fitting."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from trimwright.errors import DoesNotFit, RoomFileError
from trimwright.project.project import Project, check_survey
from trimwright.room import Room
from trimwright.setout.cutouts.breaks import joint_helps
from trimwright.setout.fitted import Joints, cut_to_fit, whole_order
from trimwright.setout.footprint import check_footprints
from trimwright.setout.limits import check_count, check_expected
from trimwright.setout.piece import Piece, SetOut, Trim
from trimwright.setout.pieces import Cut, Rules
from trimwright.setout.placement import place
from trimwright.setout.putting_up.standing import pipes_ahead, standing
from trimwright.setout.return_gaps import return_notes

__all__ = ["Choice", "set_out"]

Choice = Callable[[Trim, Cut], Mapping[str, tuple[float, ...]]]
"""Other stations for the joints along walls of a trim as it is cut, by key of the stretch; none if they may stay."""


def set_out(project: Project, choice: Choice | None = None) -> SetOut:
    """Every piece of every trim of the project.

    One who plans the cutting may have a `choice`: each trim is then cut again with the joints chosen, before the next
    one, whose joints keep clear of them. Those that do not keep the rules are not taken.

    Raises RoomFileError if the readings of the room contradict each other, DoesNotFit or RoomFileError where the
    trims cannot be fitted as asked; the message names the file.
    """
    check_survey(project)
    try:
        return _set_out(project, choice)
    except (DoesNotFit, RoomFileError) as error:
        raise type(error)(f"{project.path}: {error}") from None


def _set_out(project: Project, choice: Choice | None) -> SetOut:
    room = project.room
    wanted = project.clearance
    rules = Rules(
        clearance=wanted.pipe,
        fitting=wanted.fitting,
        detector=wanted.detector,
        end_trim=project.saw.end_trim,
    )
    trims = place(project.trims, room.ceiling)
    check_expected(trims, room)
    behind: Joints = {}
    cuts: list[Cut] = []
    for trim in trims:
        cut, joints = cut_to_fit(trim, room, rules, behind)
        if chosen := choice(trim, cut) if choice else None:
            cut, joints = cut_to_fit(trim, room, replace(rules, joints=chosen), behind)
        cuts.append(cut)
        behind = joints
    pieces = tuple(p for cut in cuts for p in cut.pieces)
    check_count(pieces)
    check_footprints(pieces, room)
    order, barred = whole_order({trim.name: cut for trim, cut in zip(trims, cuts, strict=True)}, trims, room)
    without_way = _barred_words([piece for piece in pieces if piece.id in barred], room, rules.clearance)
    return SetOut(
        room=room,
        trims=trims,
        pieces=pieces,
        order=order,
        long={trim.name: cut.long for trim, cut in zip(trims, cuts, strict=True) if cut.long},
        notes=tuple(dict.fromkeys((*_notes(project, trims, cuts), *return_notes(pieces, room), *without_way))),
    )


def _notes(project: Project, trims: tuple[Trim, ...], cuts: list[Cut]) -> list[str]:
    """What the fitter should be told, in the order it came up."""
    notes = [*project.notes, *(note for cut in cuts for note in cut.notes)]
    notes += [f"{t.name}: no wall has room for it" for t, cut in zip(trims, cuts, strict=True) if not cut.pieces]
    return notes


def _barred_words(barred: Sequence[Piece], room: Room, clearance: float) -> Iterator[str]:
    """One sentence for all pieces without a way in, if there are any."""
    if barred:
        verb, it = ("finds", "it is") if len(barred) == 1 else ("find", "they are")
        ahead = [(piece, pipe) for piece in barred for pipe in pipes_ahead(standing(piece, room), room)]
        helping = [pipe.name for piece, pipe in ahead if joint_helps(piece, pipe, room, clearance)]
        pipes = " or ".join(dict.fromkeys(helping))
        yield (
            f"{', '.join(piece.id for piece in barred)} {verb} no way in past walls and what is up before: leave a"
            f" neighbour loose until {it} in, or divide the length"
            + (f', as notch = "joint" on pipe {pipes} does behind it' if pipes else "")
        )
