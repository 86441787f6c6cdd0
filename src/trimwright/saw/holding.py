"""Ways to hold a length of trim on a mitre saw: which side of the section lies on the bed, which at the fence.

The saw's frame: x to the right and y away from the one who stands at it, z up; the fence stands at the back, the
bed lies below. The two directions of a holding settle everything, left and right included: a length of trim is
turned and never mirrored, and (station, out, height) is a left-handed frame while the saw's is right-handed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from trimwright.profile.outline import Point
from trimwright.profile.section import Section
from trimwright.saw.rests import Direction, across, face_side, flat_side, rests_on

__all__ = ["Holding", "Method", "held", "ways_to_hold"]

Row = tuple[float, float, float]

LEFT, UP, DOWN = (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)
"""Directions in the section, wall to the left."""


class Method(StrEnum):
    """How the piece is held."""

    STANDING = "standing"
    NESTED = "nested"
    FLAT = "flat"
    HAND = "hand"


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """One way of holding. `down` and `rear` are the directions (out, height) of the section that face bed and fence.

    `height` is what must pass before the fence and `depth` what must lie on the bed, mm.
    """

    method: Method
    down: Direction
    rear: Direction
    on_bed: str
    against_fence: str
    height: float
    depth: float

    @property
    def turned_round(self) -> bool:
        """True if the piece's left end points to the saw's right."""
        (down_out, down_up), (rear_out, rear_up) = self.down, self.rear
        return down_out * rear_up - down_up * rear_out > 0

    @property
    def turn(self) -> tuple[Row, Row, Row]:
        """Rows of the matrix that carries (station, out, height) into (x, y, z)."""
        return (
            (-1.0 if self.turned_round else 1.0, 0.0, 0.0),
            (0.0, *self.rear),
            (0.0, -self.down[0], -self.down[1]),
        )

    def foot(self, points: Sequence[Point]) -> Point:
        """The point (out, height) where bed and fence meet, with a section of these points pushed into both."""
        down, rear = max(_along(self.down, p) for p in points), max(_along(self.rear, p) for p in points)
        return (down * self.down[0] + rear * self.rear[0], down * self.down[1] + rear * self.rear[1])

    def lying(self, point: Point, foot: Point) -> Point:
        """(y, z) at the saw of a point of the section, from where bed and fence meet."""
        shift = (point[0] - foot[0], point[1] - foot[1])
        return (_along(self.rear, shift), -_along(self.down, shift))


def held(
    section: Section, method: Method, down: Direction, rear: Direction, on_bed: str, against_fence: str
) -> Holding:
    """A holding of a section, measured."""
    points = section.outline.points()
    downs, rears = [_along(down, p) for p in points], [_along(rear, p) for p in points]
    return Holding(
        method=method,
        down=down,
        rear=rear,
        on_bed=on_bed,
        against_fence=against_fence,
        height=max(downs) - min(downs),
        depth=max(rears) - min(rears),
    )


def ways_to_hold(section: Section) -> tuple[Holding, ...]:
    """Every way a section can be held, the preferred one first.

    A cornice is nested, upside down at its own drop and projection; then laid on its back or its face. Anything
    else stands with its back against the fence; then it lies. Common practice.
    """
    return tuple(_cornice(section) if section.kind == "cornice" else _upright(section))


def _cornice(section: Section) -> Iterator[Holding]:
    low, high = "wall edge", "ceiling edge"
    yield held(section, Method.NESTED, UP, LEFT, high, low)
    yield from _lying(section, low, high)
    if section.flat_back is None and rests_on(section.outline, LEFT):
        yield held(section, Method.STANDING, DOWN, LEFT, low, "back")


def _upright(section: Section) -> Iterator[Holding]:
    low, high = "bottom edge", "top edge"
    yield held(section, Method.STANDING, DOWN, LEFT, low, "back")
    yield held(section, Method.STANDING, UP, LEFT, high, "back")
    yield from _lying(section, low, high)


def _lying(section: Section, low: str, high: str) -> Iterator[Holding]:
    """Back down, then face down, if it rests so; each with its upper edge at the fence, then with its lower."""
    for name, down in (("back", flat_side(section)), ("face", face_side(section))):
        if down is not None:
            for edge, rear in ((high, across(down)), (low, across(down, lower=True))):
                yield held(section, Method.FLAT, down, rear, name, edge)


def _along(direction: Direction, point: Point) -> float:
    return direction[0] * point[0] + direction[1] * point[1]
