"""The most probable room from any set of readings, how sure it is, and which readings do not agree.

The datum: corner 1 at (0, 0), wall 1 along +x. Standard deviations and ellipses are those that the readings' own
stated accuracy implies (a priori); they are not scaled by how well this room happened to fit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trimwright.errors import RoomFileError
from trimwright.room import PlanPoint
from trimwright.survey.blunder import UNCHECKED, Suspect, search, standardized
from trimwright.survey.chance import DETECTABLE, ELLIPSE_95, chi_square_survival
from trimwright.survey.closing import SQUARE, ClosingGap, closing_gap
from trimwright.survey.mending import misread_corners
from trimwright.survey.network import Array, Mask, NotHeld, Solution, Tie, held, solve, values
from trimwright.survey.reading import Kind, Reading, assumed
from trimwright.survey.ties import Shape, angle_tie, corner_values, first_guess, shape_of, tie, wall_tie
from trimwright.survey.wanted import best_reading, loose_covariance

__all__ = ["Check", "Ellipse", "Survey", "adjust"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One reading after adjustment: what the room makes of it, and how far the other readings check it.

    `difference` is as read less adjusted. `redundancy` runs from 0 (nothing else checks it) to 1; `w` is the
    standardized residual; `detectable` is the least slip that would be noticed four times in five, None if none would.
    """

    reading: Reading
    adjusted: float
    difference: float
    redundancy: float
    w: float
    detectable: float | None


@dataclass(frozen=True, slots=True)
class Ellipse:
    """Where a corner is with 95 % certainty: half axes in mm, direction of the longer anticlockwise from wall 1."""

    major: float
    minor: float
    direction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """The adjusted room. `angles[k]` is None at a free end; standard deviations go with the values of the same name.

    `gap` is that of the readings walked round as they are; None for an open run, or if a wall was not measured.
    `weak` is True if the shape hangs on corners that were only taken as square; `next_reading` is then the one more
    reading that would do most, with its foreseen value. A survey with `suspects` still has them in its points: take
    them again, or adjust without them.
    """

    closed: bool
    points: tuple[PlanPoint, ...]
    lengths: tuple[float, ...]
    angles: tuple[float | None, ...]
    length_sds: tuple[float, ...]
    angle_sds: tuple[float | None, ...]
    ellipses: tuple[Ellipse, ...]
    checks: tuple[Check, ...]
    freedom: int
    chi_square: float
    gap: ClosingGap | None
    suspects: tuple[Suspect, ...]
    weak: bool
    next_reading: Reading | None

    @property
    def variance_factor(self) -> float:
        """Chi-square over its degrees of freedom: 1 when readings are as good as they are said to be, 0 unchecked."""
        return self.chi_square / self.freedom if self.freedom else 0.0

    @property
    def chance(self) -> float:
        """How often readings of this accuracy disagree as much as these: below 0.05 is worth a second look."""
        return chi_square_survival(self.chi_square, self.freedom)


def adjust(readings: Sequence[Reading], *, closed: bool = True, walls: int | None = None) -> Survey:
    """Weighted least squares of all readings; a corner without one is taken as about square.

    `walls` is the number of walls, if the last ones were not measured. Raises RoomFileError for readings that cannot
    be, for corners read from the wrong side, and for too few readings, naming the one that is wanted.
    """
    shape = shape_of(readings, closed, walls)
    readings = (*readings, *_taken_as_square(readings, shape))
    gap = _closing(readings, shape)
    ties = [tie(r, shape) for r in readings]
    start = first_guess(readings, shape)
    free = np.ones(start.shape, dtype=np.bool_)
    free[0] = free[1, 1] = False
    try:
        solution = solve(ties, start, free)
    except NotHeld:
        raise RoomFileError(_too_few(start, ties, free, shape, readings)) from None
    firm = [t for t, r in zip(ties, readings, strict=True) if r.kind is not Kind.ASSUMED]
    weak = len(firm) < len(ties) and not held(solution.points, firm, free)
    covariance = solution.covariance()
    wanted = best_reading(solution.points, covariance, shape, _unmeasured(readings, shape), readings) if weak else None
    return _survey(readings, ties, solution, covariance, shape, gap, weak, wanted)


def _taken_as_square(readings: Sequence[Reading], shape: Shape) -> list[Reading]:
    """An assumption for every corner nobody spoke of; none in a triangle, whose sides alone fix it."""
    spoken_of = corner_values(readings)
    if shape.usual_angle != SQUARE:
        return []
    return [assumed(c) for c in shape.corners if c not in spoken_of]


def _unmeasured(readings: Sequence[Reading], shape: Shape) -> list[int]:
    """Walls without a length."""
    had = {r.at[0] for r in readings if r.kind is Kind.LENGTH}
    return [w for w in range(shape.walls) if w not in had]


def _closing(readings: Sequence[Reading], shape: Shape) -> ClosingGap | None:
    """The gap of the readings as they are. Raises RoomFileError if corners were read from the wrong side."""
    by_corner = corner_values(readings)
    if not shape.closed or _unmeasured(readings, shape) or len(by_corner) < shape.walls:
        return None
    by_wall = {r.at[0]: r.value for r in readings if r.kind is Kind.LENGTH}
    lengths = [by_wall[w] for w in range(shape.walls)]
    angles = [by_corner[(w + 1) % shape.walls] for w in range(shape.walls)]
    if wrong := misread_corners(lengths, angles):
        measured = {r.at[0] for r in readings if r.kind is Kind.ANGLE}
        raise RoomFileError(_misread(lengths, angles, wrong, measured))
    return closing_gap(lengths, angles)


def _misread(lengths: Sequence[float], angles: Sequence[float], wrong: Sequence[int], measured: set[int]) -> str:
    """What to say of corners read, or taken for granted, from the wrong side."""
    turned = [360 - a if i in wrong else a for i, a in enumerate(angles)]
    closes = f"the room then closes to {closing_gap(lengths, turned).size:.0f} mm"
    if len(wrong) == len(angles):
        every = "internal and external are interchanged at every corner, or the walls are listed from right to left"
        return f"{every}: turn them round; {closes}"
    said = []
    for corner, i in sorted(((i + 1) % len(angles), i) for i in wrong):
        side = "internal" if turned[i] < 180 else "external"
        was = f"read as {angles[i]:.1f}°" if corner in measured else f"taken as {angles[i]:.1f}°, not measured"
        said.append(f"corner {corner + 1} ({was}) must be {side}, about {turned[i]:.1f}° in the room")
    return f"{' and '.join(said)}; {closes}"


def _too_few(start: Array, ties: Sequence[Tie], free: Mask, shape: Shape, readings: Sequence[Reading]) -> str:
    """What to say when the readings leave the room free to move."""
    loose = loose_covariance(start, ties, free)
    wanted = best_reading(start, loose, shape, _unmeasured(readings, shape), readings)
    named = wanted.named() if wanted else "another wall"
    return f"the readings do not fix the room: measure {named}"


def _survey(
    readings: Sequence[Reading],
    ties: Sequence[Tie],
    solution: Solution,
    covariance: Array,
    shape: Shape,
    gap: ClosingGap | None,
    weak: bool,
    wanted: Reading | None,
) -> Survey:
    """Everything that follows from the solution."""
    walls = [wall_tie(shape, w) for w in range(shape.walls)]
    corners = [angle_tie(shape, c, 180.0) for c in shape.corners]
    angles = dict(zip(shape.corners, values(solution.points, corners).tolist(), strict=True))
    angle_sds = dict(zip(shape.corners, solution.deviations(corners).tolist(), strict=True))
    return Survey(
        closed=shape.closed,
        points=tuple((float(x), float(y)) for x, y in solution.points),
        lengths=tuple(values(solution.points, walls).tolist()),
        angles=tuple(angles.get(k) for k in range(shape.points)),
        length_sds=tuple(solution.deviations(walls).tolist()),
        angle_sds=tuple(angle_sds.get(k) for k in range(shape.points)),
        ellipses=tuple(_ellipse(covariance[2 * k : 2 * k + 2, 2 * k : 2 * k + 2]) for k in range(shape.points)),
        checks=_checks(readings, solution),
        freedom=solution.freedom,
        chi_square=solution.chi_square,
        gap=gap,
        suspects=search(readings, ties, solution, lambda kept: first_guess([readings[k] for k in kept], shape)),
        weak=weak,
        next_reading=wanted,
    )


def _checks(readings: Sequence[Reading], solution: Solution) -> tuple[Check, ...]:
    """One for each reading."""
    rows = zip(readings, solution.residuals, solution.redundancy, standardized(solution), strict=True)
    return tuple(
        Check(
            reading=reading,
            adjusted=reading.value - float(off),
            difference=float(off),
            redundancy=float(r),
            w=float(w),
            detectable=DETECTABLE * reading.sd / math.sqrt(r) if r > UNCHECKED else None,
        )
        for reading, off, r, w in rows
    )


def _ellipse(block: Array) -> Ellipse:
    """The 95 % ellipse of one point's 2 x 2 covariance."""
    sizes, axes = np.linalg.eigh(block)
    minor, major = (ELLIPSE_95 * math.sqrt(max(0.0, float(v))) for v in sizes)
    direction = math.degrees(math.atan2(axes[1, 1], axes[0, 1])) % 180
    return Ellipse(major, minor, direction)
