"""Least squares for points in a plane tied together by distances and by differences of bearing.

Notation (the usual one of adjustment): J is the matrix of derivatives with every row divided by its standard
deviation, b the same for observed less computed. A step s solves JᵀJ s = Jᵀb; being repeated it mends its own rounding.
The statistics come from J = QR at the end, so that long rooms lose no digits: the cofactors of the coordinates are
R⁻¹R⁻ᵀ; since QQᵀ projects onto what the coordinates can explain, 1 - |row of Q|² is how far a reading is checked by
the others (its redundancy number).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Array", "Mask", "NotHeld", "Solution", "Tie", "held", "jacobian", "solve", "values"]

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

NOT_HELD = 1e6
"""A coordinate less certain than this (mm) is held by nothing. Any room is far smaller."""

STEP = 1e-7
"""The iteration ends when no coordinate moves by more than this (mm)."""

MOST_STEPS = 60

ROUNDING = 1e-9
"""A sum of squares that grows by less than this part of itself has not grown."""

LEAST_DAMPING, MOST_DAMPING = 1e-9, 1e9
"""Damping of a step near the solution (no matter), and when it must be so small that it changes nothing."""


class NotHeld(Exception):
    """The ties leave some point free to move; for callers inside the survey, who can say what to measure."""


@dataclass(frozen=True, slots=True)
class Tie:
    """One equation: the distance between two points, or by how much the second of two lines turns from the first.

    `points` is (p, q) for |pq|, or (p, q, r, s) for the bearing of rs less that of pq in degrees, counted
    anticlockwise and known only to whole `period`s.
    """

    points: tuple[int, ...]
    value: float
    sd: float
    period: float = 360.0


@dataclass(frozen=True, slots=True)
class Solution:
    """The adjusted points, the residuals (observed less adjusted, in mm or degrees), and their statistics.

    `basis` and `spread` are Q and R⁻¹ of the last step; `free` marks the coordinates that could move.
    """

    points: Array
    residuals: Array
    whitened: Array
    basis: Array
    spread: Array
    free: Mask

    @property
    def redundancy(self) -> Array:
        """How far each reading is checked by the others: 0 not at all, 1 wholly. They add up to the freedom."""
        return np.asarray(np.clip(1 - np.einsum("ij,ij->i", self.basis, self.basis), 0.0, 1.0))

    @property
    def chi_square(self) -> float:
        """Sum of squares of the residuals in units of their standard deviations."""
        return float(self.whitened @ self.whitened)

    @property
    def freedom(self) -> int:
        """Degrees of freedom: readings less unknowns."""
        readings, unknowns = self.basis.shape
        return int(readings - unknowns)

    def covariance(self) -> Array:
        """Covariance of all coordinates (x0, y0, x1, ...) with the standard deviations as given; fixed ones are 0."""
        where = np.flatnonzero(self.free.ravel())
        full = np.zeros((self.free.size, self.free.size))
        full[np.ix_(where, where)] = self.spread @ self.spread.T
        return full

    def deviations(self, ties: Sequence[Tie]) -> Array:
        """Standard deviation of what each tie measures, after adjustment."""
        rows = jacobian(self.points, ties)[:, self.free.ravel()] @ self.spread
        return np.asarray(np.sqrt(np.einsum("ij,ij->i", rows, rows)))


def _split(ties: Sequence[Tie]) -> tuple[list[int], list[int]]:
    """Row numbers of the distances and of the bearings."""
    distances = [i for i, t in enumerate(ties) if len(t.points) == 2]
    return distances, [i for i, t in enumerate(ties) if len(t.points) == 4]


def values(points: Array, ties: Sequence[Tie]) -> Array:
    """What each tie measures on these points; a bearing difference is brought within half a period of its reading."""
    distances, turns = _split(ties)
    found = np.zeros(len(ties))
    if distances:
        p, q = np.array([ties[i].points for i in distances]).T
        found[distances] = np.hypot(*(points[q] - points[p]).T)
    if turns:
        p, q, r, s = np.array([ties[i].points for i in turns]).T
        read = np.array([ties[i].value for i in turns])
        period = np.array([ties[i].period for i in turns])
        first, second = points[q] - points[p], points[s] - points[r]
        turned = np.degrees(np.arctan2(second[:, 1], second[:, 0]) - np.arctan2(first[:, 1], first[:, 0]))
        found[turns] = read + (turned - read + period / 2) % period - period / 2
    return found


def jacobian(points: Array, ties: Sequence[Tie]) -> Array:
    """Derivatives of `values` by all coordinates (x0, y0, x1, ...), in mm or degrees per mm."""
    distances, turns = _split(ties)
    rows = np.zeros((len(ties), *points.shape))
    if distances:
        p, q = np.array([ties[i].points for i in distances]).T
        line = points[q] - points[p]
        unit = line / np.hypot(line[:, 0], line[:, 1])[:, None]
        np.add.at(rows, (distances, q), unit)
        np.add.at(rows, (distances, p), -unit)
    if turns:
        p, q, r, s = np.array([ties[i].points for i in turns]).T
        for a, b, sign in ((p, q, -1.0), (r, s, 1.0)):
            line = points[b] - points[a]
            across = np.stack([-line[:, 1], line[:, 0]], axis=1)
            slope = sign * np.degrees(across / np.sum(line**2, axis=1)[:, None])
            np.add.at(rows, (turns, b), slope)
            np.add.at(rows, (turns, a), -slope)
    return rows.reshape(len(ties), points.size)


def solve(ties: Sequence[Tie], start: Array, free: Mask, most_steps: int = MOST_STEPS) -> Solution:
    """Gauss-Newton from `start`, moving only the coordinates marked `free`; damped (Levenberg-Marquardt) where a
    whole step would make the fit worse. Raises NotHeld if the ties do not fix every free coordinate.
    """
    mask = free.ravel()
    if len(ties) < np.count_nonzero(mask):
        raise NotHeld
    read = np.array([t.value for t in ties])
    sds = np.array([t.sd for t in ties])
    points = start.astype(float)
    off = (read - values(points, ties)) / sds
    rows = jacobian(points, ties)[:, mask] / sds[:, None]
    _inverse(_triangle(rows))
    damping = LEAST_DAMPING
    for _ in range(most_steps):
        step = np.zeros(mask.size)
        step[mask] = _step(rows, off, damping)
        if float(np.abs(step).max(initial=0.0)) < STEP:
            break
        there = points + step.reshape(points.shape)
        new = (read - values(there, ties)) / sds
        if float(new @ new) > float(off @ off) * (1 + ROUNDING) and damping < MOST_DAMPING:
            damping = max(10 * damping, 1e-3)
            continue
        points, off, damping = there, new, max(damping / 10, LEAST_DAMPING)
        rows = jacobian(points, ties)[:, mask] / sds[:, None]
    basis, triangle = np.linalg.qr(rows)
    return Solution(points, off * sds, off, basis, _inverse(triangle), free)


def _step(rows: Array, off: Array, damping: float) -> Array:
    """One step, each coordinate held back in proportion to its own weight."""
    normal = rows.T @ rows
    normal[np.diag_indices_from(normal)] *= 1 + damping
    return np.asarray(np.linalg.solve(normal, rows.T @ off), dtype=np.float64)


def held(points: Array, ties: Sequence[Tie], free: Mask) -> bool:
    """True if the ties fix every free coordinate near these points."""
    mask = free.ravel()
    if len(ties) < int(mask.sum()):
        return False
    sds = np.array([t.sd for t in ties])
    try:
        _inverse(_triangle(jacobian(points, ties)[:, mask] / sds[:, None]))
    except NotHeld:
        return False
    return True


def _triangle(rows: Array) -> Array:
    """R of J = QR."""
    return np.asarray(np.linalg.qr(rows, mode="r"), dtype=np.float64)


def _inverse(triangle: Array) -> Array:
    """R⁻¹, whose rows are as long as the coordinates are uncertain. Raises NotHeld if one is held by nothing."""
    if triangle.size and not np.abs(np.diag(triangle)).min() > 1 / NOT_HELD:
        raise NotHeld
    spread: Array = np.linalg.solve(triangle, np.eye(len(triangle))).astype(np.float64)
    if np.einsum("ij,ij->i", spread, spread).max(initial=0.0) > NOT_HELD**2:
        raise NotHeld
    return spread
