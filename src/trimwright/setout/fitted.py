"""Runs cut so that their pieces can be put up: where a round of copes begins decides which piece closes it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from trimwright.room import AnyFrame, Room
from trimwright.setout.piece import Piece, Trim
from trimwright.setout.pieces import Cut, Rules, cut_trim
from trimwright.setout.putting_up.order import fitting_order
from trimwright.setout.putting_up.standing import Standing, standing
from trimwright.setout.runs import Run, runs_of
from trimwright.tolerance import TOUCH
from trimwright.trim import Joint

__all__ = ["Joints", "cut_to_fit", "whole_order"]

TRIES = 12
"""Beginnings of a round that are tried."""


Joints = dict[AnyFrame, list[float]]
"""By face, stations of joints along it."""


def cut_to_fit(trim: Trim, room: Room, rules: Rules, behind: Joints) -> tuple[Cut, Joints]:
    """The pieces of a trim, its runs begun where every piece finds a way in; as usual if no beginning gives one.

    `behind` are the joints of trims already cut; the others are these and those of this trim.
    """
    first: tuple[Cut, Joints] | None = None
    notes: list[str] = []
    for runs in _beginnings(trim, runs_of(trim, room, rules.clearance, notes)):
        joints = {face: list(stations) for face, stations in behind.items()}
        cut = cut_trim(trim, runs, room, rules, joints)
        first = first or (cut, joints)
        if trim.joints.internal is not Joint.COPE or not fitting_order(_in_order(cut), (), room)[1]:
            first = (cut, joints)
            break
    assert first is not None
    cut, joints = first
    return replace(cut, notes=(*notes, *cut.notes)), joints


def _beginnings(trim: Trim, runs: Sequence[Run]) -> Iterator[tuple[Run, ...]]:
    """The runs as they are, then one after the other begun elsewhere, at its longest stretches first."""
    yield tuple(runs)
    if trim.joints.internal is not Joint.COPE:
        return
    for r, run in enumerate(runs):
        others = [k for k in range(len(run.stretches)) if k != run.start]
        others.sort(key=lambda k: run.stretches[k].low - run.stretches[k].high)
        for k in others[:TRIES]:
            yield (*runs[:r], replace(run, start=k), *runs[r + 1 :])


def _in_order(cut: Cut) -> list[Piece]:
    by_id = {piece.id: piece for piece in cut.pieces}
    return [by_id[name] for name in cut.order]


def whole_order(cuts: Mapping[str, Cut], trims: Sequence[Trim], room: Room) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Ids of all pieces in the order of fitting, and those for which there is no way in.

    Battens first, then channels, then from the highest trim down, since dust and glue fall; but nothing before what it
    would cover.
    """
    up: list[Standing] = []
    order: list[str] = []
    barred: list[str] = []
    for trim in _layers(trims):
        cut = cuts[trim.name]
        own, without = fitting_order(_in_order(cut), up, room)
        order += own
        barred += without
        up += (standing(piece, room) for piece in cut.pieces)
    return tuple(order), tuple(barred)


def _layers(trims: Sequence[Trim]) -> Iterator[Trim]:
    waiting = sorted(trims, key=lambda t: ({"batten": 0, "channel": 1}.get(t.section.kind, 2), -t.edges.top))
    while waiting:
        free = (t for t in waiting if not any(_covers(t, other) for other in waiting))
        trim = next(free, waiting[0])
        waiting.remove(trim)
        yield trim


def _covers(trim: Trim, other: Trim) -> bool:
    """True if a trim lies before another on the same wall, at the same heights."""
    (back, bottom, _, top), (_, low, front, high) = trim.edges, other.edges
    same_wall = bool(set(trim.walls) & set(other.walls))
    return same_wall and front < back + TOUCH and low < top - TOUCH and bottom < high - TOUCH
