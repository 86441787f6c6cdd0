"""The bare list of `trimwright plan`: pieces wanted, lengths to be had, kerf; and the plan as data and as text."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator

from trimwright.project.models import Money, Name, NotNegative, Positive, Table
from trimwright.project.read import read_toml, validate
from trimwright.scalars import Whole
from trimwright.stock.parts import Part, StockLength
from trimwright.stock.plan import CutPlan, cut_plan
from trimwright.terminal import table_text
from trimwright.tolerance import MOST_PIECES
from trimwright.units import length

__all__ = ["ListFile", "plan_json", "plan_list", "plan_report", "plan_text", "read_list"]

Count = Annotated[Whole, Field(ge=1, le=100_000)]


class PieceTable(Table):
    """`[[piece]]`: a length wanted, how often, and what it is for."""

    length: Positive
    count: Count = 1
    name: Name | None = None


class StockTable(Table):
    """`[[stock]]`: a length that can be had, its price and how many there are; price 0: already owned."""

    length: Positive
    price: Money | None = None
    quantity: Annotated[Whole | None, Field(ge=0, le=100_000)] = None


class ListFile(Table):
    """The whole file."""

    kerf: Annotated[float, BeforeValidator(length), Field(ge=0, le=20)] = 3.0
    end_trim: NotNegative = 0.0
    piece: Annotated[list[PieceTable], Field(min_length=1, max_length=10_000)]
    stock: Annotated[list[StockTable], Field(min_length=1, max_length=500)]

    @model_validator(mode="after")
    def _not_too_many(self) -> ListFile:
        count = sum(p.count for p in self.piece)
        if count > MOST_PIECES:
            raise ValueError(f"{count} pieces are wanted; {MOST_PIECES} are the most one plan is made for")
        return self


def read_list(path: Path) -> ListFile:
    """The checked contents of a list. Raises RoomFileError with a line for everything wrong with it."""
    return validate(ListFile, read_toml(path), path)


def plan_list(tables: ListFile) -> CutPlan:
    """The cutting plan for a list. Raises DoesNotFit for a piece longer than every bar."""
    parts = [Part(p.length, p.count, p.name or "") for p in tables.piece]
    stock = [StockLength(s.length, s.price, s.quantity) for s in tables.stock]
    return cut_plan(parts, stock, tables.kerf, tables.end_trim)


def plan_json(plan: CutPlan) -> dict[str, Any]:
    """The plan as data: {status, bound, cost, bars: [{stock, pieces: [lengths], waste}]}."""
    return {
        "status": plan.status,
        "bound": _number(plan.bound),
        "cost": _number(plan.cost),
        "bars": [
            {"stock": bar.stock.length, "pieces": [part.length for part in bar.pieces], "waste": bar.waste}
            for bar in plan.bars
        ],
    }


def plan_text(plan: CutPlan, kerf: float, end_trim: float) -> str:
    """The plan for a person: a line for each way of cutting a bar and how many bars are cut so, then the sum."""
    ways: dict[tuple[float, str, float], int] = {}
    for bar in plan.bars:
        pieces = " + ".join(f"{part.label + ' ' if part.label else ''}{part.length:g}" for part in bar.pieces)
        way = (bar.stock.length, pieces, bar.offcut(kerf, end_trim, 0.0))
        ways[way] = ways.get(way, 0) + 1
    rows = [(count, *way) for way, count in ways.items()]
    return table_text(("bars", "stock", "pieces", "left over"), rows) + "\n\n" + _summary(plan)


def plan_report(path: Path, as_json: bool = False) -> str:
    """What `trimwright plan` prints for a list."""
    tables = read_list(Path(path))
    plan = plan_list(tables)
    return json.dumps(plan_json(plan), indent=1) if as_json else plan_text(plan, tables.kerf, tables.end_trim)


def _summary(plan: CutPlan) -> str:
    cost = f"cost {plan.cost:.2f}" if plan.priced else f"{plan.cost:f} bars to buy"
    if plan.status == "optimal":
        proof = "no plan costs less" if plan.priced else "no plan takes fewer"
    else:
        proof = f"at most {plan.gap:.2%} above the least there can be"
    stock = sum(bar.stock.length for bar in plan.bars)
    return f"{len(plan.bars)} bars, {cost} ({proof}); waste {plan.waste:.0f} mm of {stock:.0f} mm"


def _number(value: Decimal) -> int | float:
    return int(value) if value == value.to_integral_value() else float(value)
