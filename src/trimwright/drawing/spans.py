"""Stretches along a line: which part is seen and which is covered."""

from __future__ import annotations

from collections.abc import Iterable

from trimwright.tolerance import TOUCH

__all__ = ["Span", "split", "unlike"]

Span = tuple[float, float]


def split(span: Span, covers: Iterable[Span]) -> tuple[list[Span], list[Span]]:
    """The parts of `span` that no cover hides, and those that one does, each from left to right."""
    seen, hidden = [], []
    place, end = span
    for low, high in sorted(covers):
        low, high = max(low, place), min(high, end)
        if high - low <= TOUCH:
            continue
        if low - place > TOUCH:
            seen.append((place, low))
        hidden.append((low, high))
        place = high
    if end - place > TOUCH:
        seen.append((place, end))
    return seen, hidden


def unlike(values: Iterable[float], least: float = 0.05) -> list[float]:
    """Values in order, without those nearer than `least` to the one before."""
    kept: list[float] = []
    for value in sorted(values):
        if not kept or value - kept[-1] >= least:
            kept.append(value)
    return kept
