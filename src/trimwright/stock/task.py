"""The cutting problem in whole numbers: what the search works on, free of units, money and labels.

A piece of length l with kerf k takes l + k of a bar that offers its usable length + k, for n pieces need
sum(l) + (n - 1) k. So kerf vanishes: a piece is its `width`, a bar its `capacity`, and widths just add up.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Basket", "Kind", "Packed", "Pattern", "Task", "basket_of", "cost_of", "doublings", "size_of"]

Pattern = tuple[int, ...]
"""How many pieces of each width one bar gives."""

Basket = tuple[int, ...]
"""How many bars of each kind are taken."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of bar: what it holds, what it costs, its whole size (length + kerf), and how many there are at most."""

    capacity: int
    cost: int
    size: int
    limit: int


@dataclass(frozen=True, slots=True)
class Task:
    """Distinct widths, longest first, how often each is wanted, and the kinds of bar."""

    widths: tuple[int, ...]
    demand: tuple[int, ...]
    kinds: tuple[Kind, ...]

    @property
    def pieces(self) -> int:
        """Number of pieces wanted."""
        return sum(self.demand)

    @property
    def volume(self) -> int:
        """Sum of all widths wanted."""
        return self.width_of(self.demand)

    def width_of(self, pattern: Pattern) -> int:
        """Sum of the widths in a pattern."""
        return sum(w * n for w, n in zip(self.widths, pattern, strict=True))


@dataclass(frozen=True, slots=True)
class Packed:
    """One bar with its pieces: index of its kind, and its pattern."""

    kind: int
    pattern: Pattern


def basket_of(task: Task, bars: list[Packed]) -> Basket:
    """How many bars of each kind a plan takes."""
    counts = [0] * len(task.kinds)
    for bar in bars:
        counts[bar.kind] += 1
    return tuple(counts)


def cost_of(task: Task, basket: Basket) -> int:
    """What a basket costs."""
    return sum(kind.cost * n for kind, n in zip(task.kinds, basket, strict=True))


def size_of(task: Task, basket: Basket) -> int:
    """Whole size of a basket: for given pieces, the one with the least size leaves the least waste."""
    return sum(kind.size * n for kind, n in zip(task.kinds, basket, strict=True))


def doublings(count: int) -> list[int]:
    """1, 2, 4 ... and a remainder, of which sums give every number up to `count`."""
    parts = []
    part = 1
    while count > 0:
        parts.append(min(part, count))
        count -= parts[-1]
        part *= 2
    return parts
