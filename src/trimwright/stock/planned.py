"""A bill with the cutting plans that it follows from: of a room, or of a whole site."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from trimwright.stock.bill import Bill
from trimwright.stock.offcuts import Offcut
from trimwright.stock.trim_plan import TrimPlan

__all__ = ["PlannedBill"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedBill(Bill):
    """The bill, its cutting plans by trim, and the offcuts that are worth keeping."""

    plans: tuple[TrimPlan, ...]
    offcuts: tuple[Offcut, ...]

    def stock_data(self) -> list[dict[str, Any]]:
        """`stock` of a pack: one entry a bar."""
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
        """`buying` of a pack: one entry a row; what is not known is null."""
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
