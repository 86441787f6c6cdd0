"""The sides on which a section can lie by itself on a flat bed."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trimwright.profile.outline import Outline, Point
from trimwright.profile.section import Section
from trimwright.tolerance import TOUCH

__all__ = ["Direction", "across", "face_side", "flat_side", "hull", "rests_on"]

Direction = tuple[float, float]
"""A unit vector (out, height) of the section."""

LEAST_PART = 0.5
"""A section rests on what spans at least this part of its width on the bed. Common practice: less rocks."""


def rests_on(outline: Outline, down: Direction) -> bool:
    """True if the section lies still with this side down: wide enough there, its centre of area above it."""
    points = outline.points()
    level = max(_along(down, p) for p in points)
    side = (-down[1], down[0])
    touching = [_along(side, p) for p in points if level - _along(down, p) <= TOUCH]
    every = [_along(side, p) for p in points]
    low, high = min(touching), max(touching)
    wide = high - low >= LEAST_PART * (max(every) - min(every))
    return wide and low < _along(side, outline.centroid) < high


def flat_side(section: Section) -> Direction | None:
    """The direction in which the back looks: off the wall and up if sprung, straight at the wall if upright."""
    if section.flat_back is not None:
        (x0, y0), (x1, y1) = section.flat_back.start, section.flat_back.end
        return _unit(y0 - y1, x1 - x0)
    return (-1.0, 0.0) if rests_on(section.outline, (-1.0, 0.0)) else None


def face_side(section: Section) -> Direction | None:
    """The direction in which the face looks when it lies on its two foremost lines, or None if it rocks so.

    That is the longest edge of the convex hull that looks into the room; of a cornice, into the room and down.
    """
    loop = hull(section.outline.points())
    edges = [
        (math.dist(a, b), _unit(b[1] - a[1], a[0] - b[0])) for a, b in zip(loop, [*loop[1:], loop[0]], strict=True)
    ]
    sprung = section.kind == "cornice"
    facing = [e for e in edges if e[1][0] > 0.1 and (e[1][1] < -0.1 if sprung else abs(e[1][1]) < 0.5)]
    _, down = max(facing, default=(0.0, (0.0, 0.0)))
    return down if facing and rests_on(section.outline, down) else None


def across(down: Direction, lower: bool = False) -> Direction:
    """The direction along the bed towards the upper edge of the section (or the lower) when `down` lies on it."""
    x, y = down[1], -down[0]
    upwards = y > 0
    return (x, y) if upwards is not lower else (-x, -y)


def hull(points: Sequence[Point]) -> list[Point]:
    """Convex hull, anticlockwise (Andrew's monotone chain)."""
    ordered = sorted(set(points))
    chains: list[list[Point]] = []
    for run in (ordered, ordered[::-1]):
        chain: list[Point] = []
        for p in run:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], p) <= 0:
                chain.pop()
            chain.append(p)
        chains.append(chain[:-1])
    return chains[0] + chains[1]


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _along(direction: Direction, point: Point) -> float:
    return direction[0] * point[0] + direction[1] * point[1]


def _unit(x: float, y: float) -> Direction:
    length = math.hypot(x, y)
    return (x / length, y / length)
