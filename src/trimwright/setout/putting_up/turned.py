"""Ways into place for a piece that cannot come straight: bowed, turned about an end in plan or in height, or endways.

Between walls that lean in towards the room the opening is narrower than the place. With k the cotangent of the corner
at one end, a piece of length L whose other end is home and which is turned about it by the angle t reaches
L cos t along the wall where k L sin t is lost: it wants L (k sin t - 1 + cos t) too much, L k² / 2 at the most.
Held level at one end and low at the other, a back of height H takes L cos t + H sin t, which at first is more than L:
sqrt(L² + H²) at the most.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from trimwright.room import PlanPoint, Room
from trimwright.setout.piece import Joint, Side
from trimwright.setout.plan_shapes import Shape, apart, bite, box_of, shared, swept
from trimwright.setout.putting_up.approach import Approach, WayIn
from trimwright.setout.putting_up.standing import (
    HAND,
    PLAY,
    YIELDS,
    Face,
    Standing,
    bars,
    faces_near,
    into,
    meet,
    meets_wall,
    out_of_place,
    pipes_ahead,
    pipes_before,
)
from trimwright.tolerance import TOUCH

__all__ = ["endways", "sprung", "swung", "swung_about", "tilt", "tilted"]

STRAIN = 0.003
"""How far the outer fibre of a dry moulding may be stretched while it is sprung. Common practice, no source."""

SPRINGS = ("softwood", "hardwood", "mdf", "eps foam", "xps foam", "pu foam")
"""Materials that can be bowed by hand; plaster breaks, and a bow stays in metal."""

WIDEST = math.radians(60)
"""A short piece that has been turned this far about one end is in hand."""

TURNS = 12
"""Places at which a turn is looked at."""

BEHIND = 1000.0
"""How far the body of a wall is taken to reach behind its face, mm."""


def sprung(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """Bowed out in the middle until its ends pass: an arc of sagitta s is 8 s² / (3 L) longer than its chord.

    The fibre strain of a strip b thick in a bow of radius L² / (8 s) is half b over the radius.
    """
    piece = own.piece
    if piece.bend is not None:
        return None
    short = _shortening(own, up)
    if short is None or pipes_ahead(own, room):
        return None
    bow = _bow(own, short)
    return (
        None
        if bow is None
        else WayIn(Approach.SPRUNG, f"sprung in: bow its middle out by {math.ceil(bow)}", own.outward, bow=bow)
    )


def _bow(own: Standing, short: float) -> float | None:
    """How far a piece has to be bowed to be shorter by so much; None if it would break."""
    length = own.piece.length
    bow = math.sqrt(3 * length * short / 8)
    holds = own.piece.trim.material.name in SPRINGS and own.depth * 4 * bow / length**2 <= STRAIN
    return bow if holds else None


def _shortening(own: Standing, up: Sequence[Standing]) -> float | None:
    """How much the ends must give, both together, for a piece to come straight out; None if more is in its way.

    What stands in the way of a middle cannot be passed so, be it a piece or a wall.
    """
    piece = own.piece
    first, last = piece.extent
    given = {Side.LEFT: 0.0, Side.RIGHT: 0.0}
    by = out_of_place(own, own.outward)
    ways = [swept(part, by) for part in own.parts]
    met = [(way, _body(face)) for way in ways for face in own.faces if bite(way, face.ends) > PLAY]
    for other in up:
        if not meet(own.heights, other.heights):
            continue
        side = next((s for s in Side if piece.end(s).mate == other.piece.id), None)
        if side is not None and piece.end(side).joint is Joint.COPE:
            given[side] = max(given[side], into(other, by))
            continue
        met += [(way, part) for way in ways for part in other.parts]
    for way, bar in met:
        stations = [piece.frame.locate(p)[0] for p in shared(way, bar)]
        if not stations:
            continue
        if max(stations) < (first + last) / 2:
            given[Side.LEFT] = max(given[Side.LEFT], max(stations) - first)
        elif min(stations) > (first + last) / 2:
            given[Side.RIGHT] = max(given[Side.RIGHT], last - min(stations))
        else:
            return None
    return sum(given.values())


def _body(face: Face) -> Shape:
    """What lies behind a face of a wall."""
    (ax, ay), (bx, by) = face.ends
    length = math.dist(*face.ends)
    nx, ny = (ay - by) / length * BEHIND, (bx - ax) / length * BEHIND
    return [(ax, ay), (bx, by), (bx + nx, by + ny), (ax + nx, ay + ny)]


def swung(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """One end home first, the other swung in from the room like a door; past pipes it is then free to come away."""
    piece = own.piece
    if _over_a_mate(own, up):
        return None
    far = own.depth + HAND
    most = min(WIDEST, math.asin(min(1.0, far / piece.length)))
    others = [part for s in up if meet(own.heights, s.heights) for part in s.parts]
    for side, way in ((Side.LEFT, -1.0), (Side.RIGHT, 1.0)):
        pivot = swung_about(own, side)
        turned = [[_turned(part, pivot, way * most * k / TURNS) for part in own.parts] for k in range(1, TURNS + 1)]
        stopped = any(
            meets_wall(own, place, own.faces)
            or any(bars(now, rest, other, PLAY) for now, rest in zip(place, own.parts, strict=True) for other in others)
            for place in turned
        )
        passed = [part for place in turned for part in place]
        passed += [swept(part, out_of_place(own, own.outward)) for part in turned[-1]]
        if not stopped and not pipes_before(own, room, passed, own.heights):
            words = f"its {side.value} end first, the other swung home from {math.ceil(far / 10) * 10} out"
            return WayIn(Approach.SWUNG, words, own.outward, turn=math.degrees(way * most))
    return None


def swung_about(own: Standing, side: Side) -> PlanPoint:
    """The corner of an end that lies furthest that way, which stays where it is while the other end is swung out."""
    back, _, front, _ = own.piece.trim.edges
    end = own.piece.end(side)
    before = end.at(front) - end.at(back)
    at_front = before <= TOUCH if side is Side.LEFT else before >= -TOUCH
    return own.piece.frame.plan(end.at(front if at_front else back), front if at_front else back)


def _over_a_mate(own: Standing, up: Sequence[Standing]) -> bool:
    """True if it is coped over what is up: a cope comes home along the wall of its mate and cannot turn."""
    coped = {end.mate for end in (own.piece.left, own.piece.right) if end.joint is Joint.COPE}
    return any(other.piece.id in coped for other in up)


def _turned(shape: Shape, pivot: PlanPoint, angle: float) -> list[PlanPoint]:
    """A shape turned anticlockwise about a point by an angle in radians."""
    (px, py), cos, sin = pivot, math.cos(angle), math.sin(angle)
    return [(px + (x - px) * cos - (y - py) * sin, py + (x - px) * sin + (y - py) * cos) for x, y in shape]


def tilted(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """One end home first, the other held low until the piece is short enough to come in, then swung level.

    Nothing may be up below it, as far down as it is held.
    """
    piece = own.piece
    short = None if piece.bend is not None or _over_a_mate(own, up) else _shortening(own, up)
    if short is None:
        return None
    length, height = piece.extent[1] - piece.extent[0], own.heights[1] - own.heights[0]
    over = math.hypot(length, height) - length
    bow = 0.0 if over <= YIELDS else _bow(own, over)
    angle = tilt(length, height, short)
    if bow is None or angle is None:
        return None
    fall = length * math.sin(angle)
    ways = [swept(part, out_of_place(own, own.outward)) for part in own.parts]
    below = (own.heights[0] - fall, own.heights[0])
    if below[0] < 0 or pipes_before(own, room, ways, (below[0], own.heights[1])):
        return None
    if any(bite(way, b) > PLAY for s in up if meet(below, s.heights) for way in ways for b in s.parts):
        return None
    words = f"its left end first, the other held {math.ceil(fall / 10) * 10} low, then swung level"
    if bow:
        words += f" with its middle bowed out by {math.ceil(bow)}"
    return WayIn(Approach.TILTED, words, own.outward, bow=bow, turn=math.degrees(angle))


def tilt(length: float, height: float, short: float) -> float | None:
    """The least angle, to a degree, from which on a back is shorter along the wall by so much; None if at none."""
    for degrees in range(1, 90):
        angle = math.radians(degrees)
        if length * math.cos(angle) + height * math.sin(angle) <= length - short:
            return angle
    return None


def endways(own: Standing, up: Sequence[Standing], room: Room) -> WayIn | None:
    """Pushed along its wall, from the side that is open for its whole length."""
    if own.piece.bend is not None:
        return None
    far = own.piece.length + HAND
    faces = tuple(faces_near(own.piece, own.box, room, far))
    for side, sign in ((Side.LEFT, -1.0), (Side.RIGHT, 1.0)):
        by = (sign * far * own.along[0], sign * far * own.along[1])
        ways = [swept(part, by) for part in own.parts]
        box = box_of([p for way in ways for p in way])
        stopped = any(
            bite(way, part) > PLAY
            for s in up
            if meet(own.heights, s.heights) and not apart(box, s.box)
            for way in ways
            for part in s.parts
        )
        if not stopped and not meets_wall(own, ways, faces) and not pipes_before(own, room, ways, own.heights):
            return WayIn(Approach.ENDWAYS, f"slid along its wall from the {side.value}", (by[0] / far, by[1] / far))
    return None
