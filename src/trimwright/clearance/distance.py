"""The least distance between a body of triangles and a convex shape, and the two points where it is.

The distance from a point to a convex shape is a convex function. Its least value over a triangle lies on an edge,
where it is found by golden section, or inside, where the shape's point furthest against the triangle's normal has
its foot. Both are exact but for the last of the halvings.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trimwright.clearance.convex import Convex, Points

__all__ = ["Near", "box_gap", "contains", "least"]

HALVINGS = 46
"""Steps of the golden section: an edge of 5 m is known to 5000 * 0.618^46, about 1e-6 mm."""

THINNED = 6
"""Steps of the golden section after which edges that are too far are dropped."""

GOLDEN = (math.sqrt(5) - 1) / 2


@dataclass(frozen=True, slots=True, eq=False)
class Near:
    """The least distance, and the point of the body and of the shape between which it is; 0 where they meet."""

    distance: float
    on_body: Points
    on_shape: Points


def box_gap(a: Points, b: Points) -> NDArray[np.float64]:
    """Distance between boxes, (..., 2, 3) least and greatest corners: never more than that of what is in them."""
    apart = np.maximum(a[..., 0, :] - b[..., 1, :], b[..., 0, :] - a[..., 1, :])
    return np.asarray(np.linalg.norm(np.maximum(apart, 0.0), axis=-1))


def least(triangles: Points, shape: Convex) -> Near:
    """The least distance between the surface of a body (n, 3, 3) and a shape."""
    corners = triangles.reshape(-1, 3)
    at_corners = _distances(corners, shape)
    first = int(at_corners.argmin())
    best = Near(float(at_corners[first]), corners[first], shape.nearest(corners[first : first + 1])[0])
    boxes = np.stack([triangles.min(axis=1), triangles.max(axis=1)], axis=1)
    kept = triangles[box_gap(boxes, shape.box) <= best.distance]
    if best.distance == 0.0 or not len(kept):
        return best
    best = min((best, *_inside(kept, shape)), key=lambda near: near.distance)
    on_edge = _on_edges(kept, shape, best.distance)
    return best if on_edge is None else min(best, on_edge, key=lambda near: near.distance)


def _distances(points: Points, shape: Convex) -> NDArray[np.float64]:
    return np.asarray(np.linalg.norm(points - shape.nearest(points), axis=1))


def _on_edges(triangles: Points, shape: Convex, bound: float) -> Near | None:
    """The least distance along the edges, all of them at once by golden section; None if none comes within `bound`.

    A distance changes by no more than the way gone, so an edge is dropped as soon as what is left of it cannot reach
    below the least that is known.
    """
    ends = np.stack([triangles, np.roll(triangles, -1, axis=1)], axis=2).reshape(-1, 2, 3)
    boxes = np.stack([ends.min(axis=1), ends.max(axis=1)], axis=1)
    ends = ends[box_gap(boxes, shape.box) <= bound]
    if not len(ends):
        return None
    starts, along = ends[:, 0], ends[:, 1] - ends[:, 0]
    lengths = np.linalg.norm(along, axis=1)
    low, high = np.zeros(len(starts)), np.ones(len(starts))
    a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_a, at_b = (_distances(starts + part[:, None] * along, shape) for part in (a, b))
    for step in range(HALVINGS):
        if step % THINNED == 0:
            bound = min(bound, float(np.minimum(at_a, at_b).min()))
            kept = np.minimum(at_a, at_b) - (high - low) * lengths <= bound
            starts, along, lengths = starts[kept], along[kept], lengths[kept]
            low, high, a, b, at_a, at_b = (v[kept] for v in (low, high, a, b, at_a, at_b))
            if not len(starts):
                return None
        left = at_a <= at_b
        high, low = np.where(left, b, high), np.where(left, low, a)
        a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
        fresh = _distances(starts + np.where(left, a, b)[:, None] * along, shape)
        at_a, at_b = np.where(left, fresh, at_b), np.where(left, at_a, fresh)
    points = starts + ((low + high) / 2)[:, None] * along
    found = _distances(points, shape)
    k = int(found.argmin())
    return Near(float(found[k]), points[k], shape.nearest(points[k : k + 1])[0])


def _inside(triangles: Points, shape: Convex) -> list[Near]:
    """Distances met at right angles inside a triangle; 0 where the shape comes through one."""
    origin = triangles[:, 0]
    normal = np.cross(triangles[:, 1] - origin, triangles[:, 2] - origin)
    size = np.linalg.norm(normal, axis=1)
    flat = size > 1e-12
    triangles, origin, normal = triangles[flat], origin[flat], normal[flat] / size[flat, None]
    if not len(triangles):
        return []
    near, far = shape.furthest(-normal), shape.furthest(normal)
    low, high = (((p - origin) * normal).sum(axis=1) for p in (near, far))
    found = []
    for distance, point, sign in ((low, near, 1.0), (-high, far, -1.0)):
        foot = point - (sign * distance)[:, None] * normal
        there = np.flatnonzero((distance > 0) & _holds(triangles, foot))
        if len(there):
            k = there[distance[there].argmin()]
            found.append(Near(float(distance[k]), foot[k], point[k]))
    across = (low <= 0) & (high >= 0)
    part = np.where(across, -low / np.maximum(high - low, 1e-30), 0.0)
    through = near + part[:, None] * (far - near)
    there = np.flatnonzero(across & _holds(triangles, through))
    if len(there):
        found.append(Near(0.0, through[there[0]], through[there[0]]))
    return found


def _holds(triangles: Points, points: Points) -> NDArray[np.bool_]:
    """True where a point in the plane of its triangle lies in it (barycentric coordinates)."""
    u, v = triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    w = points - triangles[:, 0]
    uu, uv, vv = ((a * b).sum(axis=1) for a, b in ((u, u), (u, v), (v, v)))
    wu, wv = ((w * a).sum(axis=1) for a in (u, v))
    scale = np.maximum(uu * vv - uv * uv, 1e-30)
    s, t = (vv * wu - uv * wv) / scale, (uu * wv - uv * wu) / scale
    return np.asarray((s >= 0) & (t >= 0) & (s + t <= 1))


def contains(triangles: Points, point: Points) -> bool:
    """True if a point lies in a closed body: its triangles turn once round it (sum of solid angles, 4 pi).

    The angle of a triangle is 2 atan2(a·(b×c), abc + (a·b)c + (b·c)a + (c·a)b) (van Oosterom and Strackee, 1983).
    """
    a, b, c = np.moveaxis(triangles - point, 1, 0)
    na, nb, nc = (np.linalg.norm(v, axis=1) for v in (a, b, c))
    volume = (a * np.cross(b, c)).sum(axis=1)
    below = na * nb * nc + (a * b).sum(1) * nc + (b * c).sum(1) * na + (c * a).sum(1) * nb
    return bool(abs(2 * np.arctan2(volume, below).sum()) > 2 * math.pi)
