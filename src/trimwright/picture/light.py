"""The light at a point: how much of the open room it sees, and how much of that is on the window side.

One fixed set of directions, spread evenly under the cosine law, is cast from every point; each counts by how far it
gets before it meets something. So one gather gives the soft fill, the dark of corners and undercuts, and the
soft shadow of the window side together. Since the set never changes, there is no grain and the picture is
the same each time.
"""

from __future__ import annotations

import numpy as np

from trimwright.picture.camera import Floats
from trimwright.picture.scene import Scene

__all__ = ["gather", "openness", "spread_directions"]

REACH = 300.0
"""Distance in mm at which an obstacle still takes 1/e of the light that would come from its direction."""

FAR = 8 * REACH
"""What lies further off is not looked for: it would take 0.03 % of the light."""

LIFT = 0.3
"""Rays start this far above the surface, mm, so that they do not meet it."""

SIDE = np.array([0.31, 0.52, 0.80], np.float32) / np.float32(np.linalg.norm([0.31, 0.52, 0.80]))
"""A direction that no wall, floor or ceiling faces: the frame at a point is built from it and so never jumps."""


def spread_directions(count: int) -> Floats:
    """`count` unit directions about +z, dense as the cosine from it.

    A sunflower spiral fills the unit disc evenly; lifting it to the hemisphere gives the cosine law (Malley's
    method).
    """
    k = np.arange(count)
    radius = np.sqrt((k + 0.5) / count)
    angle = k * np.pi * (3 - np.sqrt(5))
    return np.stack([radius * np.cos(angle), radius * np.sin(angle), np.sqrt(1 - radius**2)], axis=1).astype(np.float32)


def openness(distances: Floats) -> Floats:
    """Share of the light left when the first obstacle is at a distance: 0 at the surface, 1 when there is none."""
    result: Floats = -np.expm1(distances * np.float32(-1 / REACH))
    return result


def gather(scene: Scene, points: Floats, normals: Floats, key: Floats, count: int) -> Floats:
    """Two columns, (fill, key), at points on surfaces with unit normals; both 1 on an open surface.

    `key` is the unit direction the window light comes from; its column is 1 for an open surface that faces it.
    """
    across = np.cross(SIDE, normals)
    across /= np.linalg.norm(across, axis=1, keepdims=True)
    up = np.cross(normals, across)
    origins = np.ascontiguousarray(points + normals * np.float32(LIFT))
    total = np.zeros((len(points), 2), np.float32)
    directions = spread_directions(count)
    key_across, key_up, key_out = across @ key, up @ key, normals @ key
    for x, y, z in directions:
        share = openness(scene.reach(origins, across * x + up * y + normals * z, FAR))
        total[:, 0] += share
        total[:, 1] += share * window(key_across * x + key_up * y + key_out * z)
    total[:, 0] /= count
    total[:, 1] /= window(directions[:, 2]).sum()
    return total


def window(cosine: Floats) -> Floats:
    """Brightness of the window side towards a direction at that cosine from its middle: a broad soft lobe."""
    half = np.maximum(0, cosine)
    return half * half * half
