"""Slots for pipes: whether a trim clears a pipe, passes it in a slot, or is cut in two by it."""

from __future__ import annotations

import math
from enum import StrEnum

from trimwright.profile.outline import Outline, Point
from trimwright.room import AnyFrame, Pipe
from trimwright.setout.piece import End, Notch, Trim
from trimwright.tolerance import TOUCH, WEB

__all__ = ["Crossing", "crossing", "notch_for"]


LEVELS = 24
"""Distances out, across a slot, at which it is looked for material."""


class Crossing(StrEnum):
    """What an upright pipe does to a trim."""

    CLEAR = "clear"
    BACK = "back"
    FRONT = "front"
    SEVERED = "severed"


def crossing(trim: Trim, frame: AnyFrame, pipe_frame: AnyFrame, pipe: Pipe, clearance: float) -> Crossing:
    """How the trim, in `frame`, gets past an upright pipe given in its own wall's frame.

    Slots open to the wall, or to the front where that removes less; CLEAR also when the trim passes behind the
    pipe or in front of it. SEVERED when neither slot leaves a web of `tolerance.WEB`.
    """
    if not pipe.vertical:
        return Crossing.CLEAR
    _, out = frame.locate(pipe_frame.plan(pipe.start[0], pipe.start[1]))
    reach = pipe.radius + clearance
    low, high = out - reach, out + reach
    back, _, front, _ = trim.edges
    if high <= back + TOUCH or low >= front - TOUCH or not _heights_meet(trim.outline, low, high, pipe, clearance):
        return Crossing.CLEAR
    from_back, from_front = high - back, front - low
    choice = Crossing.FRONT if from_front < from_back else Crossing.BACK
    return choice if min(from_back, from_front) <= front - back - WEB else Crossing.SEVERED


def notch_for(
    trim: Trim, frame: AnyFrame, pipe_frame: AnyFrame, pipe: Pipe, ends: tuple[End, End], clearance: float
) -> Notch | None:
    """The slot that a pipe asks of a piece between its left and its right end; None if it is out of the way."""
    way = crossing(trim, frame, pipe_frame, pipe, clearance)
    if way in (Crossing.CLEAR, Crossing.SEVERED):
        return None
    station, out = frame.locate(pipe_frame.plan(pipe.start[0], pipe.start[1]))
    reach = pipe.radius + clearance
    if not _met(trim, ends, (station, out), reach, way):
        return None
    back, bottom, front, top = trim.edges
    return Notch(
        pipe=pipe.name,
        station=station,
        out=out,
        radius=reach,
        depth=out + reach - back if way is Crossing.BACK else front - (out - reach),
        open=way.value,
        bottom=max(bottom, pipe.start[2] - clearance),
        top=min(top, pipe.end[2] + clearance),
    )


def _met(trim: Trim, ends: tuple[End, End], pipe: Point, reach: float, way: Crossing) -> bool:
    """True if the slot for a pipe at (station, out) touches the piece in plan.

    Near a corner it may lie beside a mitre, beyond where the piece still has material at that distance out. The slot
    is as wide as the pipe and its clearance from its mouth to the pipe's axis, then narrows with the circle.
    """
    back, _, front, _ = trim.edges
    low, high = max(back, pipe[1] - reach), min(front, pipe[1] + reach)
    for k in range(LEVELS + 1):
        out = low + (high - low) * k / LEVELS
        past = out - pipe[1] if way is Crossing.BACK else pipe[1] - out
        half = math.sqrt(max(0.0, reach * reach - max(0.0, past) ** 2))
        left, right = (end.at(out) for end in ends)
        if left + TOUCH < pipe[0] + half and right - TOUCH > pipe[0] - half:
            return True
    return False


def _heights_meet(outline: Outline, low: float, high: float, pipe: Pipe, clearance: float) -> bool:
    """True if the section has material between the two distances out at a height the pipe reaches."""
    part = _clipped(outline.points(), low, high)
    heights = [h for _, h in part]
    return bool(part) and min(heights) < pipe.end[2] + clearance and max(heights) > pipe.start[2] - clearance


def _clipped(points: list[Point], low: float, high: float) -> list[Point]:
    """The polygon between out = `low` and out = `high` (Sutherland and Hodgman's clipping)."""
    for limit, sign in ((low, 1.0), (high, -1.0)):
        kept: list[Point] = []
        for a, b in zip(points, [*points[1:], *points[:1]], strict=True):
            da, db = sign * (a[0] - limit), sign * (b[0] - limit)
            if da >= 0:
                kept.append(a)
            if da * db < 0:
                t = da / (da - db)
                kept.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
        points = kept
    return points
