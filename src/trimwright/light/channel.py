"""The channel as one run: legs between corners and pipes, in the order the strip passes them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from trimwright.errors import RoomFileError
from trimwright.light.aperture import Aperture, aperture
from trimwright.setout.piece import Piece, SetOut, Trim

__all__ = ["ACROSS", "Channel", "Leg", "channel_of"]

ACROSS = 150.0
"""A gap of at most this between two pieces on one wall is crossed by a wire, mm: a pipe, not the end of the run."""

MEETS = 5.0
"""Pieces whose strip beds end within this of each other meet, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """A straight part of the run on one wall: pieces that meet end to end, left to right.

    `gap` is what a wire must cross to the next leg along the wall, 0 where they meet in a corner; `corner` is the
    room's corner there, counted from 1 as on the drawings, or None. `seam`: it goes on along the same curved wall.
    """

    pieces: tuple[Piece, ...]
    start: float
    end: float
    out: float
    gap: float = 0.0
    corner: int | None = None
    seam: bool = False

    @property
    def length(self) -> float:
        """Length of the strip's bed."""
        return (self.end - self.start) * self.pieces[0].stretch * self.pieces[0].frame.scale(self.out)

    @property
    def wall(self) -> int:
        """Index of its wall."""
        return self.pieces[0].wall

    def plan(self, along: float) -> tuple[float, float]:
        """Plan point of the bed at a distance from its left end."""
        part = along / self.length if self.length else 0.0
        return self.pieces[0].frame.plan(self.start + part * (self.end - self.start), self.out)


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """A channel trim, where it opens, and its runs of legs; a `closed` run comes back to where it began."""

    trim: Trim
    mouth: Aperture
    runs: tuple[tuple[Leg, ...], ...]
    closed: tuple[bool, ...]

    @property
    def length(self) -> float:
        """Length of all beds."""
        return sum(leg.length for run in self.runs for leg in run)


def channel_of(set_out: SetOut, name: str | None = None) -> Channel:
    """The channel of a job: the trim called `name`, or the first of kind channel.

    Raises RoomFileError if there is none, or if its section has no mouth.
    """
    wanted = [t for t in set_out.trims if (t.name == name if name else t.section.kind == "channel")]
    if not wanted or not set_out.of_trim(wanted[0]):
        names = ", ".join(f"'{t.name}'" for t in set_out.trims)
        raise RoomFileError(f"[light], trim: there is no light channel to lay a strip in; the trims are {names}")
    trim = wanted[0]
    mouth = aperture(trim.outline)
    if mouth is None:
        raise RoomFileError(f"[light], trim: the section of '{trim.name}' is solid all round: no light leaves it")
    legs = _legs(set_out, trim, mouth.bed[0])
    runs, closed = _runs(legs, set_out.room.closed)
    return Channel(trim=trim, mouth=mouth, runs=tuple(map(tuple, runs)), closed=tuple(closed))


def _legs(set_out: SetOut, trim: Trim, out: float) -> list[Leg]:
    """Pieces joined where their beds meet on one wall, and each leg told how it goes on to the next."""
    groups: list[list[Piece]] = []
    for piece in (p for p in set_out.of_trim(trim) if not p.is_return):
        last = groups[-1][-1] if groups else None
        if (
            last is not None
            and last.wall == piece.wall
            and last.frame == piece.frame
            and _apart(last, piece, out) < MEETS
        ):
            groups[-1].append(piece)
        else:
            groups.append([piece])
    following = [*groups[1:], groups[0]]
    return [_leg(group, after[0], out, set_out) for group, after in zip(groups, following, strict=True)]


def _leg(group: Sequence[Piece], after: Piece, out: float, set_out: SetOut) -> Leg:
    last = group[-1]
    away = _apart(last, after, out)
    right = set_out.room.corner_right(last.wall)
    turns = away < MEETS and last.wall != after.wall and right is not None
    return Leg(
        pieces=tuple(group),
        start=group[0].left.at(out),
        end=last.right.at(out),
        out=out,
        gap=0.0 if away < MEETS else away,
        corner=right.right + 1 if turns and right else None,
        seam=away < MEETS and last.wall == after.wall and last is not after,
    )


def _apart(one: Piece, two: Piece, out: float) -> float:
    return math.dist(one.frame.plan(one.right.at(out), out), two.frame.plan(two.left.at(out), out))


def _runs(legs: list[Leg], round_room: bool) -> tuple[list[list[Leg]], list[bool]]:
    """Legs that a strip can pass without a break longer than `ACROSS`; a run that goes all round is closed."""
    breaks = [k for k, leg in enumerate(legs) if leg.gap > ACROSS or (k == len(legs) - 1 and not round_room)]
    if not breaks:
        return [legs], [True]
    first = (breaks[-1] + 1) % len(legs)
    order = [(first + k) % len(legs) for k in range(len(legs))]
    ends = [k for k, leg in enumerate(order) if leg in breaks]
    return [[legs[k] for k in order[a + 1 : b + 1]] for a, b in pairwise([-1, *ends])], [False] * len(ends)
