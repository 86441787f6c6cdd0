"""Two faults of a room file that arithmetic can mend: corners nobody measured, and corners read from the wrong side.

Light on purpose (no numpy), beside `closing`, whose conventions hold: corner i of the lists is at the right-hand
end of wall i, None was not measured.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

from trimwright.survey.closing import SQUARE, closing_gap, walk

__all__ = ["filled_in", "misread_corners"]

Row = tuple[float, float, float]

SQUARE_SD, GAP_SD, SUM_SD = 1.5, 2.0, 0.5
"""How far an unmeasured corner is from square (degrees), the gap of a good room (mm), its angle sum (degrees)."""

SUM_OFF = 8.0
"""An angle sum off by more than this (degrees) is no measuring error but a corner read from the wrong side."""

GAP_OFF = 0.02
"""A room whose gap is more than this part of its perimeter does not close in any sense."""

MOST_CORNERS = 2
"""So many corners are tried at once; more than that and all of them is the likelier story."""


def filled_in(lengths: Sequence[float], angles: Sequence[float | None]) -> tuple[float, ...]:
    """The angles with each missing one made the most probable: near square, yet such that the closed room closes.

    Wanted when a fitter gives some corners and leaves the rest as "about 90": one or two left out are then as good
    as measured. Bayes' rule with square ± 1.5° before, the gap ± 2 mm and the angle sum ± 0.5° as evidence, made
    linear and repeated (an iterated Kalman update, three equations whatever the number of corners).
    """
    missing = [i for i, a in enumerate(angles) if a is None]
    now = [SQUARE if a is None else a for a in angles]
    for _ in range(8 if missing else 0):
        points = walk(lengths, now)
        gap = closing_gap(lengths, now)
        rows = [_turning(points, i, len(lengths)) for i in missing]
        moved = [now[i] - SQUARE for i in missing]
        lack = [
            sum(r[k] * m for r, m in zip(rows, moved, strict=True)) - off
            for k, off in enumerate((gap.dx, gap.dy, gap.angle_error))
        ]
        noise = (GAP_SD**2, GAP_SD**2, SUM_SD**2)
        known = [
            [SQUARE_SD**2 * sum(r[j] * r[k] for r in rows) + (noise[k] if j == k else 0.0) for k in range(3)]
            for j in range(3)
        ]
        pull = _solve3(known, lack)
        for i, row in zip(missing, rows, strict=True):
            now[i] = SQUARE + SQUARE_SD**2 * sum(r * p for r, p in zip(row, pull, strict=True))
    return tuple(now)


def _turning(points: Sequence[tuple[float, float]], corner: int, walls: int) -> Row:
    """How the gap (x, y) and the angle sum change per degree of one corner: all that follows it swings about it."""
    if corner == walls - 1:
        return (0.0, 0.0, 1.0)
    (x, y), (ex, ey) = points[corner + 1], points[-1]
    return (-math.radians(ey - y), math.radians(ex - x), 1.0)


def _solve3(m: list[list[float]], v: list[float]) -> tuple[float, float, float]:
    """Three linear equations, by Cramer's rule."""

    def det(a: list[list[float]]) -> float:
        return (
            a[0][0] * (a[1][1] * a[2][2] - a[1][2] * a[2][1])
            - a[0][1] * (a[1][0] * a[2][2] - a[1][2] * a[2][0])
            + a[0][2] * (a[1][0] * a[2][1] - a[1][1] * a[2][0])
        )

    whole = det(m)
    x, y, z = (det([[v[r] if c == k else m[r][c] for c in range(3)] for r in range(3)]) / whole for k in range(3))
    return (x, y, z)


def misread_corners(lengths: Sequence[float], angles: Sequence[float | None]) -> tuple[int, ...]:
    """Corners that must have been read from the wrong side: with 360 - angle there the room closes; () if none.

    All of them means that internal and external are interchanged throughout, or that the walls are listed from
    right to left. Single corners are tried, then pairs, then all, and only if the angles do not add up: two corners
    interchanged with each other add up, and look the same as a wrong wall. (Walls listed from right to left with
    each angle as it is in the room are the room's mirror image, which closes too: no arithmetic can see that.)
    """
    now = [SQUARE if a is None else a for a in angles]
    perimeter = sum(lengths)

    def fault(corners: Sequence[int]) -> float:
        tried = [360 - a if i in corners else a for i, a in enumerate(now)]
        adds_up = abs(sum(tried) - 180 * (len(now) - 2)) <= SUM_OFF
        return closing_gap(lengths, tried).size / perimeter if adds_up else math.inf

    if len(now) < 3 or fault(()) < math.inf:
        return ()
    corners = range(len(now))
    for several in range(1, MOST_CORNERS + 1):
        best = min(combinations(corners, several), key=fault)
        if fault(best) <= GAP_OFF:
            return best
    return tuple(corners) if fault(corners) <= GAP_OFF else ()
