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

AT_ONCE = 150_000
"""Pixels worked on together: enough for numpy, little enough for the processor's cache."""

CONTRAST = 0.06
"""Where neighbouring points of the light differ by more than this, those between are gathered for themselves."""

Flags = npt.NDArray[np.bool_]


def fill_in(surface: Ints, light_at: Callable[[Indices, Indices], Floats]) -> Floats:
    """Light of every pixel that shows a surface, (height, width, 2), from `light_at(rows, columns)` where needed."""
    width = surface.shape[1]
    light = np.zeros((surface.size, 2), np.float32)
    # The surface of each pixel whose light is known, else a number that no surface has.
    known = np.full(surface.size, -2, np.int32)
    pixels = np.flatnonzero(surface >= 0)
    for stride in STRIDES:
        points = _around(pixels, stride, surface.shape)
        points = points[(known[points] == -2) & (surface.ravel()[points] >= 0)]
        light[points] = light_at(*np.divmod(points, width))
        known[points] = surface.ravel()[points]
        filled = known.copy()
        for some in np.array_split(pixels, len(pixels) // AT_ONCE + 1):
            value, safe = _between(light, known, surface, some, stride)
            light[some[safe]] = value[safe]
            filled[some[safe]] = surface.ravel()[some[safe]]
        known = filled
        pixels = pixels[known[pixels] == -2]
    return light.reshape(*surface.shape, 2)


def _around(pixels: Indices, stride: int, shape: tuple[int, int]) -> Indices:
    """Points of a grid that stand at the four corners round any of the pixels, all counted row by row."""
    height, width = shape
    rows, columns = np.divmod(pixels, width)
    marked = np.zeros((height // stride + 2, width // stride + 2), bool)
    marked[rows // stride, columns // stride] = True
    marked[1:] |= marked[:-1]
    marked[:, 1:] |= marked[:, :-1]
    at_rows, at_columns = (k * stride for k in np.nonzero(marked))
    inside = (at_rows < height) & (at_columns < width)
    return at_rows[inside] * width + at_columns[inside]


def _between(light: Floats, known: Ints, surface: Ints, pixels: Indices, stride: int) -> tuple[Floats, Flags]:
    """Light of pixels between the four points of a grid round them, and whether it may be used.

    It may where all four lie on the pixel's own surface and agree. Near an edge it may not: a point in the dark
    line under a ledge would stand for the whole fillet below.
    """
    height, width = surface.shape
    rows, columns = np.divmod(pixels, width)
    top, left = rows // stride * stride, columns // stride * stride
    bottom, right = np.minimum(top + stride, height - 1), np.minimum(left + stride, width - 1)
    down, across = ((k / np.float32(stride)).astype(np.float32) for k in (rows - top, columns - left))
    own = surface.ravel()[pixels]
    corners = [row * width + column for row in (top, bottom) for column in (left, right)]
    parts = [y * x for y in (1 - down, down) for x in (1 - across, across)]
    safe = np.logical_and.reduce([known[corner] == own for corner in corners])
    values = [light[corner] for corner in corners]
    brightness = [value[:, 0] + value[:, 1] for value in values]
    spread = np.maximum.reduce(brightness) - np.minimum.reduce(brightness)
    mean = np.zeros((len(pixels), 2), np.float32)
    for value, part in zip(values, parts, strict=True):
        mean += value * part[:, None]
    return mean, safe & (spread <= 2 * CONTRAST)


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
