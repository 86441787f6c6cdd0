"""Dimensions in a row, on one level: which words each has, on which side of its line, so that none meets another."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from trimwright.drawing.dimensions import ABOVE, ASIDE, HEIGHT, OVERHANG
from trimwright.drawing.font import text_width

__all__ = ["Stretch", "placed_in_row"]

APART = 1.0
"""Between the words of neighbours, paper mm."""


class Stretch(NamedTuple):
    """What one dimension of a row measures, from `low` to `high` in model mm, and its words, the fullest first."""

    low: float
    high: float
    texts: tuple[str, ...]


def placed_in_row(
    row: Sequence[Stretch], scale: float, between: tuple[float, float] = (-math.inf, math.inf)
) -> list[tuple[str, bool] | None]:
    """For each stretch, left to right, its words and whether they stand before its line; None where none find room.

    Words stand over their line if they are not much wider, else before or after it, where no other stretch is, and
    not beyond two stations `between` which there is room for them, in model mm.
    """
    placed: list[tuple[str, bool] | None] = []
    taken = between[0] * scale
    for k, stretch in enumerate(row):
        free = (
            max(taken, row[k - 1].high * scale) if k else taken,
            (row[k + 1].low if k + 1 < len(row) else between[1]) * scale,
        )
        found = next(_ways(stretch, scale, taken, free), None)
        placed.append(None if found is None else found[:2])
        taken = taken if found is None else found[2]
    return placed


def _ways(stretch: Stretch, scale: float, taken: float, free: tuple[float, float]) -> Iterator[tuple[str, bool, float]]:
    """Words, whether before the line, and where they end on paper: each over its line, or else beside it."""
    low, high = stretch.low * scale, stretch.high * scale
    for text in stretch.texts:
        width = text_width(text, HEIGHT)
        if width + 2 * ABOVE - (high - low) <= OVERHANG:
            if (low + high - width) / 2 > taken + APART:
                yield text, False, (low + high + width) / 2
            continue
        if low - ASIDE - width > free[0] + APART:
            yield text, True, max(taken, low - ASIDE)
        if high + ASIDE + width < free[1] - APART:
            yield text, False, high + ASIDE + width
