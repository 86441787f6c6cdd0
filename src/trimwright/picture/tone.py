"""Linear light as the bytes of a picture (sRGB, IEC 61966-2-1)."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from trimwright.picture.camera import Floats

__all__ = ["Picture", "tone"]

Picture = npt.NDArray[np.uint8]


def tone(colour: Floats) -> Picture:
    """Linear light to sRGB bytes (IEC 61966-2-1)."""
    light = np.clip(colour, 0, 1)
    encoded = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** np.float32(1 / 2.4) - 0.055)
    return (encoded * 255 + 0.5).astype(np.uint8)
