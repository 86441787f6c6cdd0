"""The cutting plan of one trim: lengths in the shop and those owned, pieces rounded up to what a saw can cut."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from trimwright.errors import DoesNotFit
from trimwright.project.project import Project
from trimwright.setout.piece import Piece, Trim
from trimwright.stock.parts import Part, StockLength
from trimwright.stock.plan import Bar, CutPlan, cut_plan

__all__ = ["GRAIN", "TrimPlan", "all_lengths", "length_item", "part_of", "parts_of", "plan_parts", "shop"]

GRAIN = 0.1
"""Pieces are taken as this much longer at most, mm: no saw cuts finer, and round numbers plan faster."""
LONGEST_TIME = 10.0
"""Seconds for the plan of one trim; an ordinary room takes a few thousandths."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimPlan:
    """The cutting plan of one trim; the labels of its parts are the pieces' ids.

    `least` is what no plan could go under wherever joints along walls were put; that of the plan itself without any.
    """

    trim: str
    plan: CutPlan
    least: Decimal

    @property
    def proof(self) -> str:
        """How good the plan is, in words."""
        if self.plan.status != "optimal":
            return f"within {self.plan.gap:.2%} of the best"
        if self.least < self.plan.cost:
            saved = f"{self.plan.cost - self.least:.2f}" if self.plan.priced else f"{self.plan.cost - self.least} bars"
            return f"least with these joints; no others save more than {saved}"
        return "no plan costs less" if self.plan.priced else "no plan takes fewer"

    def offcuts(self, kerf: float, end_trim: float, least: float) -> tuple[tuple[Bar, float], ...]:
        """Bars that leave a length worth keeping, and that length."""
        kept = ((bar, bar.offcut(kerf, end_trim, least)) for bar in self.plan.bars)
        return tuple((bar, length) for bar, length in kept if length > 0)


def shop(trim: Trim, prices: Mapping[str, Decimal]) -> list[StockLength]:
    """The lengths sold, each once, with its price or that of the list of prices."""
    known = {
        s: StockLength(
            s.length, prices.get(length_item(trim.name, s.length)) if s.price is None else s.price, s.quantity
        )
        for s in trim.stock
    }
    return list(dict.fromkeys(known.values()))


def length_item(trim: str, length: float) -> str:
    """What a length is called on the bill."""
    return f"{trim} {length:g} mm"


def all_lengths(trim: Trim, project: Project) -> list[StockLength]:
    """Those of the shop, then those owned."""
    owned = [StockLength(o.length, Decimal(0), o.count) for o in project.offcuts if o.trim == trim.name]
    return [*shop(trim, project.prices.items), *owned]


def part_of(length: float, label: str = "") -> Part:
    """A length as part of a plan."""
    return Part(round(ceil(length / GRAIN - 1e-3) * GRAIN, 4), 1, label)


def parts_of(pieces: Iterable[Piece]) -> list[Part]:
    """Pieces as parts of a plan, with their ids."""
    return [part_of(piece.length, piece.id) for piece in pieces]


def plan_parts(trim: Trim, parts: list[Part], project: Project) -> CutPlan:
    """The plan; raises DoesNotFit naming the trim for a piece longer than every length, or too few lengths."""
    try:
        return cut_plan(parts, all_lengths(trim, project), project.saw.kerf, project.saw.end_trim, LONGEST_TIME)
    except DoesNotFit as error:
        raise DoesNotFit(f"trim '{trim.name}', stock: {error}") from None
