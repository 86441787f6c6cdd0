"""The virtual saw: plain stock laid as a card says, cut, and carried back to the wall.

It shares no formula with the solver. It knows the words and numbers of the card alone, and only moves that hands
can make: rolling the stock about its length, turning it end for end, leaning the blade about the line where it
meets the bed, swinging it about the upright. None of them can mirror, so a card for the wrong hand cannot pass.
The bench's frame is right-handed: x right, y away, z up; on the wall that is (station, -out, height).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trimwright.errors import GeometryError
from trimwright.profile.outline import Point
from trimwright.profile.section import Section
from trimwright.saw.plane import EndPlane
from trimwright.saw.rests import Direction, face_side, flat_side
from trimwright.saw.settings import Orders
from trimwright.setout.piece import Side

__all__ = ["Sawn", "cut", "laid"]

Vector = tuple[float, float, float]
Matrix = tuple[Vector, Vector, Vector]

ON_BED: dict[str, Direction] = {
    "bottom edge": (0.0, -1.0),
    "wall edge": (0.0, -1.0),
    "top edge": (0.0, 1.0),
    "ceiling edge": (0.0, 1.0),
}
"""Which way (out, height) a named edge of the section looks that is put on the bed; back and face: of the section."""

AT_FENCE: dict[str, Direction] = {
    "bottom edge": (-1.0, -1.0),
    "wall edge": (-1.0, -1.0),
    "top edge": (1.0, 1.0),
    "ceiling edge": (1.0, 1.0),
    "back": (-1.0, 0.0),
}
"""Where (out, height) a named edge lies, seen from the middle of the section."""


@dataclass(frozen=True, slots=True)
class Sawn:
    """The end that the saw made, on the wall; `kept` is True if the part called kept is the piece, not the waste.

    `height` and `depth` are what the stock took up before the fence and on the bed.
    """

    plane: EndPlane
    kept: bool
    height: float
    depth: float


def cut(section: Section, stock: Sequence[Point], orders: Orders, end: Side, other: EndPlane) -> Sawn:
    """One end cut as ordered, the other end (on plane `other`) pushed against the stop.

    `stock` is the section as it is placed on the wall, `section` tells its sides by name.
    """
    turn = laid(section, orders)
    lying = [_apply(turn, (other.at(p), -p[0], p[1])) for p in stock]
    shift_y, shift_z = -max(p[1] for p in lying), -min(p[2] for p in lying)
    kept_left = orders.place == "left of blade"
    far = min(p[0] for p in lying) if kept_left else max(p[0] for p in lying)
    shift = (-orders.stop - far if kept_left else orders.stop - far, shift_y, shift_z)
    normal = _blade(orders)
    along, back, up = (sum(normal[i] * turn[i][k] for i in range(3)) for k in range(3))
    offset = sum(n * s for n, s in zip(normal, shift, strict=True))
    inwards = along if end is Side.LEFT else -along
    return Sawn(
        plane=EndPlane(-offset / along, back / along, -up / along),
        kept=(inwards < 0) is kept_left,
        height=max(p[2] for p in lying) + shift_z,
        depth=-min(p[1] for p in lying) - shift_y,
    )


def laid(section: Section, orders: Orders) -> Matrix:
    """The turn that takes the stock from the wall to the saw: rolled on its side, then end for end if need be."""
    down = _side(section, orders.on_bed)
    roll = _about_x(-math.pi / 2 - math.atan2(down[1], -down[0]))
    edge = AT_FENCE[orders.against_fence]
    at_fence = _apply(roll, (0.0, -edge[0], edge[1]))[1] > 0
    return roll if at_fence else _product(_about_z(math.pi), roll)


def _side(section: Section, name: str) -> Direction:
    side = {"back": flat_side, "face": face_side}[name](section) if name in ("back", "face") else ON_BED[name]
    if side is None:
        raise GeometryError(f"{section.name}: a card lays it on its {name}, on which it does not rest")
    return side


def _blade(orders: Orders) -> Vector:
    """Normal of the blade: upright and square, leaned about its line on the bed, then swung about the upright.

    The handle is at the near end: it moves right when the arm turns anticlockwise, seen from above.
    """
    lean = math.radians(orders.bevel) * (-1.0 if orders.tilt == "left" else 1.0)
    swing = math.radians(orders.mitre) * (1.0 if orders.arm == "right" else -1.0)
    return _apply(_about_z(swing), _apply(_about_y(lean), (1.0, 0.0, 0.0)))


def _about_x(angle: float) -> Matrix:
    c, s = math.cos(angle), math.sin(angle)
    return ((1.0, 0.0, 0.0), (0.0, c, -s), (0.0, s, c))


def _about_y(angle: float) -> Matrix:
    """From z towards x: the top of the blade goes to the right."""
    c, s = math.cos(angle), math.sin(angle)
    return ((c, 0.0, s), (0.0, 1.0, 0.0), (-s, 0.0, c))


def _about_z(angle: float) -> Matrix:
    c, s = math.cos(angle), math.sin(angle)
    return ((c, -s, 0.0), (s, c, 0.0), (0.0, 0.0, 1.0))


def _apply(turn: Matrix, vector: Vector) -> Vector:
    x, y, z = vector
    along, back, up = turn
    return (
        along[0] * x + along[1] * y + along[2] * z,
        back[0] * x + back[1] * y + back[2] * z,
        up[0] * x + up[1] * y + up[2] * z,
    )


def _product(second: Matrix, first: Matrix) -> Matrix:
    columns = [_apply(second, (first[0][k], first[1][k], first[2][k])) for k in range(3)]
    x, y, z = (tuple(column[i] for column in columns) for i in range(3))
    return ((x[0], x[1], x[2]), (y[0], y[1], y[2]), (z[0], z[1], z[2]))
