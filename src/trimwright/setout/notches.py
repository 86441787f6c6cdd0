"""Slots for pipes: whether a trim clears a pipe, passes it in a slot, or is cut in two by it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from enum import StrEnum

from trimwright.profile.outline import Outline, Point
from trimwright.room import AnyFrame, Pipe, Room
from trimwright.setout.piece import End, Notch, Trim
from trimwright.tolerance import TOUCH, WEB

__all__ = ["Crossing", "crossed", "crossing", "notch_for", "shared_slots"]

TONGUE = 12.0
"""What is left between two slots breaks off if it is narrower than this, mm. Common practice, no source."""

LEVELS = 24
"""Distances out, across a pipe, at which it is looked for material."""


class Crossing(StrEnum):
    """What an upright pipe does to a trim."""

    CLEAR = "clear"
    BACK = "back"
    FRONT = "front"
    SEVERED = "severed"


def crossing(trim: Trim, frame: AnyFrame, pipe_frame: AnyFrame, pipe: Pipe, clearance: float) -> Crossing:
    """How the trim, in `frame`, gets past an upright pipe given in its own wall's frame.

    Slots open to the wall, or to the front where that removes less and the trim can be brought over an end of the pipe:
    one that goes past it above and below would have to be threaded. CLEAR also when the trim passes behind the pipe or
    in front of it. SEVERED, to be joined at the pipe, when no slot leaves a web of `tolerance.WEB`.
    """
    if not pipe.vertical:
        return Crossing.CLEAR
    _, out = frame.locate(pipe_frame.plan(pipe.start[0], pipe.start[1]))
    reach = pipe.radius + clearance
    low, high = out - reach, out + reach
    back, bottom, front, top = trim.edges
    if high <= back + TOUCH or low >= front - TOUCH or not _heights_meet(trim.outline, low, high, pipe, clearance):
        return Crossing.CLEAR
    ended = pipe.start[2] > bottom + TOUCH or pipe.end[2] < top - TOUCH
    depths = {Crossing.BACK: high - back} | ({Crossing.FRONT: front - low} if ended else {})
    choice = min(depths, key=depths.__getitem__)
    return choice if depths[choice] <= front - back - WEB else Crossing.SEVERED


def crossed(trim: Trim, frame: AnyFrame, room: Room, clearance: float) -> list[float]:
    """Stations, on the face a trim lies along, of the pipes that it is slotted for: no joint is made there."""
    places = []
    for pipe in (leg for leg in room.legs if leg.vertical):
        own = room.walls[pipe.wall].frame
        if crossing(trim, frame, own, pipe, clearance) in (Crossing.BACK, Crossing.FRONT):
            places.append(frame.locate(own.plan(*pipe.start[:2]))[0])
    return places


def notch_for(
    trim: Trim, frame: AnyFrame, pipe_frame: AnyFrame, pipe: Pipe, ends: tuple[End, End], clearance: float
) -> Notch | None:
    """The slot that a pipe asks of a piece between its left and its right end; None if it is out of the way."""
    station, out = frame.locate(pipe_frame.plan(pipe.start[0], pipe.start[1]))
    reach = pipe.radius + clearance
    if not _within(ends, station, out, reach):
        return None
    way = crossing(trim, frame, pipe_frame, pipe, clearance)
    if way in (Crossing.CLEAR, Crossing.SEVERED) or not _met(trim, ends, (station, out), reach):
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
    return a.open == b.open and b.sides[0] - a.sides[1] < TONGUE and a.bottom == b.bottom and a.top == b.top


def _joined(a: Notch, b: Notch) -> Notch:
    """Half circles of the larger radius round the outermost pipes, set so deep that the deepest pipe is clear."""
    radius = max(a.radius, b.radius)
    left = min(a.station - a.spread / 2, b.station - b.spread / 2)
    right = max(a.station + a.spread / 2, b.station + b.spread / 2)
    inward = -1 if a.open == "back" else 1
    bottom_out = max((a, b), key=lambda n: n.depth)
    return replace(
        a,
        pipe=f"{a.pipe} and {b.pipe}",
        shared=(*a.pipes, *b.pipes),
        station=(left + right) / 2,
        spread=right - left,
        radius=radius,
        out=bottom_out.out + inward * (radius - bottom_out.radius),
        depth=bottom_out.depth,
    )


def _met(trim: Trim, ends: tuple[End, End], pipe: Point, reach: float) -> bool:
    """True if a pipe at (station, out), with its clearance, touches the piece in plan.

    Near a corner it may lie beside a mitre, beyond where the piece still has material at that distance out.
    """
    back, _, front, _ = trim.edges
    low, high = max(back, pipe[1] - reach), min(front, pipe[1] + reach)
    for k in range(LEVELS + 1):
        out = low + (high - low) * k / LEVELS
        half = math.sqrt(max(0.0, reach * reach - (out - pipe[1]) ** 2))
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
