"""The best pattern for given values of the pieces: a bounded knapsack for every capacity at once, in whole numbers.

P. C. Gilmore, R. E. Gomory, A linear programming approach to the cutting-stock problem, Operations Research 9
(1961): patterns need not be listed; those that matter are found one by one, as the most valuable for the prices
that the linear programme puts on the pieces.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trimwright.stock.task import Pattern, Task, doublings

__all__ = ["Knapsack", "knapsack"]

Take = tuple[int, int, np.ndarray]
"""Piece, number taken together, and for every room from their width up whether taking them pays."""


@dataclass(frozen=True, slots=True)
class Knapsack:
    """Greatest value for every capacity, and what is needed to tell by which pattern."""

    task: Task
    best: np.ndarray
    takes: tuple[Take, ...]

    def value(self, capacity: int) -> int:
        """Greatest value that a bar of this capacity can carry."""
        return int(self.best[capacity])

    def pattern(self, capacity: int) -> Pattern:
        """A pattern that carries it."""
        counts = [0] * len(self.task.widths)
        for i, number, pays in reversed(self.takes):
            width = number * self.task.widths[i]
            if capacity >= width and pays[capacity - width]:
                counts[i] += number
                capacity -= width
        return tuple(counts)


def knapsack(task: Task, demand: Sequence[int], values: Sequence[int]) -> Knapsack:
    """Most valuable patterns with at most `demand` of each piece; pieces without value are left out."""
    most = max(kind.capacity for kind in task.kinds)
    # Half the width is nearly twice the speed; no sum may pass what it holds.
    narrow = max(values) * (most // min(task.widths) + 1) < 2**31
    best = np.zeros(most + 1, dtype=np.int32 if narrow else np.int64)
    takes: list[Take] = []
    for i, (width, value) in enumerate(zip(task.widths, values, strict=True)):
        if value <= 0:
            continue
        for number in doublings(min(demand[i], most // width)):
            if number * width > most:
                continue
            taken = best[: most + 1 - number * width] + number * value
            kept = best[number * width :]
            takes.append((i, number, np.greater(taken, kept)))
            np.maximum(taken, kept, out=kept)
    return Knapsack(task, best, tuple(takes))
