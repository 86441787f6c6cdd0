"""The end planes of pieces, by the formulas of the trade.

Each is a setback: how far a piece stops short of its corner (or free end), a + b * out, in mm. A right-hand end
at station S lies at S - (a + b * out), a left-hand end at S + (a + b * out). C is the corner angle in the room.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from trimwright.profile.outline import Bounds
from trimwright.room import Corner
from trimwright.setout.piece import End, Joint, Side
from trimwright.tolerance import COINCIDENT

__all__ = [
    "Setback",
    "butt",
    "end_at",
    "lap_outside",
    "mitre",
    "mitred_return",
    "scarf",
    "square",
    "square_into",
]


@dataclass(frozen=True, slots=True)
class Setback:
    """Stops short by `fixed` + `per_out` * out."""

    fixed: float
    per_out: float = 0.0


def end_at(side: Side, station: float, setback: Setback, joint: Joint, corner: float | None, mate: str | None) -> End:
    """The end of a piece whose corner or free end is at `station`."""
    sign = 1.0 if side is Side.LEFT else -1.0
    return End(
        joint=joint,
        station=station + sign * setback.fixed,
        slope=sign * setback.per_out,
        corner=corner,
        mate=mate,
    )


def square() -> Setback:
    """A square cut at a free end."""
    return Setback(0.0)


BLUNTEST_COPE = 150.0
"""An internal corner blunter than this is mitred: a cope would cut the back away for a hand's length."""


def square_into(corner: Corner, edges: Bounds, ground: float = 0.0) -> Setback:
    """Square into an internal corner: the cut nearest the other wall that clears it, max(0, front * cot C).

    Where another trim reaches `ground` out from that wall, the cut clears this too.
    """
    if ground <= 0:
        return Setback(max(0.0, edges.front * corner.cot))
    return Setback(max(0.0, *(_to_plane(corner, ground, o) for o in (edges.back, edges.front))))


def square_to_casing(corner: Corner, edges: Bounds, away: float, casing: float) -> Setback:
    """Square into an internal corner, the nearest cut that clears a casing of the other wall, so far from the corner.

    At a blunt corner, e short of straight, the face of the end reaches front * sin e - d * cos e along the other wall
    when it is set back by d, and there it stands (d + away * cos e) / sin e off that wall where the casing begins.
    """
    if corner.angle <= 90:
        return square_into(corner, edges, casing) if away < edges.front * corner.half_cot else Setback(0.0)
    short = math.radians(180 - corner.angle)
    before = (edges.front * math.sin(short) - away) / math.cos(short)
    return Setback(max(0.0, min(before, casing * math.sin(short) - away * math.cos(short))))


def mitre(corner: Corner) -> Setback:
    """Out * cot(C/2): negative at an external corner, where the piece comes out longer."""
    return Setback(0.0, corner.half_cot)


def mitred_return(edges: Bounds) -> Setback:
    """An external mitre of 90 whose return shows its face where the run ends."""
    return Setback(edges.front, -1.0)


def scarf(edges: Bounds, laps_in_front: bool) -> Setback:
    """A plane at 45 degrees to the wall, met at the middle of the projection; `laps_in_front`: longer at its front."""
    middle = (edges.back + edges.front) / 2
    return Setback(middle, -1.0) if laps_in_front else Setback(-middle, 1.0)


def butt(corner: Corner, edges: Bounds, first: Setback) -> Setback:
    """Square against a neighbour that is cut square `first` before the corner: the cut nearest it that clears it.

    In a square corner it meets the neighbour's front, in a blunt one the front arris of its end, and at an external
    corner its back.
    """
    sine, cosine = math.sin(math.radians(corner.angle)), math.cos(math.radians(corner.angle))
    end = first.fixed
    far = end + 2 * (edges.front + abs(end)) / abs(sine) + edges.front
    outline = [(far, edges.back), (end, edges.back), (end, edges.front), (far, edges.front)]
    # Stations from the corner along the neighbour, told in this piece's own setback and out.
    own = [(s * cosine + o * sine, s * sine - o * cosine) for s, o in outline]
    reached = [x for a, b in pairwise(own) for x in _between(a, b, edges)]
    return Setback(max(reached, default=0.0))


def _between(a: tuple[float, float], b: tuple[float, float], edges: Bounds) -> list[float]:
    """Setbacks of the two ends of that part of a line which lies between the back and the front of a section."""
    (xa, ya), (xb, yb) = (a, b) if a[1] <= b[1] else (b, a)
    low, high = max(ya, edges.back), min(yb, edges.front)
    if low > high:
        return []
    if yb - ya < COINCIDENT:
        return [xa, xb]
    return [xa + (xb - xa) * (y - ya) / (yb - ya) for y in (low, high)]


def lap_outside(corner: Corner, edges: Bounds) -> Setback:
    """Square past an external corner to the front of the neighbour; where the corner is not true, never past it."""
    return Setback(max(_to_plane(corner, edges.front, o) for o in (edges.back, edges.front)))


def _to_plane(corner: Corner, neighbour_out: float, out: float) -> float:
    """Setback at which a point `out` from its own wall is `neighbour_out` from the other: (N + out cos C) / sin C."""
    angle = math.radians(corner.angle)
    return (neighbour_out + out * math.cos(angle)) / math.sin(angle)
