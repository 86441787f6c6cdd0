"""How a piece gets to its place past what is up already: a straight way that is free, or a bend that makes one.

Sections are upright prisms in plan and mitres are upright planes, so a way is judged on plan outlines and heights: a
convex outline moved straight covers the hull of its two ends, and meets another or not. A coped end slides along the
face of its mate as long as it does not move into it, whatever the section. Ways are told as taken out of the place;
going in is the same backwards.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from trimwright.room import Pipe, PlanPoint, Room, segments_within
from trimwright.setout.footprint import footprint
from trimwright.setout.piece import Joint, Opens, Piece, Side
from trimwright.setout.plan_shapes import Box, Shape, apart, bite, box_of, shared, swept
from trimwright.setout.tucked import tucked
from trimwright.tolerance import TOUCH

__all__ = ["Approach", "Standing", "WayIn", "standing", "way_in"]

PLAY = 0.25
"""What a joint gives while a piece is pushed home, mm: less in the way than this is no hindrance."""

HAND = 60.0
"""A piece that is out of its place by its own width and this, mm, is in hand and can be turned any way."""

ROUGH = 2.0
"""A bent piece is judged by straight parts within this of it, mm."""

STRAIN = 0.003
"""How far the outer fibre of a dry moulding may be stretched while it is sprung. Common practice, no source."""

SPRINGS = ("softwood", "hardwood", "mdf", "eps foam", "xps foam", "pu foam")
"""Materials that can be bowed by hand; plaster breaks, and a bow stays in metal."""

Heights = tuple[float, float]


class Approach(StrEnum):
    """The kinds of way."""

    STRAIGHT = "straight in"
    SLANTING = "along a mitre"
    BELOW = "from below"
    ABOVE = "from above"
    BEHIND = "behind a pipe"
    SPRUNG = "sprung"


@dataclass(frozen=True, slots=True)
class WayIn:
    """A way in: its kind, how it is said, and what it is made of.

    `out` is the plan direction in which the piece would come away, `lift` how far it comes straight up (negative:
    down) before that, mm; `bow` how far its middle is bowed out, mm.
    """

    approach: Approach
    words: str
    out: PlanPoint = (0.0, 0.0)
    lift: float = 0.0
    bow: float = 0.0


@dataclass(frozen=True, slots=True)
class Standing:
    """A piece in its place: its plan in convex parts, the box round them, its heights, and the way it faces.

    `depth` is that from its back to its front.
    """

    piece: Piece
    parts: tuple[Shape, ...]
    box: Box
    heights: Heights
    outward: PlanPoint
    along: PlanPoint
    depth: float


def standing(piece: Piece) -> Standing:
    """A piece as it stands when it is up."""
    low, high = piece.extent
    back, bottom, front, top = piece.trim.edges
    count = 1 if piece.bend is None else segments_within(piece.bend, high - low, ROUGH, front)
    parts = tuple(footprint(piece, k / count, (k + 1) / count) for k in range(count))
    reached = [piece.height(station, height) for station in (low, high) for height in (bottom, top)]
    face = piece.frame.tangent((low + high) / 2)
    box = box_of([p for part in parts for p in part])
    return Standing(piece, parts, box, (min(reached), max(reached)), face.outward, face.along, front - back)


def way_in(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """The simplest way in past the pieces that are `up` and the pipes; None if there is none."""
    if _free(own, up, room, own.outward):
        return WayIn(Approach.STRAIGHT, "straight in from the room", own.outward)
    for way in _slanting(own):
        if _free(own, up, room, way.out):
            return way
    return _upright(own, up, room) or _sprung(own, up, room) or _tucked(own, up, room) or _behind(own, up, room)


def _slanting(own: Standing) -> Iterator[WayIn]:
    """Along the mitre of one end, or along the face of a mate, and half-way to either side."""
    ends = [(own.piece.end(side), side) for side in Side]
    slopes = [(end.slope, side) for end, side in ends if end.joint in (Joint.MITRE, Joint.SCARF)]
    slopes += [(_along_mate(end.corner, side), side) for end, side in ends if end.joint is Joint.COPE]
    (ax, ay), (nx, ny) = own.along, own.outward
    for slope, side in (*slopes, (1.0, Side.LEFT), (-1.0, Side.RIGHT)):
        size = math.hypot(slope, 1.0)
        out = ((slope * ax + nx) / size, (slope * ay + ny) / size)
        yield WayIn(Approach.SLANTING, f"in at a slant, pushed home to the {side.value}", out)


def _along_mate(corner: float | None, side: Side) -> float:
    """Station gained for each mm out by a line along the mate's wall: the cotangent of the corner, mirrored right."""
    cot = 1 / math.tan(math.radians(corner or 90.0))
    return cot if side is Side.LEFT else -cot


def _meet(a: Heights, b: Heights) -> bool:
    return min(a[1], b[1]) - max(a[0], b[0]) > TOUCH


def _out_of_place(own: Standing, out: PlanPoint) -> PlanPoint:
    """The move that brings a piece clear of its place."""
    far = own.depth + HAND
    return (out[0] * far, out[1] * far)


def _free(own: Standing, up: Sequence[Standing], room: Room, out: PlanPoint, lift: float = 0.0) -> bool:
    """True if the piece, first raised by `lift`, comes straight out without meeting anything."""
    heights = (own.heights[0] + lift, own.heights[1] + lift)
    by = _out_of_place(own, out)
    ways = [swept(part, by) for part in own.parts]
    box = box_of([p for way in ways for p in way])
    ends = (own.piece.left, own.piece.right)
    coped = () if lift else tuple(end.mate for end in ends if end.joint is Joint.COPE)
    for other in up:
        if apart(box, other.box) or not _meet(heights, other.heights):
            continue
        if other.piece.id in coped:
            if _into(other, by) > PLAY:
                return False
        elif any(bite(way, part) > PLAY for way in ways for part in other.parts):
            return False
    return not _pipes_before(own, room, ways, heights)


def _pipes_before(own: Standing, room: Room, ways: Sequence[Shape], heights: Heights) -> list[Pipe]:
    """Upright pipes in these ways at these heights; one in a slot open to the back lets the piece come off."""
    slots = tuple(name for notch in own.piece.notches if notch.opens is not Opens.FRONT for name in notch.pipes)
    box = box_of([p for way in ways for p in way])
    return [
        pipe
        for pipe in room.legs
        if pipe.vertical
        and pipe.name not in slots
        and _meet(heights, (pipe.start[2], pipe.end[2]))
        and not apart(box_of(plan := _round(room, pipe)), box)
        and any(bite(way, plan) > PLAY for way in ways)
    ]


def _into(mate: Standing, by: PlanPoint) -> float:
    """How far a move goes into the face of a mate, mm; 0 if it goes along it or away from it."""
    nx, ny = mate.outward
    return max(0.0, -(by[0] * nx + by[1] * ny))


def _round(room: Room, pipe: Pipe) -> Shape:
    """The plan of an upright pipe: a square inside its circle is enough to stop a piece."""
    x, y = room.walls[pipe.wall].frame.plan(*pipe.start[:2])
    r = pipe.radius * math.sqrt(0.5)
    return [(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)]


def _upright(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """Straight down or up by its own height, then out: mitres are upright and let it pass."""
    low, high = own.heights
    for approach, sign, words in ((Approach.BELOW, -1.0, "up from below"), (Approach.ABOVE, 1.0, "down from above")):
        lift = sign * (high - low + 1.0)
        passed = (low + min(lift, 0.0), high + max(lift, 0.0))
        if passed[0] < 0 or passed[1] > room.ceiling:
            continue
        stopped = any(
            bite(a, b) > PLAY
            for other in up
            if not apart(own.box, other.box) and _meet(passed, other.heights)
            for a in own.parts
            for b in other.parts
        )
        if not stopped and _free(own, up, room, own.outward, lift):
            return WayIn(approach, words, own.outward, lift)
    return None


def _sprung(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """Bowed out in the middle until its ends pass: an arc of sagitta s is 8 s² / (3 L) longer than its chord.

    The fibre strain of a strip b thick in a bow of radius L² / (8 s) is half b over the radius.
    """
    piece = own.piece
    if piece.bend is not None or piece.trim.material.name not in SPRINGS:
        return None
    short = _shortening(own, up)
    ways = [swept(part, _out_of_place(own, own.outward)) for part in own.parts]
    if short is None or _pipes_before(own, room, ways, own.heights):
        return None
    bow = math.sqrt(3 * piece.length * short / 8)
    if own.depth * 4 * bow / piece.length**2 > STRAIN:
        return None
    return WayIn(Approach.SPRUNG, f"sprung in: bow its middle out by {math.ceil(bow)}", own.outward, bow=bow)


def _shortening(own: Standing, up: Sequence[Standing]) -> float | None:
    """How much the ends must give, both together, for a piece to come straight out; None if more is in its way."""
    piece = own.piece
    first, last = piece.extent
    given = {Side.LEFT: 0.0, Side.RIGHT: 0.0}
    by = _out_of_place(own, own.outward)
    for other in up:
        if not _meet(own.heights, other.heights):
            continue
        side = next((s for s in Side if piece.end(s).mate == other.piece.id), None)
        if side is not None and piece.end(side).joint is Joint.COPE:
            given[side] = max(given[side], _into(other, by))
            continue
        common = [p for a in own.parts for b in other.parts for p in shared(swept(a, by), b)]
        stations = [piece.frame.locate(p)[0] for p in common]
        if not stations:
            continue
        if max(stations) < (first + last) / 2:
            given[Side.LEFT] = max(given[Side.LEFT], max(stations) - first)
        elif min(stations) > (first + last) / 2:
            given[Side.RIGHT] = max(given[Side.RIGHT], last - min(stations))
        else:
            return None
    return sum(given.values())


def _tucked(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """Half a slot that is open to the front brought in behind its pipe, the piece slid or swung home."""
    coped = {end.mate for end in (own.piece.left, own.piece.right) if end.joint is Joint.COPE}
    others = [
        part
        for other in up
        if other.piece.id not in coped and _meet(own.heights, other.heights)
        for part in other.parts
    ]
    way = tucked(own.piece, others, room, PLAY)
    if way is None:
        return None
    words = f"its {way.side.value} end tucked in behind {way.pipe}"
    if way.swung:
        words += f", its other end swung home from {math.ceil(way.swung / 10) * 10} out"
    return WayIn(Approach.BEHIND, words, own.outward)


def _behind(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """Slid in endways behind the pipes that stand before it, its other end held low or high until it is home.

    It has to be drawn out by the way from its end to the far side of the last pipe, t; held at an angle so that it is
    shorter by t along the wall, its other end is sqrt(L² - (L - t)²) lower or higher. The leading end, whatever its
    joint, is drawn straight away from its mate.
    """
    piece = own.piece
    ways = [swept(part, _out_of_place(own, own.outward)) for part in own.parts]
    before = _pipes_before(own, room, ways, own.heights)
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
        rise = math.sqrt(max(0.0, length**2 - (length - draw) ** 2))
        if draw < length and rise <= max(own.heights[0], room.ceiling - own.heights[1]):
            held = "low" if rise <= own.heights[0] else "high"
            words = (
                f"its {side.value} end slid in behind {names}, its {other.value} end held"
                f" {math.ceil(rise / 10) * 10} {held}, then swung level"
            )
            return WayIn(Approach.BEHIND, words, own.outward)
    return None
