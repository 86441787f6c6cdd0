"""Light carried from the points where it was gathered to others on the same surface."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from trimwright.picture.camera import Floats
from trimwright.picture.scene import Indices, Ints

__all__ = ["STRIDE", "borrow", "coarse_grid", "spread"]

STRIDE = 4
"""Light is gathered at every fourth pixel each way and carried to those between, where they are on one surface."""

CONTRAST = 0.08
"""Where neighbouring points of the light differ by more than this, those between are gathered for themselves."""

Flags = npt.NDArray[np.bool_]


def coarse_grid(height: int, width: int) -> tuple[Indices, Indices]:
    """Rows and columns of the pixels at which light is gathered; the last of each is the picture's last."""
    rows, columns = np.arange(0, height + STRIDE, STRIDE), np.arange(0, width + STRIDE, STRIDE)
    return np.minimum(rows, height - 1), np.minimum(columns, width - 1)


def spread(coarse: Floats, coarse_surface: Ints, surface: Ints) -> tuple[Floats, Flags]:
    """Carry coarse light to every pixel from those of the four points round it that lie on its own surface.

    The second value is False where fewer than half of the weight lies there or where the points disagree.
    """
    height, width = surface.shape
    row, column = np.arange(height), np.arange(width)
    r0, c0 = row // STRIDE, column // STRIDE
    fr, fc = (row % STRIDE / STRIDE).astype(np.float32), (column % STRIDE / STRIDE).astype(np.float32)
    total, weight = np.zeros((height, width, 2), np.float32), np.zeros((height, width), np.float32)
    least, most = np.full((height, width), 9, np.float32), np.full((height, width), -9, np.float32)
    for dr, wr in ((0, 1 - fr), (1, fr)):
        for dc, wc in ((0, 1 - fc), (1, fc)):
            at = np.ix_(r0 + dr, c0 + dc)
            share = np.outer(wr, wc) * (coarse_surface[at] == surface)
            value = coarse[at]
            total += share[..., None] * value
            weight += share
            brightness = value.mean(axis=-1)
            used = share > 0
            np.minimum(least, brightness, out=least, where=used)
            np.maximum(most, brightness, out=most, where=used)
    safe = (weight >= 0.5) & (most - least <= CONTRAST)
    total /= np.maximum(weight, np.float32(1e-6))[..., None]
    return total, safe


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
