"""Closed boxes for the light: faces divided into squares, and the exact view factors between rectangles.

Between parallel and perpendicular rectangles with edges along the axes, anywhere, by corner sums as in J. R. Howell, A
Catalog of Radiation Heat Transfer Configuration Factors, C-13 and C-16 (numbers from memory); the perpendicular one was
derived anew. tests/reference/test_light_view_factors.py holds both against published values.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from trimwright.light.enclosure import Enclosure, Patch, enclosure

FACES = ("floor", "ceiling", "x0", "x1", "y0", "y1")


@dataclass(frozen=True)
class Rectangle:
    """Edges along axes: `low` and `high` corners, equal in `axis`; `sense` is the sign of its normal there."""

    low: tuple[float, float, float]
    high: tuple[float, float, float]
    axis: int
    sense: int
    face: str

    @property
    def area(self) -> float:
        a, b = ((self.high[k] - self.low[k]) for k in range(3) if k != self.axis)
        return a * b

    @property
    def corners(self) -> np.ndarray:
        i, j = ((self.axis + 1) % 3, (self.axis + 2) % 3)
        points = []
        for u, v in ((0, 0), (1, 0), (1, 1), (0, 1)):
            p = list(self.low)
            p[i], p[j] = (self.low[i], self.high[i])[u], (self.low[j], self.high[j])[v]
            points.append(p)
        return np.array(points[:: self.sense], float)

    def patch(self, reflectance: float, exitance: float) -> Patch:
        a, b, c, d = self.corners
        return Patch(
            triangles=np.array([[a, b, c], [a, c, d]]), reflectance=reflectance, surface=self.face, exitance=exitance
        )


def faces(size: tuple[float, float, float], parts: int) -> list[Rectangle]:
    """The inner faces of a box from the origin, each in parts x parts."""
    made = []
    for name, axis, sense in zip(FACES, (2, 2, 0, 0, 1, 1), (1, -1, 1, -1, 1, -1), strict=True):
        i, j = [k for k in range(3) if k != axis]
        level = 0.0 if sense > 0 else size[axis]
        for u, v in itertools.product(range(parts), repeat=2):
            low, high = [level] * 3, [level] * 3
            low[i], high[i] = size[i] * u / parts, size[i] * (u + 1) / parts
            low[j], high[j] = size[j] * v / parts, size[j] * (v + 1) / parts
            made.append(Rectangle(tuple(low), tuple(high), axis, sense, name))
    return made


def box(
    size: tuple[float, float, float], parts: int, reflectance: dict[str, float], exitance: dict[str, float]
) -> tuple[list[Rectangle], Enclosure]:
    made = faces(size, parts)
    return made, enclosure([r.patch(reflectance[r.face], exitance.get(r.face, 0.0)) for r in made])


def exact(one: Rectangle, two: Rectangle) -> float:
    """Exact A_1 F_12 of two faces of one box."""
    if one.axis == two.axis:
        return 0.0 if one.low[one.axis] == two.low[two.axis] else _parallel(one, two)
    return _perpendicular(one, two)


def _parallel(one: Rectangle, two: Rectangle) -> float:
    i, j = [k for k in range(3) if k != one.axis]
    z = abs(one.low[one.axis] - two.low[one.axis])

    def g(x: float, y: float) -> float:
        p, q = math.hypot(x, z), math.hypot(y, z)
        total = y * p * math.atan(y / p) + x * q * math.atan(x / q) - z * z / 2 * math.log(x * x + y * y + z * z)
        return total / (2 * math.pi)

    return _corner_sum(one, two, i, j, g)


def _corner_sum(one: Rectangle, two: Rectangle, i: int, j: int, g) -> float:
    total = 0.0
    for a, b, c, d in itertools.product(range(2), repeat=4):
        x = (one.low[i], one.high[i])[a] - (two.low[i], two.high[i])[b]
        y = (one.low[j], one.high[j])[c] - (two.low[j], two.high[j])[d]
        total += (-1) ** (a + b + c + d) * g(x, y)
    return total


def _perpendicular(one: Rectangle, two: Rectangle) -> float:
    """Edges common to both run along `k`; out of the line where the planes meet, u lies in one and w in two."""
    k = 3 - one.axis - two.axis
    edge_u, edge_w = two.low[two.axis], one.low[one.axis]
    us = sorted(abs(v - edge_u) for v in (one.low[two.axis], one.high[two.axis]))
    ws = sorted(abs(v - edge_w) for v in (two.low[one.axis], two.high[one.axis]))

    def g(x: float, u: float, w: float) -> float:
        c = math.hypot(u, w)
        if c == 0:
            return 0.0 if x == 0 else x * x * math.log(x * x) / 4 / (2 * math.pi)
        square = x * x
        value = x * c * math.atan(x / c) + (square - c * c) / 4 * math.log(square + c * c)
        return value / (2 * math.pi)

    total = 0.0
    for a, b, c, d in itertools.product(range(2), repeat=4):
        x = (one.low[k], one.high[k])[a] - (two.low[k], two.high[k])[b]
        total += (-1) ** (a + b + c + d) * g(x, us[c], ws[d])
    return abs(total)
