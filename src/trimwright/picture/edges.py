"""Where one surface ends and another begins in a picture, and how strongly a line runs there."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from trimwright.picture.camera import Floats
from trimwright.picture.scene import Ints

__all__ = ["SAMPLES", "edges", "line", "sample_offsets"]

SAMPLES = 16
"""Rays cast for a pixel on an edge."""

CROWDED = 0.4
"""Strength of a line where three or more surfaces share a pixel."""


def sample_offsets() -> tuple[Floats, Floats, Floats]:
    """Offsets down and across of the samples of a pixel, and their weights (a tent, sum 1).

    They reach nearly one pixel from its middle, which makes edges soft. No two lie in one row or column, so that
    a line close to level or upright is as smooth as any other; sample k lies opposite sample 15 - k.
    """
    step = np.arange(1, SAMPLES + 1)
    across: Floats = ((step - (SAMPLES + 1) / 2) / (SAMPLES / 2)).astype(np.float32)
    # Multiples of 5 modulo the prime 17 visit every row once, evenly, and turn into each other end for end.
    down: Floats = ((5 * step % (SAMPLES + 1) - (SAMPLES + 1) / 2) / (SAMPLES / 2)).astype(np.float32)
    weight: Floats = (1 - np.abs(down)) * (1 - np.abs(across))
    weight /= weight.sum()
    return down, across, weight


def edges(surface: Ints) -> npt.NDArray[np.bool_]:
    """Pixels with another surface among their eight neighbours."""
    upright, level = surface[:, 1:] != surface[:, :-1], surface[1:] != surface[:-1]
    beside, above = np.zeros((2, *surface.shape), bool)
    beside[:, 1:], above[1:] = upright, level
    beside[:, :-1] |= upright
    above[:-1] |= level
    # Of nine pixels some differ where two next to each other do.
    found: npt.NDArray[np.bool_] = beside | above
    found[1:] |= beside[:-1]
    found[:-1] |= beside[1:]
    found[:, 1:] |= above[:, :-1]
    found[:, :-1] |= above[:, 1:]
    return found


def line(surfaces: Ints, bodies: Ints) -> Floats:
    """How much of a line runs through each pixel, 0 to 1: the share of opposite samples that show two surfaces.

    A line between two bodies counts whole, one between two surfaces of one body a quarter. Where three or more
    surfaces share a pixel the moulding is finer than the picture: lines there would only make dashes.
    """
    other_surface = surfaces[:, :8] != surfaces[:, :7:-1]
    other_body = bodies[:, :8] != bodies[:, :7:-1]
    crowded = np.count_nonzero(np.diff(np.sort(surfaces, axis=1), axis=1), axis=1) > 1
    result: Floats = (0.25 * other_surface + 0.75 * other_body).mean(axis=1, dtype=np.float32)
    result[crowded] *= np.float32(CROWDED)
    return result
