"""The end planes of pieces, by the formulas of the trade.

Each is a setback: how far a piece stops short of its corner (or free end), a + b * out, in mm. A right-hand end
at station S lies at S - (a + b * out), a left-hand end at S + (a + b * out). C is the corner angle in the room.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trimwright.profile.outline import Bounds
from trimwright.room import Corner
from trimwright.setout.piece import End, Joint, Side

__all__ = [
    "Setback",
    "butt",
    "butt_outside",
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


def square_into(corner: Corner, edges: Bounds, ground: float = 0.0) -> Setback:
    """Square into an internal corner: the cut nearest the other wall that clears it, max(0, front * cot C).

    Where another trim reaches `ground` out from that wall, the cut clears this too.
    """
    if ground <= 0:
        return Setback(max(0.0, edges.front * corner.cot))
    return Setback(max(0.0, *(_to_plane(corner, ground, o) for o in (edges.back, edges.front))))


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


def butt(corner: Corner, edges: Bounds) -> Setback:
    """Square against the front of a neighbour that runs into the internal corner: clears it at every out."""
    return Setback(max(_to_plane(corner, edges.front, o) for o in (edges.back, edges.front)))


def lap_outside(corner: Corner, edges: Bounds) -> Setback:
    """Square past an external corner to the front of the neighbour; where the corner is not true, never past it."""
    return Setback(max(_to_plane(corner, edges.front, o) for o in (edges.back, edges.front)))


def butt_outside(corner: Corner, edges: Bounds) -> Setback:
    """Square against the back plane of a neighbour that laps past the external corner."""
    return Setback(max(_to_plane(corner, edges.back, o) for o in (edges.back, edges.front)))


def _to_plane(corner: Corner, neighbour_out: float, out: float) -> float:
    """Setback at which a point `out` from its own wall is `neighbour_out` from the other: (N + out cos C) / sin C."""
    angle = math.radians(corner.angle)
    return (neighbour_out + out * math.cos(angle)) / math.sin(angle)
