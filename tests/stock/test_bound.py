"""Bounds never pass the answer, and baskets are all found."""

from __future__ import annotations

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from cutting_laws import independent_optimum
from trimwright.stock.baskets import baskets_between
from trimwright.stock.bound import cheap_cuts, cost_bound, l2_bound, next_attainable
from trimwright.stock.completion import pack_into
from trimwright.stock.task import Kind, Task, cost_of

WIDTHS = st.lists(st.tuples(st.integers(5, 50), st.integers(1, 3)), min_size=1, max_size=5, unique_by=lambda w: w[0])


def task_of(wanted, kinds):
    wanted = sorted(wanted, reverse=True)
    return Task(tuple(w for w, _ in wanted), tuple(n for _, n in wanted), kinds)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(WIDTHS, st.integers(50, 110))
def test_l2_never_passes_the_answer_nor_falls_short_of_the_volume(wanted, capacity):
    """Martello & Toth, Knapsack Problems, 1990, section 8.3: L1 <= L2 <= optimum."""
    task = task_of(wanted, ())
    bound = l2_bound(task.widths, task.demand, capacity)
    least, _ = independent_optimum(wanted, [(capacity, 1, None)], kerf=0)
    assert -(-sum(w * n for w, n in wanted) // capacity) <= bound <= least


def test_l2_counts_what_cannot_share_a_bar():
    """Three pieces over half a bar need three bars though they fill hardly more than one and a half."""
    assert l2_bound((51,), (3,), 100) == 3
    # With a threshold of 30 the piece of 71 fills its bar, and 60 + 40 + 30 + 30 fill 1.6 others.
    assert l2_bound((71, 60, 40, 30), (1, 1, 1, 2), 100) == 3


@settings(max_examples=40, deadline=None, derandomize=True)
@given(WIDTHS, st.lists(st.integers(50, 110), min_size=2, max_size=3, unique=True), st.randoms())
def test_cuts_forbid_no_basket_that_does(wanted, capacities, random):
    kinds = tuple(Kind(c, random.randint(1, 30), c, 3) for c in capacities)
    task = task_of(wanted, kinds)
    cuts = cheap_cuts(task)
    for basket in product(range(4), repeat=len(kinds)):
        if pack_into(task, basket, 2000).bars is not None:
            assert all(cut.slack(basket) >= 0 for cut in cuts)
            assert cost_bound(cuts, kinds) <= cost_of(task, basket)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(WIDTHS, st.lists(st.integers(50, 110), min_size=1, max_size=3, unique=True), st.randoms())
def test_every_basket_within_the_cuts_is_listed_in_order(wanted, capacities, random):
    kinds = tuple(Kind(c, random.choice([0, 7, 12, 30]), c, random.randint(0, 4)) for c in capacities)
    task = task_of(wanted, kinds)
    cuts = cheap_cuts(task)
    low, high = 10, 70
    expected = [
        basket
        for basket in product(*(range(kind.limit + 1) for kind in kinds))
        if low <= cost_of(task, basket) <= high and all(cut.slack(basket) >= 0 for cut in cuts)
    ]
    found = baskets_between(task, cuts, low, high, 1000)
    assert found is not None
    assert sorted(found) == sorted(expected)
    assert [cost_of(task, b) for b in found] == sorted(cost_of(task, b) for b in found)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.lists(st.integers(0, 40), min_size=1, max_size=3), st.integers(0, 90))
def test_next_attainable_is_a_sum_of_prices(prices, bound):
    kinds = tuple(Kind(1, price, 1, 100) for price in prices)
    sums = {0}
    for price in prices:
        sums = {s + price * n for s in sums for n in range(100 // price + 1 if price else 1)}
    assert next_attainable(bound, kinds, 100) == min((s for s in sums if bound <= s <= 100), default=100)
