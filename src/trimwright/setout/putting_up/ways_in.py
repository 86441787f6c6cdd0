"""How a piece gets to its place past walls and what is up already: a straight way that is free, or a turn or a bend.

Sections are upright prisms in plan and mitres are upright planes, so a way is judged on plan outlines and heights: a
convex outline moved straight covers the hull of its two ends, and meets another or not. A coped end slides along the
face of its mate as long as it does not move into it, whatever the section. Ways are told as taken out of the place;
going in is the same backwards.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from trimwright.room import Room
from trimwright.setout.footprint import footprint
from trimwright.setout.piece import Joint, Side
from trimwright.setout.plan_shapes import apart, bite, swept
from trimwright.setout.putting_up.approach import Approach, WayIn
from trimwright.setout.putting_up.standing import (
    PLAY,
    Standing,
    bars,
    free,
    meet,
    out_of_place,
    pipes_ahead,
    pipes_before,
)
from trimwright.setout.putting_up.tucked import tucked
from trimwright.setout.putting_up.turned import endways, sprung, swung, tilt, tilted

__all__ = ["way_in"]

LENGTHS = 16
"""In so many lengths a piece is looked at that is held low or high at one end."""

STEEPEST = math.radians(60)
"""A piece is not held steeper than this while its end is brought in behind a pipe. Common practice, no source."""


def way_in(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """The simplest way in past the pieces that are `up`, the walls and the pipes; None if there is none."""
    for way in _straight(own):
        if free(own, up, room, out_of_place(own, way.out)):
            return way
    for found in (_upright, swung, _upright_swung, sprung, _tucked, _behind, tilted, endways):
        if (turned := found(own, up, room)) is not None:
            return turned
    return None


def _straight(own: Standing) -> Iterator[WayIn]:
    """Square off its wall, then at a slant."""
    yield WayIn(Approach.STRAIGHT, "straight in from the room", own.outward)
    yield from _slanting(own)


def _slanting(own: Standing) -> Iterator[WayIn]:
    """Along the mitre of one end, or along the wall that it ends at, between two such walls, and half-way to a side."""
    ends = [(own.piece.end(side), side) for side in Side]
    slopes = [(end.slope, side) for end, side in ends if end.joint in (Joint.MITRE, Joint.SCARF)]
    beside = [(_along_wall(end.corner, side), side) for end, side in ends if end.corner and end.corner < 180]
    slopes += beside
    if len(beside) == len(ends):
        slopes.append((sum(slope for slope, _ in beside) / 2, Side.LEFT))
    (ax, ay), (nx, ny) = own.along, own.outward
    for slope, side in (*slopes, (1.0, Side.LEFT), (-1.0, Side.RIGHT)):
        size = math.hypot(slope, 1.0)
        out = ((slope * ax + nx) / size, (slope * ay + ny) / size)
        yield WayIn(Approach.SLANTING, f"in at a slant, pushed home to the {side.value}", out)


def _along_wall(corner: float, side: Side) -> float:
    """Station gained for each mm out along the wall at one end: the cotangent of the corner, mirrored right."""
    cot = 1 / math.tan(math.radians(corner))
    return cot if side is Side.LEFT else -cot


def _upright(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """Straight down or up by its own height, then out: mitres are upright and let it pass."""
    for approach, words, lift in _lifts(own, up, room):
        for way in _straight(own):
            if free(own, up, room, out_of_place(own, way.out), lift):
                return WayIn(approach, words, way.out, lift)
    return None


def _upright_swung(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """The same where walls lean in: below or above what is up it is swung out."""
    for approach, words, lift in _lifts(own, up, room):
        there = replace(own, heights=(own.heights[0] + lift, own.heights[1] + lift))
        way = swung(there, [other for other in up if meet(there.heights, other.heights)], room)
        if way is not None:
            return WayIn(approach, f"{way.words}; then {words}", own.outward, lift, turn=way.turn)
    return None


def _lifts(own: Standing, up: Sequence[Standing], room: Room) -> Iterator[tuple[Approach, str, float]]:
    """Ways straight down and up by its own height that nothing bars, how they are said, and how far up they lead."""
    low, high = own.heights
    for approach, sign, words in ((Approach.BELOW, -1.0, "up from below"), (Approach.ABOVE, 1.0, "down from above")):
        lift = sign * (high - low + 1.0)
        passed = (low + min(lift, 0.0), high + max(lift, 0.0))
        if passed[0] < 0 or passed[1] > room.ceiling:
            continue
        if not any(
            bite(a, b) > PLAY
            for other in up
            if not apart(own.box, other.box) and meet(passed, other.heights)
            for a in own.parts
            for b in other.parts
        ):
            yield approach, words, lift


def _tucked(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """Half a slot that is open to the front brought in behind its pipe, the piece slid or swung home."""
    coped = {end.mate for end in (own.piece.left, own.piece.right) if end.joint is Joint.COPE}
    others = [
        part for other in up if other.piece.id not in coped and meet(own.heights, other.heights) for part in other.parts
    ]
    way = tucked(own, others, room, PLAY)
    if way is None:
        return None
    words = f"its {way.side.value} end tucked in behind {way.pipe}"
    if way.swung:
        words += f", its other end swung home from {math.ceil(way.swung / 10) * 10} out"
    return WayIn(Approach.BEHIND, words, own.outward)


def _behind(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """Slid in endways behind the pipes that stand before it, its other end held low or high until it is home.

    It has to be drawn out by the way from its end to the far side of the last pipe, and held at such an angle that it
    is as much shorter along the wall. The leading end, whatever its joint, is drawn straight away from its mate.
    """
    piece = own.piece
    before = pipes_ahead(own, room)
    if not before:
        return None
    names = " and ".join(p.name for p in before)
    if piece.bend is not None:
        # It is straight until it is bent on, so its end goes behind the pipe first.
        return WayIn(Approach.BEHIND, f"one end fed in behind {names}, then bent home along the wall", own.outward)
    centres = [piece.frame.locate(room.walls[p.wall].frame.plan(*p.start[:2]))[0] for p in before]
    low, high = piece.extent
    reach, length = max(p.radius for p in before), high - low
    for side, draw in ((Side.LEFT, max(centres) + reach - low), (Side.RIGHT, high - min(centres) + reach)):
        other = Side.RIGHT if side is Side.LEFT else Side.LEFT
        last = piece.end(other)
        if last.joint is Joint.COPE and last.mate in {s.piece.id for s in up}:
            continue  # a cope comes home along its mate's wall, not up or down it
        angle = tilt(length, own.heights[1] - own.heights[0], draw)
        if angle is None or angle > STEEPEST:
            continue
        rise = length * math.sin(angle)
        for held, sign, spare in (("low", -1.0, own.heights[0]), ("high", 1.0, room.ceiling - own.heights[1])):
            if rise <= spare and _comes_tilted(own, up, room, side, draw, sign * math.tan(angle)):
                words = (
                    f"its {side.value} end slid in behind {names}, its {other.value} end held"
                    f" {math.ceil(rise / 10) * 10} {held}, then swung level"
                )
                return WayIn(Approach.BEHIND, words, own.outward, turn=math.degrees(angle))
    return None


def _comes_tilted(own: Standing, up: Sequence[Standing], room: Room, leading: Side, drawn: float, climb: float) -> bool:
    """True if a piece drawn away from its leading end comes out of the room at a slope and is swung level past what is
    up; `climb` is how far it rises for each mm from there, negative if it is held low.

    It is looked at in short lengths, each with the heights that it passes on its way.
    """
    low, high = own.piece.extent
    reach = (high - low - drawn) / LENGTHS
    for k in range(LENGTHS):
        near, far = drawn + k * reach, drawn + (k + 1) * reach
        first, last = (low + near, low + far) if leading is Side.LEFT else (high - far, high - near)
        part = footprint(own.piece, (first - low) / (high - low), (last - low) / (high - low))
        held = sorted((climb * near, climb * far))
        there = own.heights[0] + held[0], own.heights[1] + held[1]
        passed = min(own.heights[0], there[0]), max(own.heights[1], there[1])
        out = swept(part, out_of_place(own, own.outward))
        if pipes_before(own, room, [out], there):
            return False
        for other in up:
            swings = meet(passed, other.heights) and not meet(own.heights, other.heights)
            comes = meet(there, other.heights)
            for shape in other.parts:
                if (swings and bite(part, shape) > PLAY) or (comes and bars(out, part, shape, PLAY)):
                    return False
    return True
