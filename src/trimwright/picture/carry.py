"""Light carried from the points where it was gathered to others on the same surface."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from trimwright.picture.camera import Floats
from trimwright.picture.scene import Indices, Ints

__all__ = ["borrow", "fill_in"]

STRIDES = (6, 2, 1)
"""Light is gathered at every sixth pixel each way, then at every second where that is too coarse, then at each."""

CONTRAST = 0.08
"""Where neighbouring points of the light differ by more than this, those between are gathered for themselves."""

Flags = npt.NDArray[np.bool_]


def fill_in(surface: Ints, light_at: Callable[[Indices, Indices], Floats]) -> Floats:
    """Light of every pixel that shows a surface, (height, width, 2), from `light_at(rows, columns)` where needed."""
    light = np.zeros((*surface.shape, 2), np.float32)
    known = np.zeros(surface.shape, bool)
    rows, columns = np.nonzero(surface >= 0)
    for stride in STRIDES:
        points = _around(rows, columns, stride, surface.shape) & ~known & (surface >= 0)
        point_rows, point_columns = np.nonzero(points)
        light[points] = light_at(point_rows, point_columns)
        known |= points
        left = ~known[rows, columns]
        rows, columns = rows[left], columns[left]
        value, safe = _between(light, known, surface, rows, columns, stride)
        light[rows[safe], columns[safe]] = value[safe]
        known[rows[safe], columns[safe]] = True
        rows, columns = rows[~safe], columns[~safe]
    return light


def _around(rows: Indices, columns: Indices, stride: int, shape: tuple[int, int]) -> Flags:
    """The points of a grid that stand at the four corners round any of the pixels."""
    marked = np.zeros((shape[0] // stride + 2, shape[1] // stride + 2), bool)
    marked[rows // stride, columns // stride] = True
    marked[1:] |= marked[:-1]
    marked[:, 1:] |= marked[:, :-1]
    points = np.zeros(shape, bool)
    grid = points[::stride, ::stride]
    grid[:] = marked[: grid.shape[0], : grid.shape[1]]
    return points


def _between(
    light: Floats, known: Flags, surface: Ints, rows: Indices, columns: Indices, stride: int
) -> tuple[Floats, Flags]:
    """Light of pixels between the four points of a grid round them, and whether it may be used.

    It may where all four lie on the pixel's own surface and agree. Near an edge it may not: a point in the dark
    line under a ledge would stand for the whole fillet below.
    """
    row, column = rows // stride * stride, columns // stride * stride
    down, across = ((k / stride).astype(np.float32) for k in (rows - row, columns - column))
    own = surface[rows, columns]
    value, safe = np.zeros((len(rows), 2), np.float32), np.ones(len(rows), bool)
    least, most = np.full(len(rows), np.inf, np.float32), np.full(len(rows), -np.inf, np.float32)
    for below in (0, stride):
        for right in (0, stride):
            r = np.minimum(row + below, surface.shape[0] - 1)
            c = np.minimum(column + right, surface.shape[1] - 1)
            part = (down if below else 1 - down) * (across if right else 1 - across)
            value += part[:, None] * light[r, c]
            safe &= (surface[r, c] == own) & known[r, c]
            brightness = light[r, c].mean(axis=1)
            np.minimum(least, brightness, out=least)
            np.maximum(most, brightness, out=most)
    return value, safe & (most - least <= CONTRAST)


def borrow(surface: Ints, light: Floats, rows: Indices, columns: Indices, wanted: Ints) -> tuple[Floats, Flags]:
    """Light for samples near pixels, taken from the nearest pixel around that shows the wanted surface."""
    height, width = surface.shape
    result, found = np.zeros((len(rows), 2), np.float32), np.zeros(len(rows), bool)
    steps = sorted(((dr, dc) for dr in (-1, 0, 1) for dc in (-1, 0, 1)), key=lambda s: abs(s[0]) + abs(s[1]))
    for dr, dc in steps:
        open_ = np.flatnonzero(~found)
        r = np.clip(rows[open_] + dr, 0, height - 1)
        c = np.clip(columns[open_] + dc, 0, width - 1)
        same = surface[r, c] == wanted[open_]
        result[open_[same]] = light[r[same], c[same]]
        found[open_[same]] = True
    return result, found
