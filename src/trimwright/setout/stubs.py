"""What is left of a trim beside a casing or a gap and is too short for its joints: it is left out there."""

from __future__ import annotations

import math

from trimwright.room import Corner, Opening, Room, Wall
from trimwright.setout import ends
from trimwright.setout.piece import Joint, Trim
from trimwright.setout.stretch import Stretch
from trimwright.tolerance import FINGER, TOUCH

__all__ = ["crosses", "least_length", "left_out_words", "stop_beside", "taken"]


def crosses(trim: Trim, opening: Opening) -> bool:
    """True if the opening with its casing is in the trim's way."""
    return trim.edges.bottom < opening.top - TOUCH and trim.edges.top > opening.bottom + TOUCH


def least_length(trim: Trim, room: Room, stretch: Stretch) -> float:
    """The shortest that a stretch may be so that a piece is left between its joints."""
    left, right = stretch.left_corner, stretch.right_corner
    before = _free(trim) if left is None else _at(trim, room, left, left.left, stretch.left_joined)
    after = _free(trim) if right is None else _at(trim, room, right, right.right, stretch.right_joined)
    fixed, per_out = before.fixed + after.fixed, before.per_out + after.per_out
    return FINGER + max(fixed + per_out * out for out in (trim.edges.back, trim.edges.front))


def _free(trim: Trim) -> ends.Setback:
    return ends.mitred_return(trim.edges) if trim.joints.end is Joint.RETURN else ends.square()


def _at(trim: Trim, room: Room, corner: Corner, beyond: int, joined: bool) -> ends.Setback:
    """How far a stub stops short of its corner at the most, whichever of the pieces there is fitted first."""
    if not joined:
        return stop_beside(trim, room, corner, beyond) if corner.internal else _free(trim)
    joint = trim.joints.internal if corner.internal else trim.joints.external
    if joint is Joint.MITRE or (joint is Joint.COPE and corner.angle > ends.BLUNTEST_COPE):
        return ends.mitre(corner)
    if not corner.internal:
        return ends.square()
    if joint is Joint.COPE and corner.angle > 90:
        return ends.Setback(trim.edges.front / math.sin(math.radians(corner.angle)))
    return ends.Setback(taken(trim, corner))


def taken(trim: Trim, corner: Corner) -> float:
    """How much of a wall, from an internal corner, lies behind the trim on the next wall that runs square into it.

    The front of that ends N cot C/2 from the corner, N its projection; at a blunt corner the arris of its end stands
    N sin C along this wall.
    """
    if corner.angle > 90:
        return trim.edges.front * math.sin(math.radians(corner.angle))
    return trim.edges.front * corner.half_cot


def stop_beside(trim: Trim, room: Room, corner: Corner, beyond: int) -> ends.Setback:
    """Where a trim ends that runs square into an internal corner: clear of other trims and casings on the next wall."""
    wall = room.walls[beyond]
    casings = [
        ends.square_to_casing(
            corner, trim.edges, max(0.0, o.left if beyond == corner.right else wall.length - o.right) + TOUCH, o.casing
        )
        for o in room.openings
        if o.wall == beyond and o.architrave > 0 and crosses(trim, o)
    ]
    return max([ends.square_into(corner, trim.edges, trim.ground(beyond)), *casings], key=lambda stop: stop.fixed)


def left_out_words(trim: Trim, room: Room, stretch: Stretch) -> str:
    """What a fitter is told of a stub that is left out."""
    wall, low, high, least = stretch.wall, stretch.low, stretch.high, least_length(trim, room, stretch)
    left = _edge(room, wall, low, [(o.right, o) for o in room.openings])
    right = _edge(room, wall, high, [(o.left, o) for o in room.openings])
    between = " and ".join(dict.fromkeys((left, right)))
    found, wanted = (room.units.written(round(length, 1)) for length in (high - low, least))
    return f"{trim.name} on {wall.name}: left out between {between}: {found} wide, and its joints take {wanted}"


def _edge(room: Room, wall: Wall, station: float, openings: list[tuple[float, Opening]]) -> str:
    """What ends a stub on one side."""
    if station <= TOUCH or station >= wall.length - TOUCH:
        return "the corner"
    at = (room.name_of(o) for edge, o in openings if o.wall == wall.index and abs(edge - station) < TOUCH)
    return next(at, "what is left free")
