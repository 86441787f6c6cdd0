"""What is cut out of pieces for upright pipes: the notch of each, and notches made one where a tongue would break."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from trimwright.profile.outline import Point
from trimwright.room import AnyFrame, Pipe
from trimwright.setout.cutouts.passing import Way, heights_meet, passing
from trimwright.setout.piece import End, Notch, Opens, Piece, Side, Trim
from trimwright.tolerance import TOUCH

__all__ = ["notch_for", "part_at", "shared_slots"]

TONGUE = 12.0
"""What is left between two slots breaks off if it is narrower than this, mm. Common practice, no source."""

LEVELS = 24
"""Distances out, across a pipe, at which it is looked for material."""


def notch_for(
    trim: Trim, frame: AnyFrame, pipe_frame: AnyFrame, pipe: Pipe, ends: tuple[End, End], clearance: float
) -> Notch | None:
    """What a pipe asks to be cut out of a piece between its left and its right end; None if it is out of the way.

    Where the piece meets another on the pipe the notch is half in each: its middle lies at the end, or near it.
    """
    station, out = frame.locate(pipe_frame.plan(pipe.start[0], pipe.start[1]))
    reach = pipe.radius + clearance
    if not _within(ends, station, out, reach):
        return None
    at_joint = any(end.mate is not None and _apart(end, (station, out)) < reach for end in ends)
    way = passing(trim, frame, pipe_frame, pipe, clearance, at_joint)
    if way.way not in (Way.SLOT, Way.JOINT) or not _met(trim, ends, (station, out), pipe, clearance):
        return None
    back, bottom, front, top = trim.edges
    return Notch(
        pipe=pipe.name,
        station=station,
        out=out,
        radius=reach,
        depth=front - (out - reach) if way.opens is Opens.FRONT else out + reach - back,
        opens=way.opens,
        bottom=max(bottom, pipe.start[2] - clearance),
        top=min(top, pipe.end[2] + clearance),
    )


def part_at(piece: Piece, notch: Notch) -> Side | None:
    """The end at which a piece has only its part of a notch, the rest being in its mate; None if it has it whole."""
    for side in Side:
        end = piece.end(side)
        if end.mate is not None and _apart(end, (notch.station, notch.out)) < notch.radius:
            return side
    return None


def _apart(end: End, place: Point) -> float:
    """Distance of a place (station, out) from an end plane."""
    return abs(place[0] - end.at(place[1])) / math.hypot(1.0, end.slope)


def _within(ends: tuple[End, End], station: float, out: float, reach: float) -> bool:
    """False for a pipe that lies beyond either end plane at every distance out that it takes: most do."""
    left, right = ends
    first = min(left.at(out - reach), left.at(out + reach))
    last = max(right.at(out - reach), right.at(out + reach))
    return first - reach < station < last + reach


def shared_slots(notches: Sequence[Notch]) -> tuple[Notch, ...]:
    """The slots of a piece from left to right, those with too thin a tongue between them made one.

    The one slot is as wide and as deep as to hold them all, so each pipe keeps its clearance.
    """
    found: list[Notch] = []
    for notch in sorted(notches, key=lambda n: n.station):
        last = found[-1] if found else None
        if last is not None and _share(last, notch):
            found[-1] = _joined(last, notch)
        else:
            found.append(notch)
    return tuple(found)


def _share(a: Notch, b: Notch) -> bool:
    """True if the tongue between two notches breaks off; a hole shares with a slot by becoming one."""
    same_side = (a.opens is Opens.FRONT) is (b.opens is Opens.FRONT)
    return same_side and b.sides[0] - a.sides[1] < TONGUE and a.bottom == b.bottom and a.top == b.top


def _joined(a: Notch, b: Notch) -> Notch:
    """Half circles of the larger radius round the outermost pipes, set so deep that the deepest pipe is clear."""
    radius = max(a.radius, b.radius)
    left = min(a.station - a.spread / 2, b.station - b.spread / 2)
    right = max(a.station + a.spread / 2, b.station + b.spread / 2)
    inward = 1 if a.opens is Opens.FRONT else -1
    bottom_out = max((a, b), key=lambda n: n.depth)
    return replace(
        a,
        pipe=f"{a.pipe} and {b.pipe}",
        shared=(*a.pipes, *b.pipes),
        opens=a.opens if a.opens is b.opens else Opens.BACK,
        station=(left + right) / 2,
        spread=right - left,
        radius=radius,
        out=bottom_out.out + inward * (radius - bottom_out.radius),
        depth=bottom_out.depth,
    )


def _met(trim: Trim, ends: tuple[End, End], place: Point, pipe: Pipe, clearance: float) -> bool:
    """True if a pipe at a place (station, out), with its clearance, touches the piece.

    Near a corner it may lie beside a mitre, beyond where the piece still has material at that distance out, or behind
    a section that is hollow there.
    """
    reach = pipe.radius + clearance
    back, _, front, _ = trim.edges
    low, high = max(back, place[1] - reach), min(front, place[1] + reach)
    step = (high - low) / LEVELS
    for k in range(LEVELS + 1):
        out = low + k * step
        half = math.sqrt(max(0.0, reach * reach - (out - place[1]) ** 2))
        left, right = (end.at(out) for end in ends)
        beside = left + TOUCH < place[0] + half and right - TOUCH > place[0] - half
        if beside and heights_meet(trim.outline, out - step / 2, out + step / 2, pipe, clearance):
            return True
    return False
