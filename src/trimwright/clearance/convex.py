"""The two convex shapes that everything in the way is made of: upright prisms and round rods.

Each answers two questions exactly, for many points or directions at once: which point of it is nearest, and which
point lies furthest that way. No arc is divided: a rod is round.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

__all__ = ["Convex", "Points", "Prism", "Rod", "arc_points"]

Points = NDArray[np.float64]
"""Rows of three coordinates."""


@dataclass(frozen=True, eq=False)
class Prism:
    """A convex plan polygon, either way round, carried from one height to another."""

    plan: Points
    bottom: float
    top: float

    @cached_property
    def _edges(self) -> tuple[Points, Points, Points]:
        """Start, direction and squared length of each edge, the polygon anticlockwise."""
        x, y = self.plan.T
        turned = self.plan if np.dot(x, np.roll(y, -1)) >= np.dot(y, np.roll(x, -1)) else self.plan[::-1]
        along = np.roll(turned, -1, axis=0) - turned
        return turned, along, np.maximum((along**2).sum(axis=1), 1e-30)

    def nearest(self, points: Points) -> Points:
        """The point of it nearest to each of the points; a point in it is its own."""
        start, along, squared = self._edges
        away = points[:, None, :2] - start
        inside = (along[:, 0] * away[..., 1] - along[:, 1] * away[..., 0] >= 0).all(axis=1)
        part = np.clip((away * along).sum(axis=2) / squared, 0.0, 1.0)
        on_edge = start + part[..., None] * along
        best = ((points[:, None, :2] - on_edge) ** 2).sum(axis=2).argmin(axis=1)
        found = points.copy()
        outside = ~inside
        found[outside, :2] = on_edge[outside, best[outside]]
        found[:, 2] = np.clip(points[:, 2], self.bottom, self.top)
        return found

    def furthest(self, directions: Points) -> Points:
        """The point of it that lies furthest in each direction."""
        corner = (directions[:, :2] @ self.plan.T).argmax(axis=1)
        height = np.where(directions[:, 2] >= 0, self.top, self.bottom)
        return np.column_stack([self.plan[corner], height])

    def mapped(self, change: Callable[[Points], Points]) -> Prism:
        """The same prism told in another upright frame."""
        raised = np.column_stack([self.plan, np.zeros(len(self.plan))])
        return Prism(change(raised)[:, :2], self.bottom, self.top)

    def moved(self, by: Points) -> Prism:
        """The same prism elsewhere."""
        return Prism(self.plan + by[:2], self.bottom + by[2], self.top + by[2])

    @property
    def box(self) -> Points:
        """Least and greatest coordinates, two rows."""
        return np.array([[*self.plan.min(0), self.bottom], [*self.plan.max(0), self.top]])


@dataclass(frozen=True, eq=False)
class Rod:
    """A round bar from `start` to `end`, each end flat, or round as where a pipe bends."""

    start: Points
    end: Points
    radius: float
    round_start: bool = False
    round_end: bool = False

    @cached_property
    def _axis(self) -> tuple[Points, float]:
        length = float(np.linalg.norm(self.end - self.start))
        return (self.end - self.start) / length, length

    def nearest(self, points: Points) -> Points:
        """The point of it nearest to each of the points; a point in it is its own."""
        axis, length = self._axis
        along = (points - self.start) @ axis
        on_axis = self.start + np.clip(along, 0.0, length)[:, None] * axis
        flat = ((along < 0) & (not self.round_start)) | ((along > length) & (not self.round_end))
        # Beyond a flat end the way to the rim runs in the plane of the end; else straight to the axis.
        foot = self.start + along[:, None] * axis
        away = points - np.where(flat[:, None], foot, on_axis)
        far = np.linalg.norm(away, axis=1)
        scale = np.minimum(1.0, self.radius / np.maximum(far, 1e-30))
        # Where it is its own nearest point, the axis point plus the whole of `away` is the point again.
        return np.asarray(on_axis + away * scale[:, None])

    def furthest(self, directions: Points) -> Points:
        """The point of it that lies furthest in each direction."""
        axis, _ = self._axis
        ahead = directions @ axis
        ends = np.where(ahead[:, None] >= 0, self.end, self.start)
        rounded = np.where(ahead >= 0, self.round_end, self.round_start)
        across = directions - np.where(rounded, 0.0, ahead)[:, None] * axis
        size = np.linalg.norm(across, axis=1)
        unit = across / np.maximum(size, 1e-30)[:, None]
        return np.asarray(ends + np.where(size > 1e-12, self.radius, 0.0)[:, None] * unit)

    def mapped(self, change: Callable[[Points], Points]) -> Rod:
        """The same rod told in another upright frame."""
        start, end = change(np.array([self.start, self.end]))
        return Rod(start, end, self.radius, self.round_start, self.round_end)

    def moved(self, by: Points) -> Rod:
        """The same rod elsewhere."""
        return Rod(self.start + by, self.end + by, self.radius, self.round_start, self.round_end)

    @property
    def box(self) -> Points:
        """Least and greatest coordinates, two rows."""
        axis, _ = self._axis
        flat = self.radius * np.sqrt(np.maximum(0.0, 1 - axis**2))
        reach = [self.radius if rounded else flat for rounded in (self.round_start, self.round_end)]
        low = np.minimum(self.start - reach[0], self.end - reach[1])
        high = np.maximum(self.start + reach[0], self.end + reach[1])
        return np.array([low, high])


Convex = Prism | Rod
"""Either."""


def arc_points(
    centre: tuple[float, float], radius: float, first: float, last: float, within: float
) -> list[tuple[float, float]]:
    """Points along an arc from one direction (radians) to another, chords within `within` of it."""
    step = 2 * math.acos(max(-1.0, 1 - within / radius)) if radius > within else math.pi / 2
    count = max(1, math.ceil(abs(last - first) / step))
    angles = [first + (last - first) * k / count for k in range(count + 1)]
    return [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]
