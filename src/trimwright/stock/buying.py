"""Everything to buy: stock lengths by a cutting plan for each trim, what is spared, and what else the job takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from trimwright.errors import RoomFileError
from trimwright.project.project import Project
from trimwright.setout.piece import SetOut
from trimwright.spelling import nearest
from trimwright.stock.bill import BuyingRow
from trimwright.stock.holes import Holes, all_holes
from trimwright.stock.joints import least_spent
from trimwright.stock.needs import NOISE, needs_of
from trimwright.stock.offcuts import offcuts_of
from trimwright.stock.parts import StockLength
from trimwright.stock.plan import CutPlan
from trimwright.stock.planned import PlannedBill
from trimwright.stock.quantities import FITTINGS, ITEMS, Category, Quantity, quantities
from trimwright.stock.rates import Rates, rates_of
from trimwright.stock.spare import sold_trims, spare_rows
from trimwright.stock.trim_plan import TrimPlan, length_item, parts_of, plan_parts, shop

__all__ = ["Buying", "BuyingRow", "TrimPlan", "bought_lengths", "buying", "running_metres"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Buying(PlannedBill):
    """The bill and the plans of a room, its holes for screws, and the rates that it follows from."""

    holes: tuple[Holes, ...]
    rates: Rates


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
            run = sum(piece.length for piece in set_out.of_trim(trim))
            rows.append(running_metres(trim.name, run, prices.get(trim.name)))
            continue
        parts, stretches = parts_of(set_out.of_trim(trim)), set_out.long.get(trim.name, ())
        plan = plan_parts(trim, parts, project)
        least = min(least_spent(trim, parts, stretches, project), plan.cost) if stretches else plan.cost
        plans.append(TrimPlan(trim=trim.name, plan=plan, least=least))
        rows += bought_lengths(trim.name, shop(trim, prices), plan)
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


def bought_lengths(trim: str, lengths: Sequence[StockLength], plan: CutPlan) -> list[BuyingRow]:
    """A row for each length bought; offcuts already owned are in the plan but not bought."""
    counts = Counter(bar.stock for bar in plan.bars)
    return [
        BuyingRow(
            item=length_item(trim, stock.length),
            quantity=Decimal(counts[stock]),
            unit="length",
            price=stock.price,
            category=Category.TRIM,
            trim=trim,
            length=stock.length,
        )
        for stock in lengths
        if counts[stock]
    ]


def running_metres(trim: str, run: float, price: Decimal | None) -> BuyingRow:
    """All pieces end to end, where no stock lengths are given: to the decimetre, without kerf or waste."""
    return BuyingRow(
        item=trim,
        quantity=Decimal(ceil(run / 100 - NOISE)) / 10,
        unit="m",
        price=price,
        category=Category.TRIM,
        trim=trim,
        note="no stock lengths given: running metres, without waste",
    )


def _check_prices(project: Project, rates: Rates, rows: Sequence[BuyingRow]) -> None:
    """A price for something that no row is called is more likely a slip than a wish."""
    known = {str(rates[name]["item"]) for name in ITEMS} | {row.item for row in rows if row.unit != "length"}
    for trim in project.trims:
        known |= {trim.name, *(length_item(trim.name, s.length) for s in trim.stock)}
        known |= {f"{trim.name} {fitting}" for fitting in FITTINGS if trim.section.kind == "channel"}
    for item in project.prices.items:
        if item not in known and item not in project.shared_prices:
            hint = nearest(item, sorted(known))
            raise RoomFileError(f"{project.path}: [prices], items: nothing is called '{item}'{hint}")
