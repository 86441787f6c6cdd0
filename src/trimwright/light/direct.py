"""Light straight from a flat shining polygon to a point, exact: Lambert's contour integral.

E = M / (2 pi) * sum over edges of angle_k * (n . g_k): M the exitance, n the receiver's normal, angle_k the angle under
which the edge is seen and g_k the unit normal of the plane through point and edge (J. H. Lambert, Photometria, 1760;
from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from trimwright.light.enclosure import LIFT, Enclosure, Floats

__all__ = ["from_patches", "from_polygon", "from_strip", "vector_areas"]

NEAR = 3.0
"""A patch nearer than this many times its size is integrated exactly, one further off by its middle."""

VIEWS = 4
"""Places on a patch that are looked for from a point."""

FAINT = 5e-4
"""A patch that would bring less than this part of a point's light is looked for at one place only."""

SLACK = 1e-5
"""A ray that gets within this part of its way to a place has reached it."""

AT_ONCE = 100_000
"""Pairs of point and patch worked on together."""


def from_polygon(points: Floats, normals: Floats, corners: Floats) -> Floats:
    """View factor from points (n, 3) with unit normals to one-sided convex polygons (m, k, 3): (n, m).

    Times the exitance it is the illuminance. Polygons run anticlockwise as seen from their bright side and must lie
    above the horizon of each point; behind a polygon the factor is 0.
    """
    return _contour(points[:, None], normals[:, None], corners[None])


def _contour(points: Floats, normals: Floats, corners: Floats) -> Floats:
    """The integral for arrays of points (..., 3), normals (..., 3) and corners (..., k, 3) that broadcast."""
    away = corners - points[..., None, :]
    away = away / np.maximum(np.linalg.norm(away, axis=-1, keepdims=True), 1e-12)
    after = np.roll(away, -1, axis=-2)
    planes = np.cross(after, away)
    sine = np.linalg.norm(planes, axis=-1)
    angle = np.arctan2(sine, (away * after).sum(axis=-1))
    turned = (planes * normals[..., None, :]).sum(axis=-1) / np.maximum(sine, 1e-15)
    return np.asarray(np.maximum(0.0, (angle * turned).sum(axis=-1) / (2 * np.pi)))


def from_strip(space: Enclosure, points: Floats, normals: Floats, corners: Floats, exitance: Floats) -> Floats:
    """Illuminance (lx) at points from shining quads (m, 4, 3) of an exitance each, less what something hides.

    A quad is seen or not by its middle: it should be short against its distance.
    """
    factors = from_polygon(points, normals, corners)
    at, quad = np.nonzero(factors > 0)
    facing = np.cross(corners[:, 1] - corners[:, 0], corners[:, 3] - corners[:, 0])
    facing /= np.linalg.norm(facing, axis=1, keepdims=True)
    start = points[at] + normals[at] * LIFT
    ways = corners.mean(axis=1)[quad] + facing[quad] * LIFT - start
    hidden = space.blocked(start, ways, 1.0)
    factors[at[hidden], quad[hidden]] = 0
    return np.asarray(factors @ exitance)


def from_patches(space: Enclosure, points: Floats, radiosity: Floats) -> Floats:
    """Illuminance (lx) at points that look straight up, from all patches of a radiosity: what a level surface gets.

    Of each patch counts what can be seen by `VIEWS` places on it, of one that brings hardly anything by a single one;
    what lies below a point's horizon is left out.
    """
    seen_at = space.starts(np.full(space.count, VIEWS))[0].reshape(space.count, VIEWS, 3).astype(np.float32)
    towards = vector_areas(space)
    reach = (NEAR * np.sqrt(np.bincount(space.owner, space.areas, space.count))) ** 2
    total = np.zeros(len(points))
    for some in np.array_split(np.arange(len(points)), len(points) * space.count // AT_ONCE + 1):
        x, y, z = (np.subtract.outer(points[some, k], space.middles[:, k]) for k in range(3))
        square = np.maximum(x * x + y * y + z * z, LIFT**2)
        share = (x * towards[:, 0] + y * towards[:, 1] + z * towards[:, 2]) * -z / (np.pi * square * square)
        near = square < reach
        share[(z >= 0) | (share < 0) | near] = 0
        _add_near(share, space, points[some], near)
        at, patch = np.nonzero(share)
        brought = share[at, patch] * radiosity[patch]
        faint = brought < FAINT * np.bincount(at, brought, len(some))[at]
        for pairs, looks in ((~faint, VIEWS), (faint, 1)):
            here = np.flatnonzero(pairs)
            places = seen_at[:, :looks].take(patch[here], axis=0)
            brought[here] *= _seen(space, points[some].take(at[here], axis=0), places)
        total[some] = np.bincount(at, brought, len(some))
    return total


def _seen(space: Enclosure, points: Floats, places: NDArray[np.float32]) -> Floats:
    """Part of the places (n, k, 3) that can be seen from points (n, 3) that look up."""
    looks = places.shape[1]
    start = np.repeat((points + np.array([0.0, 0.0, LIFT])).astype(np.float32), looks, axis=0)
    hidden = space.blocked(start, places.reshape(-1, 3) - start, 1 - SLACK)
    return np.asarray(1 - np.count_nonzero(hidden.reshape(-1, looks), axis=1) / looks)


def vector_areas(space: Enclosure) -> Floats:
    """Area times normal of each patch: what it turns towards a far point in any direction."""
    return np.column_stack([np.bincount(space.owner, space.crosses[:, k] / 2, space.count) for k in range(3)])


def _add_near(share: Floats, space: Enclosure, points: Floats, near: NDArray[np.bool_]) -> None:
    """View factors of patches near to points, added triangle by triangle, each cut at the point's horizon.

    Points below it are raised to it, which cuts an upright patch exactly.
    """
    at, triangle = np.nonzero(near[:, space.owner])
    corners = space.triangles[triangle].copy()
    corners[..., 2] = np.maximum(corners[..., 2], points[at, None, 2])
    facing = np.einsum("ij,ij->i", space.normals[triangle], corners[:, 0] - points[at]) < 0
    at, triangle, corners = at[facing], triangle[facing], corners[facing]
    up = np.broadcast_to(np.array([0.0, 0.0, 1.0]), (len(at), 3))
    np.add.at(share, (at, space.owner[triangle]), _contour(points[at], up, corners))
