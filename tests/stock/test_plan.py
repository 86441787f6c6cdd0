"""Cutting plans obey the laws, match a second solver, and say clearly what cannot be done."""

from __future__ import annotations

import random
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutting_laws import check_laws, independent_optimum
from trimwright.errors import DoesNotFit
from trimwright.stock import linear, search
from trimwright.stock.completion import Packing
from trimwright.stock.parts import Part, StockLength
from trimwright.stock.plan import cut_plan, quick_cost

WANTED = st.lists(st.tuples(st.integers(10, 100), st.integers(1, 3)), min_size=1, max_size=5, unique_by=lambda w: w[0])
STOCK = st.lists(
    st.tuples(st.integers(60, 220), st.integers(1, 30), st.none() | st.integers(0, 4)),
    min_size=1,
    max_size=4,
    unique_by=lambda s: s[0],
)


def shop(stock: list[tuple[int, int, int | None]]) -> list[StockLength]:
    return [StockLength(float(length), Decimal(cost), quantity) for length, cost, quantity in stock]


def compare(wanted: list[tuple[int, int]], stock: list[tuple[int, int, int | None]], kerf: int, trim: int) -> None:
    """The plan is proven, lawful, and has the cost and the waste that the second solver finds; or both find none."""
    expected = independent_optimum(wanted, stock, kerf, trim)
    pieces = [(float(length), count) for length, count in wanted]
    if expected is None:
        with pytest.raises(DoesNotFit):
            cut_plan(pieces, shop(stock), kerf, trim)
        return
    plan = cut_plan(pieces, shop(stock), kerf, trim)
    check_laws(plan, pieces, shop(stock), kerf, trim)
    assert plan.status == "optimal"
    assert (plan.cost, sum(bar.stock.length + kerf for bar in plan.bars)) == expected


@settings(max_examples=60, deadline=None, derandomize=True)
@given(WANTED, STOCK, st.integers(0, 5), st.sampled_from([0, 0, 7]))
def test_cost_and_waste_are_the_least(wanted, stock, kerf, trim):
    compare(wanted, stock, kerf, trim)


@pytest.fixture
def through_the_solver(monkeypatch):
    """Sends small tasks through column generation and the programme over patterns, which they would not need."""
    monkeypatch.setattr(search, "SMALL_PIECES", -1)
    monkeypatch.setattr(linear, "pack_into", lambda task, basket, effort: Packing(None, False))


@pytest.mark.parametrize("dives", [True, False])
def test_the_solver_agrees_as_well(through_the_solver, monkeypatch, dives):
    if not dives:
        monkeypatch.setattr(linear, "dive", lambda task, columns, basket, deadline: None)

    @settings(max_examples=30, deadline=None, derandomize=True)
    @given(WANTED, STOCK, st.integers(0, 5), st.just(0))
    def agree(wanted, stock, kerf, trim):
        compare(wanted, stock, kerf, trim)

    agree()


def test_last_piece_may_end_where_the_bar_does():
    """n pieces need n - 1 cuts: two of 1198.5 and a kerf of 3 make 2400 exactly."""
    assert len(cut_plan([(1198.5, 2)], [StockLength(2400)], kerf=3).bars) == 1
    assert len(cut_plan([(1198.52, 2)], [StockLength(2400)], kerf=3).bars) == 2


def test_both_ends_of_stock_are_trimmed():
    assert len(cut_plan([(1195, 2)], [StockLength(2400)], end_trim=5).bars) == 1
    assert len(cut_plan([(1195.1, 2)], [StockLength(2400)], end_trim=5).bars) == 2


def test_without_prices_bars_are_counted_and_the_shorter_taken():
    plan = cut_plan([(1000, 2)], [StockLength(3000), StockLength(2400)])
    assert not plan.priced
    assert (plan.cost, [bar.stock.length for bar in plan.bars]) == (1, [2400])


def test_one_price_missing_counts_bars_and_never_takes_it_for_nothing():
    plan = cut_plan([(1000, 2)], [StockLength(2400, Decimal(9)), StockLength(1000)])
    assert not plan.priced
    assert (plan.cost, [bar.stock.length for bar in plan.bars]) == (1, [2400])


def test_owned_offcuts_are_used_first():
    stock = [StockLength(2400, Decimal("14.20")), StockLength(1100, Decimal(0), 2)]
    assert [bar.stock.length for bar in cut_plan([(1000, 2)], stock).bars] == [1100, 1100]
    assert cut_plan([(1000, 2)], stock).cost == 0
    assert cut_plan([(1000, 3)], stock).cost == Decimal("14.20")


def test_owned_offcuts_are_not_counted_as_bought():
    plan = cut_plan([(1000, 3)], [StockLength(2400), StockLength(1100, Decimal(0), 1)])
    assert (plan.priced, plan.cost, len(plan.bars)) == (False, 1, 2)


def test_an_owned_offcut_is_cut_even_if_a_new_bar_would_hold_all():
    """2000 needs a new bar, which holds the 900 too; cut from the owned 1000, it leaves 1100 of the new bar whole."""
    plan = cut_plan([(2000, 1), (900, 1)], [StockLength(3100, Decimal(9)), StockLength(1000, Decimal(0), 1)])
    assert {bar.stock.length: bar.waste for bar in plan.bars} == {3100: 1100, 1000: 100}
    assert (plan.cost, plan.status) == (9, "optimal")


def test_owned_bars_do_not_lengthen_what_is_bought():
    """2000 + 1000: one bar of 3000; or, with 2100 owned, one of 1200 at the same price, though that is more in all."""
    stock = [StockLength(3000, Decimal(9)), StockLength(1200, Decimal(9)), StockLength(2100, Decimal(0), 1)]
    assert sorted(bar.stock.length for bar in cut_plan([(2000, 1), (1000, 1)], stock).bars) == [1200, 2100]


def test_prices_are_kept_to_the_cent():
    plan = cut_plan([(2000, 7)], [StockLength(2400, Decimal("0.10"))])
    assert (plan.cost, plan.bound) == (Decimal("0.70"), Decimal("0.70"))


def test_waste_is_gathered_into_one_offcut():
    """Three of 900 and one of 500 on two bars of 2000: 900 + 900 and 900 + 500 leave 200 and 600, never less."""
    plan = cut_plan([(900, 3), (500, 1)], [StockLength(2000)])
    assert sorted(bar.waste for bar in plan.bars) == [200, 600]


def test_offcut_is_what_remains_after_a_parting_cut():
    (bar,) = cut_plan([(1000, 1)], [StockLength(2400)], kerf=3, end_trim=10).bars
    assert bar.offcut(kerf=3, end_trim=10, least=300) == pytest.approx(2400 - 1000 - 3 - 10)
    assert bar.offcut(kerf=3, end_trim=10, least=1500) == 0


def test_labels_follow_their_pieces():
    parts = [Part(700, 1, "P2"), Part(1200, 1, "P1"), Part(700.0, 2, "P3")]
    plan = cut_plan(parts, [StockLength(2400)])
    assert sorted((p.label, p.length) for bar in plan.bars for p in bar.pieces) == [
        ("P1", 1200),
        ("P2", 700),
        ("P3", 700),
        ("P3", 700),
    ]


def test_nothing_wanted_costs_nothing():
    plan = cut_plan([], [StockLength(2400, Decimal(5))])
    assert (plan.status, plan.cost, plan.bars) == ("optimal", 0, ())


@pytest.mark.parametrize("trim", [0, 20])
def test_a_piece_longer_than_any_bar_is_named(trim):
    with pytest.raises(DoesNotFit, match=rf"C4: a piece of 2500 mm .* {2400 - 2 * trim} mm"):
        cut_plan([Part(2500, 1, "C4"), Part(100, 1, "C5")], [StockLength(2400)], end_trim=trim)


def test_too_little_limited_stock_is_said():
    with pytest.raises(DoesNotFit, match="quantity = 3 in place of 2 for the length 2400 would do"):
        cut_plan([(1500, 3)], [StockLength(2400, Decimal(9), 2)])


def test_the_same_list_gives_the_same_plan():
    wanted = [(float(300 + 137 * k % 2100), 1 + k % 3) for k in range(30)]
    stock = [StockLength(2400, Decimal("14.20")), StockLength(3000, Decimal("17.10"))]
    first, second = (cut_plan(wanted, stock, 3) for _ in range(2))
    assert first == second
    check_laws(first, wanted, stock, 3)


def test_time_given_up_still_leaves_a_lawful_plan_with_its_bound():
    wanted = [(float(250 + 79 * k % 2600), 12) for k in range(40)]
    stock = [StockLength(2400, Decimal("14.20")), StockLength(4200, Decimal("24.50"))]
    plan = cut_plan(wanted, stock, 3, time_limit=0)
    check_laws(plan, wanted, stock, 3)
    assert plan.gap < 0.1


def test_a_quick_plan_under_a_cost_is_the_quick_plan_if_that_costs_less() -> None:
    rng = random.Random(5)
    for _ in range(200):
        lengths = rng.sample([1800, 2400, 3000, 3600, 4200], rng.randrange(1, 4))
        stock = [StockLength(x, Decimal(rng.randrange(300, 3000)) / 100, rng.choice([None, None, 4])) for x in lengths]
        parts = [Part(round(rng.uniform(100, max(lengths)), 1)) for _ in range(rng.choice([2, 9, 20, 41]))]
        cost = quick_cost(parts, stock, 3, 0)
        for limit in [Decimal(50)] if cost is None else [max(cost - 5, Decimal(0)), cost, cost + Decimal("0.01")]:
            assert quick_cost(parts, stock, 3, 0, limit) == (cost if cost is not None and cost < limit else None)
