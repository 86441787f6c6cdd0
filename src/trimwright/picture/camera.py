"""Where a picture is taken from, and the ray that belongs to each point of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["Floats", "View", "rays"]

Floats = npt.NDArray[np.float32]
RoomPoint = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A camera whose film stands upright, so that what is vertical in the room is vertical in the picture.

    To look up or down the film is moved, not tilted, until `target` is in the middle of the picture. `field` is
    the horizontal angle of view in degrees.
    """

    name: str
    title: str
    eye: RoomPoint
    target: RoomPoint
    field: float


def axes(view: View) -> tuple[Floats, Floats]:
    """Unit vectors of the plan: the way the camera faces, and its right hand."""
    dx, dy = view.target[0] - view.eye[0], view.target[1] - view.eye[1]
    away = math.hypot(dx, dy)
    facing = np.array([dx / away, dy / away, 0.0], np.float32)
    return facing, np.array([facing[1], -facing[0], 0.0], np.float32)


def rays(view: View, size: tuple[int, int], columns: npt.ArrayLike, rows: npt.ArrayLike) -> Floats:
    """Directions, not of unit length, through picture points counted in pixels from the top left corner.

    Every direction reaches one unit ahead of the eye, so `eye + t * direction` lies at depth t.
    """
    facing, right = axes(view)
    width, height = size
    half = math.tan(math.radians(view.field / 2))
    away = math.dist(view.eye[:2], view.target[:2])
    x = (np.asarray(columns, np.float32) - width / 2) * np.float32(2 * half / width)
    y = (height / 2 - np.asarray(rows, np.float32)) * np.float32(2 * half / width)
    y += np.float32((view.target[2] - view.eye[2]) / away)
    directions = np.empty((x.size, 3), np.float32)
    directions[:, 0] = facing[0] + right[0] * x
    directions[:, 1] = facing[1] + right[1] * x
    directions[:, 2] = y
    return directions
