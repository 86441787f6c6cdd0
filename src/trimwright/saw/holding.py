"""Ways to hold a length of trim on a mitre saw, and what an end plane becomes in each.

The saw's frame: x to the right and y away from the one who stands at it, z up; the fence stands at the back, the
bed lies below. A way of holding turns (station, out, height) of the wall into (x, y, z) of the saw.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from trimwright.setout.piece import Side

__all__ = ["Blade", "Holding", "Method", "blade_for", "flat", "nested", "standing"]

Row = tuple[float, float, float]


class Method(StrEnum):
    """How the piece is held."""

    STANDING = "standing"
    NESTED = "nested"
    FLAT = "flat"
    HAND = "hand"


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """One way of holding: `turn` holds the rows of the matrix wall -> saw; `turned_round` if left and right change.

    `height` is what must pass before the fence and `depth` what must lie on the bed, mm.
    """

    method: Method
    turn: tuple[Row, Row, Row]
    on_bed: str
    against_fence: str
    height: float
    depth: float

    @property
    def turned_round(self) -> bool:
        """True if the piece's left end points to the saw's right."""
        return self.turn[0][0] < 0


@dataclass(frozen=True, slots=True)
class Blade:
    """A blade: `swing` of the arm from square, positive to the right; `lean` of its top, positive to the left."""

    swing: float
    lean: float
    kept: Side


def standing(drop: float, projection: float, edge: str = "bottom edge") -> Holding:
    """As on the wall: back against the fence, bottom on the bed."""
    turn = ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
    return Holding(method=Method.STANDING, turn=turn, on_bed=edge, against_fence="back", height=drop, depth=projection)


def nested(drop: float, projection: float) -> Holding:
    """Upside down at its own drop and projection: wall edge against the fence, ceiling edge on the bed."""
    turn = ((-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0))
    return Holding(
        method=Method.NESTED,
        turn=turn,
        on_bed="ceiling edge",
        against_fence="wall edge",
        height=drop,
        depth=projection,
    )


def flat(spring: float, face: float, thickness: float, upper_at_fence: bool, edges: tuple[str, str]) -> Holding:
    """Back down on the bed; `spring` is the angle between back and wall (0 for a section with an upright back).

    `edges` names the lower and the upper edge of the back. With s the spring, the back runs along
    (sin s, cos s) in (out, height) and the face looks along (cos s, -sin s).
    """
    sine, cosine = math.sin(math.radians(spring)), math.cos(math.radians(spring))
    sign = 1.0 if upper_at_fence else -1.0
    turn = ((sign, 0.0, 0.0), (0.0, sign * sine, sign * cosine), (0.0, cosine, -sine))
    return Holding(
        method=Method.FLAT,
        turn=turn,
        on_bed="back",
        against_fence=edges[1] if upper_at_fence else edges[0],
        height=thickness,
        depth=face,
    )


def blade_for(holding: Holding, slope: float, side: Side) -> Blade:
    """The blade that cuts the plane station = s0 + slope * out at one end of a piece held so.

    The plane's normal (1, -slope, 0) is turned into the saw's frame and pointed right; then
    tan(swing) = ny / nx and sin(lean) = nz / |n|. For a sprung section and a corner C this gives the printed
    formulas tan(swing) = sin s / tan(C/2), sin(tilt) = cos s cos(C/2).
    """
    normal = (1.0, -slope, 0.0)
    x, y, z = (sum(a * b for a, b in zip(row, normal, strict=True)) for row in holding.turn)
    if x < 0:
        x, y, z = -x, -y, -z
    kept_low = (side is Side.RIGHT) is not holding.turned_round
    return Blade(
        swing=math.degrees(math.atan2(y, x)) + 0.0,
        lean=math.degrees(math.asin(z / math.sqrt(x * x + y * y + z * z))) + 0.0,
        kept=Side.LEFT if kept_low else Side.RIGHT,
    )
