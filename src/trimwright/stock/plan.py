"""The cutting plan: which bars to take and which pieces to cut from each, at the least cost and then the least waste.

Lengths in mm, prices in decimal money. Inside, everything is a whole number of steps (`scale.py`) and of cents.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from math import floor, gcd

from trimwright.errors import DoesNotFit
from trimwright.stock.bound import cheap_cuts, cost_bound, next_attainable
from trimwright.stock.parts import Part, StockLength
from trimwright.stock.scale import WORK, Scale, fits, scale_for
from trimwright.stock.search import cheaper, solve
from trimwright.stock.shortage import Shortage, shortage_of
from trimwright.stock.task import Kind, Packed, Task
from trimwright.stock.tidy import tidied

__all__ = ["Bar", "CutPlan", "OutOfStock", "cut_plan", "least_cost", "quick_cost"]

CENT = Decimal("0.01")
DEFAULT_TIME = 9.0
"""Seconds for a plan; most take a small part of one."""
STEADY_WORK = 5_000_000
"""Work of finding one pattern for a plan that has no clock: see `scale.py`."""


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar of stock and the pieces cut from it, longest first; each part has the count 1.

    `waste` is what is neither piece nor kerf between pieces: stock = pieces + (n - 1) kerf + waste.
    """

    stock: StockLength
    pieces: tuple[Part, ...]
    waste: float

    def offcut(self, kerf: float, end_trim: float, least: float) -> float:
        """Length that can be kept: the waste less a parting cut and the trimmed end; 0 if under `least`.

        Its other end is the bar's own, and is trimmed when it is used.
        """
        kept = self.waste - end_trim - kerf
        return kept if kept >= max(least, 0.0) else 0.0


@dataclass(frozen=True, slots=True)
class CutPlan:
    """Bars for all pieces. `status` is "optimal" where no plan can cost less, else "feasible".

    `bound` is a cost that no plan can go under. Both are in money if `priced`, else in numbers of bars bought.
    """

    status: str
    bound: Decimal
    cost: Decimal
    priced: bool
    bars: tuple[Bar, ...]

    @property
    def waste(self) -> float:
        """Waste of all bars, mm."""
        return sum(bar.waste for bar in self.bars)

    @property
    def gap(self) -> float:
        """How far the cost may be above the least, as a part of the bound; 0 if optimal."""
        return float((self.cost - self.bound) / self.bound) if self.bound else float(self.cost > 0)


class OutOfStock(DoesNotFit):
    """Limited stock does not suffice; `shortage` says for which pieces."""

    def __init__(
        self, parts: Sequence[Part], stock: Sequence[StockLength], limits: Sequence[int], shortage: Shortage
    ) -> None:
        wanted = sum(part.length * part.count for part in parts)
        had = sum(s.length * limit for s, limit in zip(stock, limits, strict=True))
        bars = "1 bar" if sum(limits) == 1 else f"{sum(limits)} bars"
        super().__init__(
            f"no way was found to cut the {sum(part.count for part in parts)} pieces ({wanted:g} mm) from the stock"
            f" there is ({had:g} mm in {bars}): {shortage}"
        )
        self.shortage = shortage


def cut_plan(
    demand: Sequence[Part | tuple[float, int]],
    stock: Sequence[StockLength],
    kerf: float = 0.0,
    end_trim: float = 0.0,
    time_limit: float | None = DEFAULT_TIME,
) -> CutPlan:
    """The cheapest way to cut the pieces wanted from the stock, then that of least waste, then the longest offcut.

    n pieces need sum(lengths) + (n - 1) * kerf of a bar less `end_trim` at both its ends: the last piece may end
    where the bar does. Where the price of any bar to be bought is not known, the number bought is counted
    instead. Price 0 and a quantity is stock already owned: it is used first, and what is left of it is nobody's
    waste. After `time_limit` seconds the best plan so far is given with its bound; with None it is by so much work
    instead, the same however fast the machine, and serves for thousands of pieces. Raises DoesNotFit for a piece
    longer than any bar, OutOfStock where limited stock does not suffice.
    """
    parts = [Part(*part) if isinstance(part, tuple) else part for part in demand]
    parts = [part for part in parts if part.count > 0]
    if not parts:
        return CutPlan("optimal", Decimal(0), Decimal(0), _priced(stock), ())
    task, scale = _task_of(parts, stock, kerf, end_trim, STEADY_WORK if time_limit is None else WORK)
    answer = solve(task, time_limit)
    if answer.bars is None:
        limits = [kind.limit for kind in task.kinds]
        raise OutOfStock(parts, stock, limits, shortage_of(parts, stock, limits, scale))
    packed = tidied(task, answer.bars, [k for k, s in enumerate(stock) if s.owned and s.quantity is not None])
    bars = _named(packed, parts, stock, scale)
    cost = _money(sum(task.kinds[bar.kind].cost for bar in packed), stock)
    bound = min(cost, _money(answer.bound, stock))
    return CutPlan("optimal" if bound == cost else "feasible", bound, cost, _priced(stock), bars)


def quick_cost(
    parts: Sequence[Part],
    stock: Sequence[StockLength],
    kerf: float,
    end_trim: float,
    under: Decimal | None = None,
) -> Decimal | None:
    """What a plan made without much effort costs, for comparing lists; None if there is none (`under` a cost)."""
    try:
        task, _ = _task_of(parts, stock, kerf, end_trim)
    except DoesNotFit:
        return None
    bars = solve(task, seconds=0).bars if under is None else cheaper(task, int(under / _unit(stock)))
    return None if bars is None else _money(sum(task.kinds[bar.kind].cost for bar in bars), stock)


def least_cost(
    demand: Sequence[Part], divisible: Sequence[float], stock: Sequence[StockLength], kerf: float, end_trim: float
) -> Decimal:
    """A cost that no plan can go under, wherever lengths that may be divided are divided.

    Each of `divisible` is a length with all its laps, to which the kerf of one more cut belongs. It is taken to
    pour: it is counted in steps, each of which may lie in any bar.
    """
    lengths = [*(part.length for part in demand), *divisible]
    scale = scale_for(lengths, max(s.length for s in stock), kerf, end_trim)
    poured = sum(floor((length + kerf) / scale.step) for length in divisible)
    task = _task(demand, stock, scale, poured)
    cuts = cheap_cuts(task)
    top = sum(kind.cost * kind.limit for kind in task.kinds)
    return _money(next_attainable(cost_bound(cuts, task.kinds), task.kinds, top), stock)


def _priced(stock: Sequence[StockLength]) -> bool:
    return all(s.price is not None for s in stock)


def _unit(stock: Sequence[StockLength]) -> Decimal:
    """What costs are counted in: money, or bars."""
    return CENT if _priced(stock) else Decimal(1)


def _money(units: int, stock: Sequence[StockLength]) -> Decimal:
    return units * _unit(stock)


def _task_of(
    parts: Sequence[Part], stock: Sequence[StockLength], kerf: float, end_trim: float, work: int = WORK
) -> tuple[Task, Scale]:
    """The task of a list; raises DoesNotFit for a piece longer than any bar."""
    longest = max((s.length for s in stock if s.quantity != 0), default=0.0)
    _check_lengths(parts, longest, end_trim)
    scale = scale_for((part.length for part in parts), longest, kerf, end_trim, work)
    return _task(parts, stock, scale), scale


def _check_lengths(parts: Sequence[Part], longest: float, end_trim: float) -> None:
    for part in parts:
        if not fits(part.length, longest, end_trim):
            name = f"{part.label}: " if part.label else ""
            trimmed = f" once {end_trim:g} mm is trimmed from each end" if end_trim else ""
            offer = f"the longest bar gives {longest - 2 * end_trim:g} mm{trimmed}" if longest else "there is no stock"
            raise DoesNotFit(f"{name}a piece of {part.length:g} mm fits no bar: {offer}; add a longer stock length")


def _task(parts: Sequence[Part], stock: Sequence[StockLength], scale: Scale, poured: int = 0) -> Task:
    """Whole numbers: widths with their kerf, bars with one kerf more, everything in the coarsest common step.

    `poured` pieces one step wide are added: what may be divided anywhere.
    """
    wanted: dict[int, int] = {1: poured} if poured else {}
    for part in parts:
        width = scale.width(part.length)
        wanted[width] = wanted.get(width, 0) + part.count
    step = gcd(*wanted)
    widths = tuple(sorted(wanted, reverse=True))
    pieces = sum(wanted.values())
    kinds = []
    # By size what is bought comes first: a millimetre of it outweighs all that is owned.
    outweigh = 1 + pieces * sum(scale.size(s.length) for s in stock if s.owned)
    for s, cost in zip(stock, _costs(stock), strict=True):
        capacity = scale.capacity(s.length)
        limit = 0 if capacity < widths[-1] else pieces if s.quantity is None else min(s.quantity, pieces)
        kinds.append(Kind(capacity // step, cost, scale.size(s.length) * (1 if s.owned else outweigh), limit))
    return Task(tuple(w // step for w in widths), tuple(wanted[w] for w in widths), tuple(kinds))


def _costs(stock: Sequence[StockLength]) -> list[int]:
    """Prices in cents, or 1 for each bar bought where they are not all known."""
    if not _priced(stock):
        return [int(not s.owned) for s in stock]
    return [int(((s.price or Decimal(0)) / CENT).to_integral_value(ROUND_HALF_EVEN)) for s in stock]


def _named(
    packed: Sequence[Packed], parts: Sequence[Part], stock: Sequence[StockLength], scale: Scale
) -> tuple[Bar, ...]:
    """The bars with the pieces by name: those of one width are handed out in the order of the list."""
    queues: dict[int, list[Part]] = {}
    for part in sorted(parts, key=lambda p: -p.length):
        queue = queues.setdefault(scale.width(part.length), [])
        queue += [Part(part.length, 1, part.label)] * part.count
    by_width = [iter(queues[width]) for width in sorted(queues, reverse=True)]
    order = sorted(packed, key=lambda b: (-stock[b.kind].length, b.kind, [-n for n in b.pattern]))
    bars = []
    for bar in order:
        pieces = tuple(next(by_width[i]) for i, n in enumerate(bar.pattern) for _ in range(n))
        used = sum(part.length for part in pieces) + scale.kerf * (len(pieces) - 1)
        bars.append(Bar(stock[bar.kind], pieces, round(max(0.0, stock[bar.kind].length - used), 4)))
    return tuple(bars)
