"""What was read in the room: lengths, corner angles, diagonals, walls said to be parallel, each with its accuracy.

A `Reading` is one number from the tape or the angle finder. Walls and corners are counted from 0 inside and from 1
in words; corner k is the left end of wall k, and an open run has one corner more than it has walls.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from trimwright.survey.closing import SQUARE

__all__ = [
    "ANGLE_SD",
    "ASSUMED_SD",
    "LENGTH_SD",
    "LENGTH_SD_PER_M",
    "PARALLEL_SD",
    "USUAL",
    "Accuracy",
    "Kind",
    "Reading",
    "angle",
    "assumed",
    "diagonal",
    "length",
    "parallel",
    "room_readings",
]

LENGTH_SD = 1.5
"""Standard deviation of any tape reading: the hook, the bend into a corner, the plaster."""

LENGTH_SD_PER_M = 0.3
"""What each further metre adds: sag, stretch, not quite level. Millimetres per metre."""

ANGLE_SD = 0.3
"""Standard deviation of a corner read with an angle finder, in degrees: its legs span a short bit of wall."""

ASSUMED_SD = 1.5
"""Standard deviation of a corner that is only taken as square, or as whatever it was built to be. Degrees."""

PARALLEL_SD = 0.3
"""Standard deviation of "these walls are parallel", in degrees."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Accuracy:
    """How good the readings of a room are, as standard deviations: two readings in three are better."""

    length: float = LENGTH_SD
    length_per_metre: float = LENGTH_SD_PER_M
    angle: float = ANGLE_SD
    square: float = ASSUMED_SD
    parallel: float = PARALLEL_SD

    def tape(self, value: float) -> float:
        """Standard deviation of a tape reading of this length."""
        return self.length + self.length_per_metre * abs(value) / 1000


USUAL = Accuracy()
"""A steel tape and an angle finder in careful hands."""


class Kind(StrEnum):
    """What sort of reading it is; the last three are in degrees, the first two in millimetres."""

    LENGTH = "wall length"
    DIAGONAL = "diagonal"
    ANGLE = "corner angle"
    ASSUMED = "assumed angle"
    PARALLEL = "parallel walls"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading: `at` holds the wall, the corner, the two corners or the two walls it was taken at."""

    kind: Kind
    at: tuple[int, ...]
    value: float
    sd: float

    @property
    def in_mm(self) -> bool:
        """True for tape readings; the others are in degrees."""
        return self.kind in (Kind.LENGTH, Kind.DIAGONAL)

    @property
    def unit(self) -> str:
        """How its value is written: mm with a space, degrees without."""
        return " mm" if self.in_mm else "°"

    def named(self, walls: Sequence[str] = ()) -> str:
        """The reading in words, with the walls' own names where there are any."""
        first, *rest = self.at
        match self.kind:
            case Kind.LENGTH:
                return f"the length of {_wall(first, walls)}"
            case Kind.DIAGONAL:
                return f"the diagonal {first + 1}-{rest[0] + 1}"
            case Kind.PARALLEL:
                return f"{_wall(first, walls)} parallel to {_wall(rest[0], walls)}"
            case _:
                return f"the angle of corner {first + 1}"


def _wall(index: int, names: Sequence[str]) -> str:
    """ "wall 2", or "wall 2 (door wall)" if it has a name."""
    plain = f"wall {index + 1}"
    name = names[index] if index < len(names) else ""
    return plain if name.lower() in ("", plain) else f"{plain} ({name})"


def length(wall: int, value: float, sd: float | None = None) -> Reading:
    """A wall's length along its face."""
    return Reading(kind=Kind.LENGTH, at=(wall,), value=value, sd=USUAL.tape(value) if sd is None else sd)


def diagonal(start: int, end: int, value: float, sd: float | None = None) -> Reading:
    """The straight distance between two corners."""
    return Reading(kind=Kind.DIAGONAL, at=(start, end), value=value, sd=USUAL.tape(value) if sd is None else sd)


def angle(corner: int, value: float, sd: float = ANGLE_SD) -> Reading:
    """A corner read with an angle finder, as it is in the room: internal below 180, external above."""
    return Reading(kind=Kind.ANGLE, at=(corner,), value=value, sd=sd)


def assumed(corner: int, value: float = SQUARE, sd: float = ASSUMED_SD) -> Reading:
    """A corner nobody measured, taken for square (or for the angle it was built to)."""
    return Reading(kind=Kind.ASSUMED, at=(corner,), value=value, sd=sd)


def parallel(wall: int, other: int, sd: float = PARALLEL_SD) -> Reading:
    """Two walls found or known to be parallel, whichever way they run."""
    return Reading(kind=Kind.PARALLEL, at=(wall, other), value=0.0, sd=sd)


def room_readings(
    lengths: Sequence[float],
    angles: Sequence[float | None],
    diagonals: Iterable[tuple[int, int, float]] = (),
    parallels: Iterable[tuple[int, int]] = (),
    *,
    closed: bool = True,
    accuracy: Accuracy = USUAL,
) -> tuple[Reading, ...]:
    """The readings of a room as its file lists them: each wall with the corner at its right-hand end, then the rest.

    None is a corner nobody measured, taken as square (but not in a triangle); the last wall of an open run has none.
    Diagonals are (corner, corner, length), parallels (wall, wall), all counted from 0.
    """
    count = len(lengths)
    walls = [length(i, value, accuracy.tape(value)) for i, value in enumerate(lengths)]
    turns = [(k % count, value) for k, value in enumerate(angles[: count if closed else count - 1], 1)]
    measured = [angle(k, value, accuracy.angle) for k, value in turns if value is not None]
    triangle = closed and count == 3
    square = [assumed(k, sd=accuracy.square) for k, value in turns if value is None and not triangle]
    across = [diagonal(i, j, value, accuracy.tape(value)) for i, j, value in diagonals]
    return (*walls, *measured, *square, *across, *(parallel(i, j, accuracy.parallel) for i, j in parallels))
