"""What limited stock does not suffice for: the pieces that lack a length, and how many more lengths would do."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trimwright.stock.parts import Part, StockLength
from trimwright.stock.scale import Scale

__all__ = ["NAMED", "Shortage", "shortage_of"]

NAMED = 3
"""So many of the pieces that lack a length are named."""


@dataclass(frozen=True, slots=True)
class Shortage:
    """The kinds of pieces that lack a length, longest first, each with how many, and what would do."""

    lacking: tuple[Part, ...]
    remedy: str

    @property
    def named(self) -> tuple[Part, ...]:
        """Those that a message names."""
        return self.lacking[:NAMED]

    def __str__(self) -> str:
        more = sum(part.count for part in self.lacking[NAMED:])
        names = ", ".join(map(_name, self.named)) + (f" and {more} more" if more else "")
        return f"no length is left for {names}; {self.remedy}" if names else self.remedy


def shortage_of(parts: Sequence[Part], stock: Sequence[StockLength], limits: Sequence[int], scale: Scale) -> Shortage:
    """What is left over once the pieces are cut, longest first, each from the shortest rest that it fits.

    `limits` says how many there are of each stock length.
    """
    bars = [scale.capacity(s.length) for s, limit in zip(stock, limits, strict=True) for _ in range(limit)]
    lacking = tuple(_left_over(parts, bars, scale))
    return Shortage(lacking, _remedy(lacking, stock, scale))


def _left_over(parts: Sequence[Part], bars: Iterable[int], scale: Scale) -> Iterable[Part]:
    rests = sorted(bars)
    for part in sorted(parts, key=lambda p: -p.length):
        width = scale.width(part.length)
        fitted = sum(_take(rests, width) for _ in range(part.count))
        if fitted < part.count:
            yield Part(part.length, part.count - fitted, part.label)


def _take(rests: list[int], width: int) -> bool:
    """Cuts a width from the shortest rest that it fits, if there is one."""
    k = bisect_left(rests, width)
    if k == len(rests):
        return False
    insort(rests, rests.pop(k) - width)
    return True


def _remedy(lacking: Sequence[Part], stock: Sequence[StockLength], scale: Scale) -> str:
    """The least that has to be had besides, of one of the lengths that are short."""
    ways = []
    for s in stock:
        if lacking and not s.owned and s.quantity is not None and scale.capacity(s.length) >= _widest(lacking, scale):
            more = _bars(lacking, scale.capacity(s.length), scale)
            ways.append((more * s.length, s.length, s.quantity, more))
    if ways:
        _, length, had, more = min(ways)
        return f"quantity = {had + more} in place of {had} for the length {length:g} would do, or add a stock length"
    longest = f" of {lacking[0].length:g} or more" if lacking else ""
    return f"raise a quantity or add a stock length{longest}"


def _widest(lacking: Sequence[Part], scale: Scale) -> int:
    return max(scale.width(part.length) for part in lacking)


def _bars(parts: Sequence[Part], capacity: int, scale: Scale) -> int:
    """How many bars of one length the parts take, longest first."""
    wanted = Counter[int]()
    for part in parts:
        wanted[scale.width(part.length)] += part.count
    rests: list[int] = []
    count = 0
    for width in sorted(wanted.elements(), reverse=True):
        if not _take(rests, width):
            count += 1
            insort(rests, capacity - width)
    return count


def _name(part: Part) -> str:
    if part.label and part.count == 1:
        return f"{part.label} ({part.length:g})"
    what = f" {part.label}" if part.label else ""
    return f"{part.count} of{what} {part.length:g}"
