"""Rooms of known shape and readings of them with known errors, for the survey's tests."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from trimwright.room import PlanPoint
from trimwright.survey.closing import on_first_wall
from trimwright.survey.reading import Reading, angle, diagonal, length

RECTANGLE = ((0, 0), (4600, 0), (4600, -3600), (0, -3600))
L_SHAPE = ((0, 0), (5200, 0), (5200, -2400), (3100, -2400), (3100, -4300), (0, -4300))
CHIMNEY_BREAST = ((0, 0), (1400, 0), (1400, -350), (3000, -350), (3000, 0), (4800, 0), (4800, -3900), (0, -3900))
BAY = ((0, 0), (900, 0), (1500, 600), (3300, 600), (3900, 0), (4800, 0), (4800, -4100), (0, -4100))


def out_of_square(
    corners: Sequence[tuple[float, float]], rng: np.random.Generator, sd: float = 8.0
) -> tuple[PlanPoint, ...]:
    """A room as built: every corner of the drawing off by a couple of centimetres, wall 1 along +x."""
    return on_first_wall([(x + rng.normal(0, sd), y + rng.normal(0, sd)) for x, y in corners])


def true_length(points: Sequence[PlanPoint], i: int, j: int) -> float:
    return math.dist(points[i % len(points)], points[j % len(points)])


def true_angle(points: Sequence[PlanPoint], k: int) -> float:
    """The angle in the room at corner k by the law of cosines, and by the sign of the turn which side it is on."""
    a, b, c = points[k - 1], points[k], points[(k + 1) % len(points)]
    u, v, w = math.dist(a, b), math.dist(b, c), math.dist(a, c)
    internal = math.degrees(math.acos((u * u + v * v - w * w) / (2 * u * v)))
    left_turn = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) > 0
    return 360 - internal if left_turn else internal


def exact(points: Sequence[PlanPoint], diagonals: Sequence[tuple[int, int]] = (), angles: bool = True) -> list[Reading]:
    """Every wall, every corner if wanted, and some diagonals, without error."""
    n = len(points)
    readings = [length(i, true_length(points, i, i + 1)) for i in range(n)]
    if angles:
        readings += [angle(k, true_angle(points, k)) for k in range(n)]
    return readings + [diagonal(i, j, true_length(points, i, j)) for i, j in diagonals]


def with_errors(readings: Sequence[Reading], rng: np.random.Generator) -> list[Reading]:
    """The same readings as a careful person would get them: each off by a normal error of its own deviation."""
    return [off_by(r, float(rng.normal(0, r.sd))) for r in readings]


def off_by(reading: Reading, error: float) -> Reading:
    return Reading(kind=reading.kind, at=reading.at, value=reading.value + error, sd=reading.sd)
