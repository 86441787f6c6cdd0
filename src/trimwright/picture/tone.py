"""Linear light as the bytes of a picture (sRGB, IEC 61966-2-1)."""

from __future__ import annotations

from functools import cache

import numpy as np
import numpy.typing as npt

from trimwright.picture.camera import Floats

__all__ = ["Picture", "tone"]

Picture = npt.NDArray[np.uint8]

STEPS = 65535
"""Steps of light that bytes are looked up for: where they are coarsest, in the dark, twenty make one byte."""


def tone(colour: Floats) -> Picture:
    """Linear light to sRGB bytes (IEC 61966-2-1)."""
    light = np.clip(colour, 0, 1)
    light *= STEPS
    light += np.float32(0.5)
    return _table()[light.astype(np.uint16)]


@cache
def _table() -> Picture:
    """The byte of each step of light."""
    light = np.arange(STEPS + 1) / STEPS
    encoded = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return (encoded * 255 + 0.5).astype(np.uint8)
