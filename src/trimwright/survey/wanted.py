"""Which one more reading would do most for a room that its readings hold badly or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from trimwright.survey.network import Array, Mask, Tie, jacobian
from trimwright.survey.reading import ANGLE_SD, USUAL, Reading, angle, diagonal, length
from trimwright.survey.ties import Shape, angle_tie, wall_tie

__all__ = ["best_reading", "loose_covariance"]

LOOSE_SD = 1000.0
"""Where nothing holds a corner it is taken as known to this (mm), so that loose corners can be compared."""

MOST_DIAGONALS = 3000
"""In a room of very many corners only so many diagonals are weighed, evenly chosen."""


def loose_covariance(points: Array, ties: Sequence[Tie], free: Mask) -> Array:
    """Covariance of all coordinates when some may be held by nothing: each is given LOOSE_SD as well."""
    mask = free.ravel()
    rows = jacobian(points, ties)[:, mask] / np.array([t.sd for t in ties])[:, None]
    full = np.zeros((mask.size, mask.size))
    full[np.ix_(mask, mask)] = np.linalg.inv(rows.T @ rows + np.eye(rows.shape[1]) / LOOSE_SD**2)
    return full


LEAST_SPAN = 10.0
"""Corners nearer to each other than this (mm) have no direction between them: an open run may end where it began."""


def best_reading(
    points: Array, covariance: Array, shape: Shape, lacking: Sequence[int], done: Sequence[Reading]
) -> Reading | None:
    """The reading that would tell most: whose value is least foreseen, in units of how well it could be read.

    Candidates are diagonals that stay inside the room and were not read, corners and walls that were not. `lacking`
    names the walls without a length. None if there is nothing left to measure.
    """
    had = {(r.kind, frozenset(r.at)) for r in done}
    candidates = [r for r in _candidates(points, shape, lacking) if (r.kind, frozenset(r.at)) not in had]
    if not candidates:
        return None
    ties = [_tie(r, shape) for r in candidates]
    rows = jacobian(points, ties)
    foreseen = np.einsum("ij,ij->i", rows @ covariance, rows) / np.array([t.sd for t in ties]) ** 2
    order = np.argsort(-foreseen, kind="stable")
    ranked = (candidates[i] for i in order)
    return next((r for r in ranked if len(r.at) == 1 or _inside(points, r.at[0], r.at[1], shape.closed)), None)


def _candidates(points: Array, shape: Shape, lacking: Sequence[int]) -> list[Reading]:
    """Everything that could still be measured, with the value it has on these points."""
    pairs = [
        (i, j)
        for i, j in combinations(range(shape.points), 2)
        if j - i > 1 and not (shape.closed and i == 0 and j == shape.points - 1)
    ]
    pairs = pairs[:: 1 + len(pairs) // MOST_DIAGONALS]
    spans = [diagonal(i, j, float(np.hypot(*(points[j] - points[i])))) for i, j in pairs]
    spans = [span for span in spans if span.value > LEAST_SPAN]
    walls = [length(w, float(np.hypot(*(points[shape.ends(w)[1]] - points[w])))) for w in lacking]
    return [*walls, *spans, *(angle(c, 90.0) for c in shape.corners)]


def _tie(reading: Reading, shape: Shape) -> Tie:
    """Its equation, with the accuracy it would have."""
    if not reading.in_mm:
        return angle_tie(shape, reading.at[0], sd=ANGLE_SD)
    if len(reading.at) == 1:
        return wall_tie(shape, reading.at[0], sd=USUAL.tape(reading.value))
    return Tie((reading.at[0], reading.at[1]), reading.value, USUAL.tape(reading.value))


def _inside(points: Array, i: int, j: int, closed: bool) -> bool:
    """True if a tape from corner i to corner j runs through the room: it leaves both into it and crosses no wall."""
    n = len(points)
    a, b = points[i], points[j]
    for k in range(n if closed else n - 1):
        m = (k + 1) % n
        if {k, m} & {i, j}:
            continue
        c, d = points[k], points[m]
        if _side(a, b, c) * _side(a, b, d) < 0 and _side(c, d, a) * _side(c, d, b) < 0:
            return False
    return _leaves_inwards(points, i, b, closed) and _leaves_inwards(points, j, a, closed)


def _leaves_inwards(points: Array, corner: int, to: Array, closed: bool) -> bool:
    """True if the line from a corner lies between its two walls on the room's side (at a free end: always)."""
    n = len(points)
    if not closed and corner in (0, n - 1):
        return True
    at = points[corner]
    towards = (points[corner - 1], points[(corner + 1) % n], to)
    back, ahead, line = (float(np.arctan2(p[1] - at[1], p[0] - at[0])) for p in towards)
    turn = 2 * np.pi
    return 0 < (line - back) % turn < (ahead - back) % turn


def _side(a: Array, b: Array, p: Array) -> float:
    """Positive if p lies left of the line from a to b."""
    return float((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]))
