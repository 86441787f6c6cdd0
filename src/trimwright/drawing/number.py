"""Numbers as drawings write them: to a ten-thousandth, a tenth of what a micrometer shows, and as short as can be."""

from __future__ import annotations

__all__ = ["number"]


def number(value: float) -> str:
    """A finite number to 1e-4, without zeros at its end, and never a minus before nothing."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
