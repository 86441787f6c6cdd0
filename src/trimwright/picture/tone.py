"""Colours as linear light, and linear light as the bytes of a picture (sRGB, IEC 61966-2-1)."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from trimwright.picture.camera import Floats

__all__ = ["Picture", "linear", "tone"]

Picture = npt.NDArray[np.uint8]


def linear(colour: str) -> tuple[float, float, float]:
    """Linear parts of an sRGB colour #rrggbb (IEC 61966-2-1)."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return red, green, blue


def tone(colour: Floats) -> Picture:
    """Linear light to sRGB bytes (IEC 61966-2-1)."""
    light = np.clip(colour, 0, 1)
    encoded = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** np.float32(1 / 2.4) - 0.055)
    return (encoded * 255 + 0.5).astype(np.uint8)
