"""From readings to equations: which points each reading ties together, and a first guess of where they are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trimwright.errors import RoomFileError
from trimwright.survey.closing import SQUARE, on_first_wall, shared_out, walk
from trimwright.survey.network import Array, Tie
from trimwright.survey.reading import Kind, Reading

__all__ = ["Shape", "angle_tie", "corner_values", "first_guess", "shape_of", "tie", "wall_tie"]


@dataclass(frozen=True, slots=True)
class Shape:
    """How many walls, and whether they close; knows which two points a wall runs between."""

    walls: int
    closed: bool

    @property
    def points(self) -> int:
        """Corner points: an open run has one more than walls."""
        return self.walls if self.closed else self.walls + 1

    @property
    def corners(self) -> range:
        """The corners that have an angle: all of a closed room, those between the ends of an open run."""
        return range(self.walls) if self.closed else range(1, self.walls)

    @property
    def usual_angle(self) -> float:
        """What an unmeasured corner is like: square, but a triangle has no room for that."""
        return 60.0 if self.closed and self.walls == 3 else SQUARE

    def ends(self, wall: int) -> tuple[int, int]:
        """Left and right corner of a wall."""
        return wall, (wall + 1) % self.points


def shape_of(readings: Sequence[Reading], closed: bool, walls: int | None) -> Shape:
    """The shape the readings speak of. Raises RoomFileError naming a reading of a wall or corner that is not there."""
    if walls is None:
        walls = 1 + max((r.at[0] for r in readings if r.kind is Kind.LENGTH), default=-1)
    if walls < (3 if closed else 1):
        raise RoomFileError(
            f"a {'closed room' if closed else 'run'} needs at least {3 if closed else 1} walls: {walls} given"
        )
    shape = Shape(walls, closed)
    for reading in readings:
        _refuse(reading, shape)
    return shape


def _refuse(reading: Reading, shape: Shape) -> None:
    """Raise RoomFileError for a reading that cannot be."""
    of_walls = reading.kind in (Kind.LENGTH, Kind.PARALLEL)
    if of_walls:
        there: Sequence[int] = range(shape.walls)
    else:
        there = range(shape.points) if reading.kind is Kind.DIAGONAL else shape.corners
    noun = "wall" if of_walls else "corner"
    if any(i not in there for i in reading.at):
        raise RoomFileError(f"{reading.named()}: there is no such {noun}; they are {there[0] + 1} to {there[-1] + 1}")
    if len(set(reading.at)) < len(reading.at):
        raise RoomFileError(f"{reading.named()}: it needs two different {noun}s")
    if reading.in_mm and not 0 < reading.value < math.inf:
        raise RoomFileError(f"{reading.named()} is {reading.value:g} mm; it must be a length above 0")
    if reading.kind in (Kind.ANGLE, Kind.ASSUMED) and not 0 < reading.value < 360:
        raise RoomFileError(f"{reading.named()} is {reading.value:g}°; it must lie between 0 and 360")
    if not 0 < reading.sd < math.inf:
        raise RoomFileError(f"{reading.named()}: its standard deviation is {reading.sd:g}; it must be above 0")


def wall_tie(shape: Shape, wall: int, value: float = 0.0, sd: float = 1.0) -> Tie:
    """The length of a wall."""
    return Tie(shape.ends(wall), value, sd)


def angle_tie(shape: Shape, corner: int, value: float = SQUARE, sd: float = 1.0) -> Tie:
    """The angle in the room at a corner: from the wall on its left (seen backwards) anticlockwise to the next."""
    before, after = (corner - 1) % shape.points, (corner + 1) % shape.points
    return Tie((corner, before, corner, after), value, sd)


def tie(reading: Reading, shape: Shape) -> Tie:
    """The equation of one reading."""
    first, *rest = reading.at
    match reading.kind:
        case Kind.LENGTH:
            return wall_tie(shape, first, reading.value, reading.sd)
        case Kind.DIAGONAL:
            return Tie((first, rest[0]), reading.value, reading.sd)
        case Kind.PARALLEL:
            return Tie((*shape.ends(first), *shape.ends(rest[0])), reading.value, reading.sd, period=180.0)
        case _:
            return angle_tie(shape, first, reading.value, reading.sd)


def corner_values(readings: Sequence[Reading]) -> dict[int, float]:
    """Each corner's angle as read; where it was not, as assumed."""
    by_trust = sorted(readings, key=lambda r: r.kind is Kind.ANGLE)
    return {r.at[0]: r.value for r in by_trust if r.kind in (Kind.ANGLE, Kind.ASSUMED)}


def first_guess(readings: Sequence[Reading], shape: Shape) -> Array:
    """Corner points good enough to start from: the walk round the walls, its gap shared out, wall 1 along +x.

    Repeated readings count by their last. A lone corner without a reading gets what the angle sum leaves, several
    are square; walls without one get what closes the room, or else the mean of the others.
    """
    lengths = {r.at[0]: r.value for r in readings if r.kind is Kind.LENGTH}
    angles = corner_values(readings)
    if shape.closed and len(lone := [c for c in shape.corners if c not in angles]) == 1:
        angles[lone[0]] = 180.0 * (shape.walls - 2) - sum(angles.values())
    turns = [angles.get((i + 1) % shape.points, shape.usual_angle) for i in range(shape.walls)]
    missing = [i for i in range(shape.walls) if i not in lengths]
    usual = sum(lengths.values()) / len(lengths) if lengths else 1000.0
    sizes = [lengths.get(i, usual) for i in range(shape.walls)]
    if missing and shape.closed:
        sizes = _closing_lengths(sizes, turns, missing)
    points = walk(sizes, turns)
    return np.array(on_first_wall(shared_out(points)[:-1] if shape.closed else points))


def _closing_lengths(sizes: list[float], turns: Sequence[float], missing: Sequence[int]) -> list[float]:
    """The missing lengths changed as little as will close the room; none below a tenth of what was guessed."""
    points = np.array(walk(sizes, turns))
    steps = np.diff(points, axis=0)
    along = (steps / np.linalg.norm(steps, axis=1)[:, None])[list(missing)]
    change = np.linalg.lstsq(along.T, points[0] - points[-1], rcond=None)[0]
    closing = list(sizes)
    for wall, by in zip(missing, change, strict=True):
        closing[wall] = max(sizes[wall] + float(by), 0.1 * sizes[wall])
    return closing
