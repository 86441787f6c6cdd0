"""Surfaces that give light to each other: patches made of triangles, and rays cast among them.

Triangles are one-sided, anticlockwise as seen from where their light goes. Solids may overlap each other and the walls:
what is buried in one is found by the rays that start there, and does not count.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["LIFT", "Enclosure", "Floats", "Ints", "Patch", "directions", "enclosure", "even"]

Floats = NDArray[np.float64]
AnyFloats = NDArray[np.floating[Any]]
Ints = NDArray[np.intp]

LIFT = 0.3
"""Rays start this far above their surface, mm, so that they do not meet it."""

AT_ONCE = 8192
"""Rays whose starts are worked out together."""

PROBES = 32
"""Rays from a patch to see whether any of it is free."""

SIDE = np.array([0.31, 0.52, 0.80]) / np.linalg.norm([0.31, 0.52, 0.80])
"""A direction that hardly any surface faces: the frame at a point is built from it."""

ROOT = 1.1673039782614187
"""The root of x^5 = x + 1: its powers part four dimensions evenly, as the golden ratio parts one."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Patch:
    """A part of a surface taken as equally bright: `triangles` (k, 3, 3) in mm.

    `reflectance` is the part of light sent back, the same in all directions; `exitance` the light sent out of its
    own, lm/m². `surface` says what it is part of.
    """

    triangles: Floats
    reflectance: float
    surface: str
    exitance: float = 0.0


@dataclass(frozen=True, eq=False)
class Enclosure:
    """Patches together: `triangles` (m, 3, 3) and the patch each belongs to; rows of the other arrays are patches.

    `screens` are triangles that only stand in the way: what lies inside solids.
    """

    triangles: Floats
    screens: Floats
    owner: Ints
    reflectance: Floats
    exitance: Floats
    surface: tuple[str, ...]

    @property
    def count(self) -> int:
        """Number of patches."""
        return len(self.reflectance)

    @cached_property
    def crosses(self) -> Floats:
        """Normal of each triangle, as long as twice its area."""
        a, b, c = np.moveaxis(self.triangles, 1, 0)
        return np.asarray(np.cross(b - a, c - a))

    @cached_property
    def areas(self) -> Floats:
        """Area of each triangle, mm²."""
        return np.asarray(np.linalg.norm(self.crosses, axis=1) / 2)

    @cached_property
    def normals(self) -> Floats:
        """Unit normal of each triangle."""
        return np.asarray(self.crosses / (2 * self.areas[:, None]))

    @cached_property
    def middles(self) -> Floats:
        """Centre of area of each patch."""
        weighted = self.triangles.mean(axis=1) * self.areas[:, None]
        sums = [np.bincount(self.owner, weighted[:, k], self.count) for k in range(3)]
        return np.column_stack(sums) / np.bincount(self.owner, self.areas, self.count)[:, None]

    @cached_property
    def _tree(self) -> Any:
        from embreex.mesh_construction import TriangleMesh
        from embreex.rtcore_scene import EmbreeScene

        scene = EmbreeScene()
        vertices = np.concatenate([self.triangles, self.screens]).reshape(-1, 3).astype(np.float32)
        TriangleMesh(scene, vertices, np.arange(len(vertices), dtype=np.int32).reshape(-1, 3))
        return scene

    def hit(self, origins: Floats, rays: Floats) -> Ints:
        """Patch that each ray meets first from its bright side; -1 for nothing, and for a hit from behind."""
        found = self._tree.run(origins.astype(np.float32), rays.astype(np.float32), query="INTERSECT")
        found[found >= len(self.owner)] = -1
        facing = np.einsum("ij,ij->i", self.normals.take(found, axis=0), rays) < 0
        return np.where((found >= 0) & facing, self.owner.take(found), -1)

    def reach(self, origins: Floats, rays: Floats) -> Floats:
        """How far each ray gets, in lengths of its direction; very large where it meets nothing."""
        return np.asarray(self._tree.run(origins.astype(np.float32), rays.astype(np.float32), query="DISTANCE"), float)

    def blocked(self, origins: AnyFloats, rays: AnyFloats, part: float) -> NDArray[np.bool_]:
        """Whether each ray meets anything within this part of its length."""
        starts, ways = (rows.astype(np.float32, copy=False) for rows in (origins, rays))
        found = self._tree.run(starts, ways, np.full(len(ways), part, np.float32), query="OCCLUDED")
        return np.asarray(found >= 0)

    def starts(self, counts: Ints) -> tuple[Floats, Floats, Ints]:
        """Points spread over the patches, `counts` on each, a direction from each, and the patch it lies on.

        The points are even over the area, the directions dense as the cosine from the normal: together they carry
        the light of a surface that is equally bright from everywhere.
        """
        patch = np.repeat(np.arange(self.count), counts)
        points, ways = np.empty((2, len(patch), 3))
        ends = np.cumsum(self.areas)
        last = np.cumsum(np.bincount(self.owner, minlength=self.count)) - 1
        start = ends[last] - np.bincount(self.owner, self.areas, self.count)
        # So many at once that they stay near the processor, a row a coordinate.
        corners = np.ascontiguousarray(self.triangles.transpose(1, 2, 0))
        frames = np.stack([*_frames(self.normals.T), self.normals.T])
        for first in range(0, len(patch), AT_ONCE):
            here = slice(first, first + AT_ONCE)
            own = patch[here]
            u, v, w, t = even(len(own), 4, first)
            place = start.take(own)
            place += (ends.take(last.take(own)) - place) * u
            triangle = np.minimum(np.searchsorted(ends, place, side="right"), last.take(own))
            u = np.clip(1 - (ends.take(triangle) - place) / self.areas.take(triangle), 0, 1)
            frame = frames.take(triangle, axis=2)
            points[here] = (_within(corners.take(triangle, axis=2), u, v) + frame[2] * LIFT).T
            ways[here] = _lifted(frame, w, t).T
        return points, ways, patch


def enclosure(patches: Sequence[Patch]) -> Enclosure:
    """Patches as one enclosure: in their order, and after them as screens only those that are buried in others."""
    whole = _joined(patches, ())
    origins, rays, patch = whole.starts(np.full(len(patches), PROBES))
    seen = np.bincount(patch[whole.hit(origins, rays) >= 0], minlength=len(patches)) > 0
    if seen.all():
        return whole
    free = [p for p, live in zip(patches, seen, strict=True) if live]
    return _joined(free, [p.triangles for p, live in zip(patches, seen, strict=True) if not live])


def _joined(patches: Sequence[Patch], screens: Sequence[Floats]) -> Enclosure:
    return Enclosure(
        triangles=np.concatenate([p.triangles for p in patches]),
        screens=np.concatenate([np.empty((0, 3, 3)), *screens]),
        owner=np.repeat(np.arange(len(patches)), [len(p.triangles) for p in patches]),
        reflectance=np.array([p.reflectance for p in patches]),
        exitance=np.array([p.exitance for p in patches]),
        surface=tuple(p.surface for p in patches),
    )


def even(count: int, dimensions: int, first: int = 0) -> Floats:
    """Points that fill the unit cube evenly, the same each time: multiples of 1/r, 1/r², ... less their whole parts.

    A row a dimension; `first` of the points are passed over. r is the root of x^(d+1) = x + 1, here for d = 4
    (M. Roberts, "The unreasonable effectiveness of quasirandom sequences", 2018; from memory). With fewer dimensions
    asked for, the first ones are given.
    """
    steps = ROOT ** -np.arange(1.0, dimensions + 1)
    at = 0.5 + steps[:, None] * np.arange(first + 1.0, first + count + 1.0)
    at -= at.astype(np.int64)
    return np.asarray(at)


def directions(normals: Floats, radius: ArrayLike, turn: ArrayLike) -> Floats:
    """Unit directions about normals: `radius` and `turn` from 0 to 1 fill a disc, which is lifted to the hemisphere.

    Evenly filled it gives the cosine law (Malley's method).
    """
    normal = normals.T
    frame = np.stack([*_frames(normal), normal])
    return _lifted(frame, np.asarray(radius), np.asarray(turn)).T


def _frames(normal: Floats) -> tuple[Floats, Floats]:
    """Two unit vectors square to each normal and to each other; all as (3, n)."""
    across = np.cross(SIDE, normal, axisb=0, axisc=0)
    across /= np.linalg.norm(across, axis=0)
    return across, np.cross(normal, across, axis=0)


def _lifted(frame: Floats, radius: Floats, turn: Floats) -> Floats:
    """Directions (3, n) in frames (across, up, normal; 3, n) from points of a disc."""
    angle = 2 * np.pi * turn
    flat = np.sqrt(radius)
    return np.asarray(
        flat * np.cos(angle) * frame[0] + flat * np.sin(angle) * frame[1] + np.sqrt(1 - radius) * frame[2]
    )


def _within(corners: Floats, u: Floats, v: Floats) -> Floats:
    """Points (3, n) of triangles (corner, 3, n), even over each (Turk).

    The root keeps them from crowding at the first corner.
    """
    root = np.sqrt(u)
    return np.asarray((1 - root) * corners[0] + root * (1 - v) * corners[1] + root * v * corners[2])
