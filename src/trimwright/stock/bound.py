"""Lower bounds: what any basket of bars must satisfy to hold the pieces, and what it must therefore cost.

Give every width a value and ask what a bar of each kind can carry at most; the bars together must carry the
value of all pieces. Each such `Cut` is an inequality on the basket alone, valid for every plan.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cmp_to_key
from math import gcd

from trimwright.stock.task import Basket, Kind, Task

__all__ = ["Cut", "cheap_cuts", "cost_bound", "l2_bound", "next_attainable"]

MOST_THRESHOLDS = 100
"""Of more different pieces only some serve as thresholds."""
MOST_SUMS = 50_000_000
"""With more sums than this to look at, a bound is left as it is."""


@dataclass(frozen=True, slots=True)
class Cut:
    """sum(carries[s] * basket[s]) >= needed, from a value for every width; all whole numbers, so exact."""

    values: tuple[int, ...]
    carries: tuple[int, ...]
    needed: int

    def slack(self, basket: Basket) -> int:
        """What the basket can carry beyond the need; negative: the pieces cannot fit."""
        return sum(v * n for v, n in zip(self.carries, basket, strict=True)) - self.needed


def _cut(task: Task, values: Iterable[int], carries: Iterable[int]) -> Cut:
    values = tuple(values)
    return Cut(values, tuple(carries), sum(v * d for v, d in zip(values, task.demand, strict=True)))


def cheap_cuts(task: Task) -> list[Cut]:
    """The cuts that need no solver; for one kind of bar the best of them is the bound L2.

    S. Martello, P. Toth, Knapsack Problems, Wiley 1990, section 8.3. With C the greatest capacity and a
    threshold a <= C/2, pieces over C - a count C, those under a nothing, the rest their width: what a bar with
    one of the first kind still holds is under a. A bar too short for these carries its capacity at most.
    Besides: of the pieces at least t long a bar of capacity c holds c // t.
    """
    most = max(kind.capacity for kind in task.kinds)
    cuts = [_cut(task, task.widths, (kind.capacity for kind in task.kinds))]
    thresholds = task.widths[:: 1 + len(task.widths) // MOST_THRESHOLDS]
    for a in (w for w in thresholds if 2 * w <= most):
        values = (most if w > most - a else w if w >= a else 0 for w in task.widths)
        cuts.append(_cut(task, values, (most if kind.capacity > most - a else kind.capacity for kind in task.kinds)))
    for t in thresholds:
        cuts.append(_cut(task, (int(w >= t) for w in task.widths), (kind.capacity // t for kind in task.kinds)))
    return cuts


def cost_bound(cuts: Iterable[Cut], kinds: tuple[Kind, ...]) -> int:
    """The least whole cost that every cut by itself allows (bars taken in fractions, the best value first)."""
    return max((_fractional(cut, kinds) for cut in cuts), default=0)


def _fractional(cut: Cut, kinds: tuple[Kind, ...]) -> int:
    """That of one cut, rounded up: whole lots of the kinds while they last, then a part of one. Whole numbers only."""
    useful = [(kind.cost, v, kind.limit) for v, kind in zip(cut.carries, kinds, strict=True) if v > 0]
    missing, cost = cut.needed, 0
    for price, v, limit in sorted(useful, key=cmp_to_key(_by_rate)):
        if missing <= v * limit:
            return cost - (-max(0, missing) * price // v)
        cost += limit * price
        missing -= v * limit
    return cost


def _by_rate(a: tuple[int, int, int], b: tuple[int, int, int]) -> int:
    """Cost for each unit of value, compared without dividing."""
    return a[0] * b[1] - b[0] * a[1]


def next_attainable(bound: int, kinds: tuple[Kind, ...], top: int) -> int:
    """The least cost from `bound` to `top` that some number of bars adds up to; `top` if there is none.

    The sums that can be reached are the set bits of one long integer; shifting it by a price adds a bar.
    """
    prices = {kind.cost for kind in kinds if kind.cost > 0}
    unit = gcd(*prices) if prices else 1
    if top // unit > MOST_SUMS:
        return bound
    reach, mask = 1, (1 << (top // unit + 1)) - 1
    for price in sorted(prices):
        shift = price // unit
        while shift <= top // unit:
            reach = (reach | reach << shift) & mask
            shift *= 2
    first = -(-bound // unit)
    above = reach >> first
    return (first + (above & -above).bit_length() - 1) * unit if above else top


def l2_bound(widths: tuple[int, ...], demand: tuple[int, ...], capacity: int) -> int:
    """Least number of bars of one capacity by the bound L2."""
    kinds = (Kind(capacity, 1, capacity, sum(demand)),)
    return cost_bound(cheap_cuts(Task(widths, demand, kinds)), kinds)
