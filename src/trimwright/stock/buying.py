"""The buying list: stock lengths by a cutting plan for each trim, and what else the job takes, with prices if known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from math import ceil
from typing import Any

from trimwright.errors import DoesNotFit, RoomFileError
from trimwright.project.project import Project
from trimwright.project.read import nearest
from trimwright.setout.piece import SetOut, Trim
from trimwright.stock.plan import CENT, CutPlan, Part, StockLength, cut_plan
from trimwright.stock.quantities import quantities

__all__ = ["Buying", "BuyingRow", "TrimPlan", "buying"]

GRAIN = 0.1
"""Pieces are taken as this much longer at most, mm: no saw cuts finer, and round numbers plan faster."""
LONGEST_TIME = 10.0
"""Seconds for the plan of one trim; an ordinary room takes a few hundredths."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyingRow:
    """One line of the list. `price` is for one unit; `price` and `cost` are None where the price is not known.

    `length` is that of a stock length, mm.
    """

    item: str
    quantity: Decimal
    unit: str
    price: Decimal | None
    note: str = ""
    length: float | None = None

    @property
    def cost(self) -> Decimal | None:
        """Price times quantity, to the cent."""
        return None if self.price is None else (self.price * self.quantity).quantize(CENT, ROUND_HALF_UP)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimPlan:
    """The cutting plan of one trim; the labels of its parts are the pieces' ids."""

    trim: str
    plan: CutPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Buying:
    """Everything to buy: cutting plans by trim, rows, the currency of the prices, and tax in per cent."""

    plans: tuple[TrimPlan, ...]
    rows: tuple[BuyingRow, ...]
    currency: str
    tax: Decimal

    @property
    def net(self) -> Decimal:
        """Sum of the costs that are known, before tax."""
        return sum((row.cost for row in self.rows if row.cost is not None), Decimal(0))

    @property
    def total(self) -> Decimal:
        """The same with tax."""
        return (self.net * (1 + self.tax / 100)).quantize(CENT, ROUND_HALF_UP)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Items whose price is not known: the total is without them."""
        return tuple(row.item for row in self.rows if row.cost is None)

    def total_words(self) -> str:
        """'118.30 EUR', with the tax if there is one; 'no prices' where none is known."""
        if len(self.unpriced) == len(self.rows):
            return "no prices"
        words = f"{self.total:.2f} {self.currency}".rstrip()
        return f"{words} with {self.tax.normalize():f} % tax" if self.tax else words

    def stock_data(self) -> list[dict[str, Any]]:
        """`stock` of the pack: one entry a bar."""
        return [
            {
                "trim": trim.trim,
                "length": bar.stock.length,
                "pieces": [part.label for part in bar.pieces],
                "waste": bar.waste,
            }
            for trim in self.plans
            for bar in trim.plan.bars
        ]

    def rows_data(self) -> list[dict[str, Any]]:
        """`buying` of the pack: one entry a row; what is not known is null."""
        return [
            {"item": r.item, "quantity": r.quantity, "unit": r.unit, "price": r.price, "cost": r.cost}
            for r in self.rows
        ]


def buying(set_out: SetOut, project: Project) -> Buying:
    """Plans and rows for a job. Raises DoesNotFit for a piece longer than every stock length of its trim."""
    prices = project.prices.items
    plans = []
    rows: list[BuyingRow] = []
    for trim in set_out.trims:
        if not set_out.of_trim(trim):
            continue
        if not trim.stock:
            rows.append(_running_metres(set_out, trim, prices))
            continue
        shop = _shop(trim, prices)
        plan = _plan(set_out, trim, shop, project)
        plans.append(TrimPlan(trim=trim.name, plan=plan))
        rows += _lengths(trim, plan, shop)
    for q in quantities(set_out):
        rows.append(BuyingRow(item=q.item, quantity=q.quantity, unit=q.unit, price=prices.get(q.item), note=q.why))
    _check_prices(project, rows)
    return Buying(plans=tuple(plans), rows=tuple(rows), currency=project.prices.currency, tax=project.prices.tax)


def _shop(trim: Trim, prices: Mapping[str, Decimal]) -> list[StockLength]:
    """The lengths sold, each once, with its price or that of the list of prices."""
    sold = dict.fromkeys(trim.stock)
    return [StockLength(s.length, prices.get(_item(trim, s.length)) if s.price is None else s.price) for s in sold]


def _item(trim: Trim, length: float) -> str:
    return f"{trim.name} {length:g} mm"


def _plan(set_out: SetOut, trim: Trim, shop: Sequence[StockLength], project: Project) -> CutPlan:
    parts = [Part(_grain(p.length), 1, p.id) for p in set_out.of_trim(trim)]
    owned = [StockLength(o.length, Decimal(0), o.count) for o in project.offcuts if o.trim == trim.name]
    try:
        return cut_plan(parts, [*shop, *owned], project.saw.kerf, time_limit=LONGEST_TIME)
    except DoesNotFit as error:
        raise DoesNotFit(f"trim '{trim.name}', stock: {error}") from None


def _grain(length: float) -> float:
    return round(ceil(length / GRAIN - 1e-3) * GRAIN, 4)


def _lengths(trim: Trim, plan: CutPlan, shop: Sequence[StockLength]) -> list[BuyingRow]:
    """A row for each length bought; offcuts already owned are in the plan but not bought."""
    counts = [(stock, sum(bar.stock == stock for bar in plan.bars)) for stock in shop]
    return [
        BuyingRow(
            item=_item(trim, stock.length),
            quantity=Decimal(count),
            unit="length",
            price=stock.price,
            length=stock.length,
        )
        for stock, count in counts
        if count
    ]


def _running_metres(set_out: SetOut, trim: Trim, prices: Mapping[str, Decimal]) -> BuyingRow:
    """All pieces end to end, where no stock lengths are given: to the decimetre, without kerf or waste."""
    metres = sum(p.length for p in set_out.of_trim(trim)) / 1000
    quantity = Decimal(ceil(metres * 10 - 1e-6)) / 10
    note = "no stock lengths given: running metres, without waste"
    return BuyingRow(item=trim.name, quantity=quantity, unit="m", price=prices.get(trim.name), note=note)


def _check_prices(project: Project, rows: Sequence[BuyingRow]) -> None:
    """A price for something that no row is called is more likely a slip than a wish."""
    known = {"adhesive", "filler", "pins", "paint", *(row.item for row in rows)}
    known |= {trim.name for trim in project.trims}
    known |= {f"{trim.name} {s.length:g} mm" for trim in project.trims for s in trim.stock}
    for item in project.prices.items:
        if item not in known:
            hint = nearest(item, sorted(known))
            raise RoomFileError(f"{project.path}: [prices], items: nothing is called '{item}'{hint}")
