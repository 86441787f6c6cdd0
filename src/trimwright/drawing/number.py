"""Numbers as drawings write them: to a ten-thousandth, a tenth of what a micrometer shows, and as short as can be."""

from __future__ import annotations

from functools import lru_cache

__all__ = ["number"]


@lru_cache(maxsize=4096)
def number(value: float) -> str:
    """A finite number to 1e-4, without zeros at its end, and never a minus before nothing.

    Of the 400,000 that a pack's drawings take, seven in eight were written a little before.
    """
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
