"""Everything to buy: stock lengths by a cutting plan for each trim, what is spared, and what else the job takes."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil
from typing import Any

from trimwright.errors import RoomFileError
from trimwright.project.project import Project
from trimwright.setout.piece import SetOut, Trim
from trimwright.spelling import nearest
from trimwright.stock.bill import Bill, BuyingRow
from trimwright.stock.holes import Holes, all_holes
from trimwright.stock.joints import least_spent
from trimwright.stock.needs import NOISE, needs_of
from trimwright.stock.offcuts import Offcut, offcuts_of
from trimwright.stock.plan import CutPlan
from trimwright.stock.quantities import FITTINGS, ITEMS, Category, Quantity, quantities
from trimwright.stock.rates import Rates, rates_of
from trimwright.stock.spare import sold_trims, spare_rows
from trimwright.stock.trim_plan import TrimPlan, length_item, piece_parts, plan_parts, shop

__all__ = ["Buying", "BuyingRow", "TrimPlan", "buying"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Buying(Bill):
    """The bill, and what it follows from: cutting plans by trim, holes for screws, offcuts worth keeping, rates."""

    plans: tuple[TrimPlan, ...]
    holes: tuple[Holes, ...]
    offcuts: tuple[Offcut, ...]
    rates: Rates

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

    def offcuts_data(self) -> list[dict[str, Any]]:
        """What is left and worth keeping."""
        return [{"name": o.name, "trim": o.trim, "length": o.length, "stock": o.stock} for o in self.offcuts]

    def costs_data(self) -> dict[str, Any]:
        """The sums of what has a price, and what has none."""
        return {
            "currency": self.currency,
            "net": self.net,
            "tax": self.tax_due,
            "total": self.total,
            "unpriced": self.unpriced,
        }


def buying(set_out: SetOut, project: Project, extra: Sequence[Quantity] = (), fixed: Collection[str] = ()) -> Buying:
    """Plans and rows for a job, with `extra` quantities from elsewhere, priced by their names.

    `fixed` are trims whose screws or clips are among those. Raises DoesNotFit for a piece longer than every stock
    length of its trim.
    """
    prices, rates = project.prices.items, rates_of(project)
    plans: list[TrimPlan] = []
    rows: list[BuyingRow] = []
    for trim in set_out.trims:
        if not set_out.of_trim(trim):
            continue
        if not trim.stock:
            rows.append(_running_metres(set_out, trim, prices))
            continue
        plan = plan_parts(trim, piece_parts(set_out, trim), project)
        least = min(least_spent(trim, set_out, project), plan.cost) if trim.name in set_out.long else plan.cost
        plans.append(TrimPlan(trim=trim.name, plan=plan, least=least))
        rows += _lengths(trim, plan, prices)
    rows += spare_rows(sold_trims(set_out, prices), project.prices.spare, project.saw.end_trim)
    holes = all_holes(set_out, rates, fixed)
    for q in (*quantities(needs_of(set_out, rates, holes), rates), *extra):
        price = prices.get(q.item)
        rows.append(
            BuyingRow(
                item=q.item, quantity=q.quantity, unit=q.unit, price=price, category=q.category, trim=q.trim, note=q.why
            )
        )
    _check_prices(project, rates, rows)
    return Buying(
        plans=tuple(plans),
        rows=tuple(rows),
        currency=project.prices.currency,
        tax=project.prices.tax,
        holes=holes,
        offcuts=offcuts_of(plans, project.saw),
        rates=rates,
    )


def _lengths(trim: Trim, plan: CutPlan, prices: Mapping[str, Decimal]) -> list[BuyingRow]:
    """A row for each length bought; offcuts already owned are in the plan but not bought."""
    counts = [(stock, sum(bar.stock == stock for bar in plan.bars)) for stock in shop(trim, prices)]
    return [
        BuyingRow(
            item=length_item(trim.name, stock.length),
            quantity=Decimal(count),
            unit="length",
            price=stock.price,
            category=Category.TRIM,
            trim=trim.name,
            length=stock.length,
        )
        for stock, count in counts
        if count
    ]


def _running_metres(set_out: SetOut, trim: Trim, prices: Mapping[str, Decimal]) -> BuyingRow:
    """All pieces end to end, where no stock lengths are given: to the decimetre, without kerf or waste."""
    metres = sum(p.length for p in set_out.of_trim(trim)) / 1000
    return BuyingRow(
        item=trim.name,
        quantity=Decimal(ceil(metres * 10 - NOISE)) / 10,
        unit="m",
        price=prices.get(trim.name),
        category=Category.TRIM,
        trim=trim.name,
        note="no stock lengths given: running metres, without waste",
    )


def _check_prices(project: Project, rates: Rates, rows: Sequence[BuyingRow]) -> None:
    """A price for something that no row is called is more likely a slip than a wish."""
    known = {str(rates[name]["item"]) for name in ITEMS} | {row.item for row in rows if row.unit != "length"}
    for trim in project.trims:
        known |= {trim.name, *(length_item(trim.name, s.length) for s in trim.stock)}
        known |= {f"{trim.name} {fitting}" for fitting in FITTINGS if trim.section.kind == "channel"}
    for item in project.prices.items:
        if item not in known:
            hint = nearest(item, sorted(known))
            raise RoomFileError(f"{project.path}: [prices], items: nothing is called '{item}'{hint}")
