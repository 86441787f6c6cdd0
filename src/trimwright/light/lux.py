"""How bright a level surface gets: illuminance on a net of points, with its mean, least and uniformity.

What comes straight from the channel and what comes by way of the room's patches are each integrated from patch to point
(see `direct.py`), with a ray to see whether anything stands between.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trimwright.light.direct import from_patches, from_strip
from trimwright.light.enclosure import Enclosure, Floats
from trimwright.light.radiosity import Solution
from trimwright.light.trim_faces import Lamp
from trimwright.room import PlanPoint, Room

__all__ = ["BORDER", "LuxMap", "lux_map"]

NET = 250.0
"""Distance between points, mm."""

MOST = 24
"""Most points each way: a large room gets a wider net."""

BORDER = 100.0
"""The net begins this far from the walls, mm, and no point of it comes nearer than half of that."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LuxMap:
    """Illuminance in lx at a height: `direct` and `bounced` as (columns, rows) over `xs` and `ys`; nan outside."""

    height: float
    xs: Floats
    ys: Floats
    direct: Floats
    bounced: Floats

    @property
    def total(self) -> Floats:
        """Direct and bounced together."""
        return np.asarray(self.direct + self.bounced)

    @property
    def mean(self) -> float:
        """Mean over the points in the room."""
        return float(np.nanmean(self.total))

    @property
    def least(self) -> float:
        """The darkest point."""
        return float(np.nanmin(self.total))

    @property
    def uniformity(self) -> float:
        """Least over mean, as lighting standards have it (EN 12464-1, from memory)."""
        return self.least / self.mean if self.mean else 0.0

    @property
    def darkest(self) -> PlanPoint:
        """Plan point of the darkest point."""
        column, row = np.unravel_index(np.nanargmin(self.total), self.total.shape)
        return (float(self.xs[column]), float(self.ys[row]))


def lux_map(room: Room, height: float, space: Enclosure, light: Solution, shining: Sequence[Lamp]) -> LuxMap:
    """The map of one height: a net of points that look up."""
    import shapely

    plan = shapely.Polygon(room.outline(5.0))
    x0, y0, x1, y1 = plan.bounds
    step = max(NET, (max(x1 - x0, y1 - y0) - 2 * BORDER) / MOST)
    xs, ys = (_spread(a + BORDER, b - BORDER, step) for a, b in ((x0, x1), (y0, y1)))
    across, up = np.meshgrid(xs, ys, indexing="ij")
    inside = shapely.contains_xy(plan.buffer(-BORDER / 2, join_style="mitre"), across, up)
    points = np.column_stack([across[inside], up[inside], np.full(inside.sum(), height)])
    looking = np.tile([0.0, 0.0, 1.0], (len(points), 1))
    bounced, direct = np.full(across.shape, np.nan), np.full(across.shape, np.nan)
    bounced[inside] = from_patches(space, points, light.radiosity - space.exitance)
    corners = np.array([lamp.corners for lamp in shining])
    exitance = np.array([lamp.exitance for lamp in shining])
    direct[inside] = from_strip(space, points, looking, corners, exitance)
    return LuxMap(height=height, xs=xs, ys=ys, direct=direct, bounced=bounced)


def _spread(low: float, high: float, step: float) -> Floats:
    return np.linspace(low, high, max(2, round((high - low) / step) + 1))
