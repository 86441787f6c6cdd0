"""Where a picture is taken from, and the ray that belongs to each point of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trimwright.tolerance import TOUCH

__all__ = ["Floats", "View", "on_film", "rays"]

Floats = npt.NDArray[np.float32]
RoomPoint = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A camera whose film stands upright, so that what is vertical in the room is vertical in the picture.

    To look up or down the film is moved, not tilted, until `target` is in the middle of the picture. Where that is
    straight above the eye, the film lies level and the plan's y runs up the picture. `field` is the horizontal angle
    of view in degrees.
    """

    name: str
    title: str
    eye: RoomPoint
    target: RoomPoint
    field: float


def axes(view: View) -> tuple[Floats, Floats, Floats]:
    """Unit vectors square to each other: the way the camera faces, its right hand, and up the picture."""
    dx, dy = view.target[0] - view.eye[0], view.target[1] - view.eye[1]
    away = math.hypot(dx, dy)
    if away < TOUCH:
        ahead, right, up = (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
    else:
        ahead, right, up = (dx / away, dy / away, 0.0), (dy / away, -dx / away, 0.0), (0.0, 0.0, 1.0)
    return np.array(ahead, np.float32), np.array(right, np.float32), np.array(up, np.float32)


def rays(view: View, size: tuple[int, int], columns: npt.ArrayLike, rows: npt.ArrayLike) -> Floats:
    """Directions, not of unit length, through picture points counted in pixels from the top left corner.

    Every direction reaches one unit ahead of the eye, so `eye + t * direction` lies at depth t.
    """
    facing, right, up = axes(view)
    (width, height), (scale, rise) = size, _film(view, size)
    x = (np.asarray(columns, np.float32) - width / 2) * np.float32(scale)
    y = (height / 2 - np.asarray(rows, np.float32)) * np.float32(scale)
    y += np.float32(rise)
    directions = np.empty((x.size, 3), np.float32)
    for axis in range(3):
        directions[:, axis] = facing[axis] + right[axis] * x + up[axis] * y
    return directions


def on_film(view: View, size: tuple[int, int], points: Floats) -> Floats:
    """Column and row at which points (n, 3) are seen, both multiplied by their depth, and their depth (mm)."""
    facing, right, up = axes(view)
    (width, height), (scale, rise) = size, _film(view, size)
    away = points - np.array(view.eye, np.float32)
    depth = away @ facing
    columns = width / 2 * depth + away @ right / scale
    rows = height / 2 * depth - (away @ up - rise * depth) / scale
    return np.stack([columns, rows, depth], axis=1)


def _film(view: View, size: tuple[int, int]) -> tuple[float, float]:
    """Side of a pixel, and how much the middle of the picture lies above the eye, both one unit ahead of it."""
    away = math.dist(view.eye[:2], view.target[:2])
    rise = (view.target[2] - view.eye[2]) / away if away >= TOUCH else 0.0
    return 2 * math.tan(math.radians(view.field / 2)) / size[0], rise
