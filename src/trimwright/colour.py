"""Colours as they are written, turned into light."""

from __future__ import annotations

__all__ = ["linear"]


def linear(colour: str) -> tuple[float, float, float]:
    """Linear parts, 0 to 1, of an sRGB colour #rrggbb (IEC 61966-2-1)."""
    red, green, blue = (_light(int(colour[k : k + 2], 16) / 255) for k in (1, 3, 5))
    return red, green, blue


def _light(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)
