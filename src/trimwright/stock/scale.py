"""Lengths in whole numbers: pieces and kerf rounded up, bars rounded down, so that what is planned can be cut."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor, gcd

__all__ = ["STEPS", "WORK", "Scale", "fits", "scale_for"]

STEPS = (0.01, 0.1, 1.0)
"""Lengths are counted in steps of so many mm: the first, or the next for lists that would take too long in it."""
NOISE = 1e-6
"""Less than this (mm) is noise of floating point and not rounded."""
WORK = 30_000_000
"""Steps in the longest bar times different pieces: the work of finding one pattern."""


@dataclass(frozen=True, slots=True)
class Scale:
    """How lengths become whole numbers; `longest` is the longest bar there is."""

    step: float
    kerf: float
    end_trim: float
    longest: float

    def width(self, length: float) -> int:
        """A piece with its kerf. One that just fits the longest bar stays that wide, whatever the rounding."""
        return min(ceil((length + self.kerf - NOISE) / self.step), self.capacity(self.longest))

    def capacity(self, length: float) -> int:
        """What a bar holds: its length less both trimmed ends, and a kerf more, for the last piece needs none."""
        return max(0, floor((length - 2 * self.end_trim + self.kerf + NOISE) / self.step))

    def size(self, length: float) -> int:
        """A whole bar and a kerf: what waste is compared by."""
        return floor((length + self.kerf + NOISE) / self.step)


def fits(length: float, bar: float, end_trim: float) -> bool:
    """True if a piece can be cut from a bar."""
    return length <= bar - 2 * end_trim + NOISE


def scale_for(lengths: Iterable[float], longest: float, kerf: float, end_trim: float, work: int = WORK) -> Scale:
    """The finest scale that a list can be planned with in so much work for one pattern."""
    different = set(lengths)
    for step in STEPS:
        scale = Scale(step, kerf, end_trim, longest)
        widths = {scale.width(length) for length in different}
        if scale.capacity(longest) // gcd(*widths) * len(widths) <= work:
            break
    return scale
