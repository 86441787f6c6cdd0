"""Convex outlines in plan: swept along a direction, told apart, and what two of them share."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from trimwright.room import PlanPoint

__all__ = ["Box", "Shape", "apart", "bite", "box_of", "hull", "kept", "meeting", "shared", "swept"]

Shape = Sequence[PlanPoint]

Box = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y."""


def box_of(points: Sequence[PlanPoint]) -> Box:
    """The box round some points."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def apart(a: Box, b: Box) -> bool:
    """True if two boxes share nothing."""
    return a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]


def meeting(boxes: Sequence[Box]) -> Iterator[tuple[int, int]]:
    """Numbers of boxes that share something, two and two with the lower first, found by a sweep along x."""
    active: list[int] = []
    for i in sorted(range(len(boxes)), key=lambda k: boxes[k][0]):
        active = [j for j in active if boxes[j][2] > boxes[i][0]]
        yield from ((min(i, j), max(i, j)) for j in active if not apart(boxes[i], boxes[j]))
        active.append(i)


def hull(points: Sequence[PlanPoint]) -> list[PlanPoint]:
    """The convex hull, anticlockwise (Andrew's chain)."""
    ordered = sorted(set(points))
    return [*_half(ordered), *_half(ordered[::-1])]


def _half(ordered: Sequence[PlanPoint]) -> list[PlanPoint]:
    """One side of a hull, its last point left out."""
    chain: list[PlanPoint] = []
    for p in ordered:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], p) <= 0:
            chain.pop()
        chain.append(p)
    return chain[:-1]


def _turn(a: PlanPoint, b: PlanPoint, c: PlanPoint) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def swept(shape: Shape, by: PlanPoint) -> list[PlanPoint]:
    """All that a shape covers while it is moved straight by a vector."""
    return hull([*shape, *((x + by[0], y + by[1]) for x, y in shape)])


def bite(a: Shape, b: Shape) -> float:
    """How deep two convex outlines lie in each other: the least overlap over their edge normals (separating axes)."""
    depth = float("inf")
    for shape in (a, b):
        for (x0, y0), (x1, y1) in pairwise([*shape, shape[0]]):
            nx, ny = y1 - y0, x0 - x1
            size = (nx * nx + ny * ny) ** 0.5
            if size < 1e-9:
                continue
            (low_a, high_a), (low_b, high_b) = (_reach(s, nx / size, ny / size) for s in (a, b))
            depth = min(depth, high_a - low_b, high_b - low_a)
    return depth


def _reach(shape: Shape, nx: float, ny: float) -> tuple[float, float]:
    places = [x * nx + y * ny for x, y in shape]
    return min(places), max(places)


def shared(a: Shape, b: Shape) -> list[PlanPoint]:
    """What two convex outlines have in common; empty if nothing."""
    points = list(a)
    border = hull(b)
    for start, stop in pairwise([*border, border[0]]):
        points = kept(points, [_turn(start, stop, p) for p in points])
    return points


def kept(points: Sequence[PlanPoint], sides: Sequence[float]) -> list[PlanPoint]:
    """The part of an outline on one side of a line: `sides` are distances of its points from that, positive in it.

    One step of Sutherland and Hodgman's clipping.
    """
    found: list[PlanPoint] = []
    following = zip([*points[1:], *points[:1]], [*sides[1:], *sides[:1]], strict=True)
    for p, at_p, (q, at_q) in zip(points, sides, following, strict=True):
        if at_p >= 0:
            found.append(p)
        if at_p * at_q < 0:
            t = at_p / (at_p - at_q)
            found.append((p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
    return found
