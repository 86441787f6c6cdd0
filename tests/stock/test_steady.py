"""Plans by work in place of the clock: lawful, near the bound, the same every time, for lists of a whole site."""

from __future__ import annotations

import random
from decimal import Decimal

import pytest

from cutting_laws import check_laws
from trimwright.errors import DoesNotFit
from trimwright.stock import steady
from trimwright.stock.parts import StockLength
from trimwright.stock.plan import cut_plan

SHOP = [
    StockLength(2400.0, Decimal("14.20")),
    StockLength(3000.0, Decimal("17.10")),
    StockLength(4200.0, Decimal("24.50")),
]


def a_list(pieces: int, lengths: int) -> list[tuple[float, int]]:
    chance = random.Random(7)
    chosen = [round(chance.uniform(280, 4100), 1) for _ in range(lengths)]
    return [(length, pieces // lengths) for length in chosen]


@pytest.mark.parametrize("pieces", [1000, 10_000])
def test_a_site_of_sixty_lengths_is_within_a_fifth_of_a_per_cent(pieces: int) -> None:
    wanted = a_list(pieces, 60)
    plan = cut_plan(wanted, SHOP, 3.0, time_limit=None)
    check_laws(plan, wanted, SHOP, 3.0)
    assert plan.gap <= 0.002


def test_lots_share_what_there_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """Five lots one after the other: lawful, twice the same, no more than a hundredth above the bound of them all."""
    monkeypatch.setattr(steady, "LOT", 40)
    wanted = a_list(200, 200)
    stock = [*SHOP, StockLength(3300.0, Decimal(0), 3), StockLength(3900.0, Decimal("21.00"), 5)]
    plan = cut_plan(wanted, stock, 3.0, end_trim=5, time_limit=None)
    check_laws(plan, wanted, stock, 3.0, 5)
    assert cut_plan(wanted, stock, 3.0, end_trim=5, time_limit=None) == plan
    assert plan.gap <= 0.03
    assert sum(bar.stock.owned for bar in plan.bars) == 3


def test_small_lists_are_proven_as_ever() -> None:
    wanted = [(1200.0, 3), (700.0, 4), (430.0, 2)]
    plan = cut_plan(wanted, SHOP, 3.0, time_limit=None)
    assert plan.status == "optimal"
    assert plan.cost == cut_plan(wanted, SHOP, 3.0).cost


def test_too_little_stock_is_said() -> None:
    with pytest.raises(DoesNotFit, match="no way was found to cut the 60 pieces"):
        cut_plan([(1500.0, 60)], [StockLength(3100.0, Decimal(5), 20)], 3.0, time_limit=None)
