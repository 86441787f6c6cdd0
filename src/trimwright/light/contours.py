"""Lines of equal value on a net of points, and round values to draw them at."""

from __future__ import annotations

import math
from collections import defaultdict

import numpy as np
from numpy.typing import NDArray

__all__ = ["contours", "round_levels"]

Floats = NDArray[np.float64]
Spot = tuple[float, float]

STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
"""Distances between levels, times a power of ten."""

SIDES = {
    1: ((3, 0),),
    2: ((0, 1),),
    3: ((3, 1),),
    4: ((1, 2),),
    6: ((0, 2),),
    7: ((3, 2),),
    8: ((2, 3),),
    9: ((2, 0),),
    11: ((2, 1),),
    12: ((1, 3),),
    13: ((1, 0),),
    14: ((0, 3),),
}
"""By which corners of a cell lie above a level (bits: lower left, lower right, upper right, upper left): the sides that
the line enters and leaves by (0 below, 1 right, 2 above, 3 left). The two saddles are told apart by the middle."""


def round_levels(low: float, high: float, count: int = 8) -> list[float]:
    """About `count` round values between two."""
    if not high > low:
        return []
    rough = (high - low) / count
    unit = 10 ** math.floor(math.log10(rough))
    step = unit * next(s for s in STEPS if s * unit >= rough * 0.999)
    first = math.ceil(low / step + 1e-9)
    return [step * k for k in range(first, math.ceil(high / step)) if low < step * k < high]


def contours(xs: Floats, ys: Floats, values: Floats, level: float) -> list[list[Spot]]:
    """Lines at a level (marching squares, straight between the points); `values` is (columns, rows), nan outside."""
    follows: defaultdict[tuple[int, int, int], list[tuple[int, int, int]]] = defaultdict(list)
    spots: dict[tuple[int, int, int], Spot] = {}
    for i in range(len(xs) - 1):
        for j in range(len(ys) - 1):
            corners = values[[i, i + 1, i + 1, i], [j, j, j + 1, j + 1]]
            if np.isnan(corners).any():
                continue
            for one, two in _crossed(corners, level):
                ends = [_edge(i, j, side) for side in (one, two)]
                for end, side in zip(ends, (one, two), strict=True):
                    spots[end] = _spot(xs, ys, i, j, side, corners, level)
                follows[ends[0]].append(ends[1])
                follows[ends[1]].append(ends[0])
    return [[spots[edge] for edge in line] for line in _joined(follows)]


def _crossed(corners: Floats, level: float) -> tuple[tuple[int, int], ...]:
    above = sum(1 << k for k in range(4) if corners[k] > level)
    if above in (5, 10):
        middle = corners.mean() > level
        return ((3, 2), (1, 0)) if middle == (above == 5) else ((3, 0), (1, 2))
    return SIDES.get(above, ())


def _edge(i: int, j: int, side: int) -> tuple[int, int, int]:
    """One name for the side that two cells share: column, row, and 0 for a level side, 1 for an upright one."""
    return {0: (i, j, 0), 1: (i + 1, j, 1), 2: (i, j + 1, 0), 3: (i, j, 1)}[side]


def _spot(xs: Floats, ys: Floats, i: int, j: int, side: int, corners: Floats, level: float) -> Spot:
    a, b = corners[side], corners[(side + 1) % 4]
    part = float((level - a) / (b - a))
    points = [(xs[i], ys[j]), (xs[i + 1], ys[j]), (xs[i + 1], ys[j + 1]), (xs[i], ys[j + 1])]
    (x0, y0), (x1, y1) = points[side], points[(side + 1) % 4]
    return (float(x0 + part * (x1 - x0)), float(y0 + part * (y1 - y0)))


def _joined(follows: dict[tuple[int, int, int], list[tuple[int, int, int]]]) -> list[list[tuple[int, int, int]]]:
    """Crossings in the order in which each line passes them; open lines first, from an end."""
    left = {edge: list(others) for edge, others in follows.items()}
    lines = []
    for start in sorted(left, key=lambda edge: (len(left[edge]) != 1, edge)):
        line = [start]
        while left[line[-1]]:
            after = left[line[-1]].pop()
            left[after].remove(line[-1])
            line.append(after)
        if len(line) > 1:
            lines.append(line)
    return lines
