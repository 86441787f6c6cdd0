"""Each part of the linear search by itself, against listing everything."""

from __future__ import annotations

import time
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trimwright.stock.bound import Cut, cheap_cuts
from trimwright.stock.completion import pack_into
from trimwright.stock.dive import dive
from trimwright.stock.greedy import fullest, greedy_plan, shrink
from trimwright.stock.master import Columns, Master
from trimwright.stock.patterns import choose, patterns_within
from trimwright.stock.pricing import knapsack
from trimwright.stock.task import Kind, Packed, Task, basket_of, cost_of
from trimwright.stock.tidy import gather_waste

PIECES = st.lists(st.tuples(st.integers(5, 60), st.integers(1, 3)), min_size=1, max_size=5, unique_by=lambda w: w[0])


def task_of(pieces, capacities=(100, 140)):
    pieces = sorted(pieces, reverse=True)
    kinds = tuple(Kind(c, 10 + c // 9, c, sum(n for _, n in pieces)) for c in capacities)
    return Task(tuple(w for w, _ in pieces), tuple(n for _, n in pieces), kinds)


def all_patterns(task, capacity):
    every = product(*(range(n + 1) for n in task.demand))
    return [p for p in every if task.width_of(p) <= capacity]


def pieces_in(task, bars):
    return tuple(sum(bar.pattern[i] for bar in bars) for i in range(len(task.widths)))


def check_bars(task, bars, limits):
    assert pieces_in(task, bars) == task.demand
    assert all(task.width_of(bar.pattern) <= task.kinds[bar.kind].capacity for bar in bars)
    assert all(n <= limit for n, limit in zip(basket_of(task, bars), limits, strict=True))


@settings(max_examples=50, deadline=None, derandomize=True)
@given(PIECES, st.data())
def test_knapsack_finds_the_most_valuable_pattern(pieces, data):
    task = task_of(pieces)
    values = data.draw(st.lists(st.integers(0, 50), min_size=len(pieces), max_size=len(pieces)))
    table = knapsack(task, task.demand, values)
    for kind in task.kinds:
        best = max(sum(v * n for v, n in zip(values, p, strict=True)) for p in all_patterns(task, kind.capacity))
        pattern = table.pattern(kind.capacity)
        assert table.value(kind.capacity) == best
        assert sum(v * n for v, n in zip(values, pattern, strict=True)) == best
        assert pattern in all_patterns(task, kind.capacity)


@settings(max_examples=50, deadline=None, derandomize=True)
@given(PIECES, st.integers(0, 150))
def test_fullest_leaves_least(pieces, room):
    task = task_of(pieces)
    pattern = fullest(task, task.demand, room)
    assert pattern in all_patterns(task, room)
    assert task.width_of(pattern) == max(task.width_of(p) for p in all_patterns(task, room))


@settings(max_examples=30, deadline=None, derandomize=True)
@given(PIECES)
def test_patterns_within_are_those_that_fill_a_bar_up(pieces):
    """With no cut in the way: each pattern to which no piece wanted can be added."""
    task = task_of(pieces)
    lax = [Cut(task.widths, tuple(kind.capacity for kind in task.kinds), 0)]
    found = patterns_within(task, (9, 9), lax, 10_000)
    expected = set()
    for s, kind in enumerate(task.kinds):
        every = set(all_patterns(task, kind.capacity))
        for pattern in every:
            bigger = [tuple(n + (i == k) for i, n in enumerate(pattern)) for k in range(len(pattern))]
            if not any(more in every for more in bigger):
                expected.add(Packed(s, pattern))
    assert found is not None
    assert set(found) == expected
    assert len(found) == len(expected)


def test_too_many_patterns_are_refused():
    task = task_of([(w, 3) for w in range(5, 15)])
    assert patterns_within(task, (9, 9), cheap_cuts(task), 5) is None


@settings(max_examples=25, deadline=None, derandomize=True)
@given(PIECES, st.integers(0, 3), st.integers(0, 3))
def test_completion_programme_and_dive_agree(pieces, few, more):
    """Whether pieces go into bars: decided by completion and by the programme; a dive never claims more."""
    task, basket = task_of(pieces), (few, more)
    packing = pack_into(task, basket, 10_000)
    assert packing.impossible == (packing.bars is None)
    if packing.bars is not None:
        check_bars(task, packing.bars, basket)
    if any(basket):
        every = patterns_within(task, basket, [Cut(task.widths, tuple(k.capacity for k in task.kinds), 0)], 10_000)
        assert every is not None
        chosen = choose(task, basket, every, 10)
        assert (chosen.bars is None) == packing.impossible
        assert chosen.impossible == packing.impossible
        dived = dive(task, Columns(), basket, time.monotonic() + 10)
        assert dived is None or not packing.impossible
        for bars in (chosen.bars, dived):
            if bars is not None:
                check_bars(task, bars, basket)


def test_effort_given_up_proves_nothing():
    task = task_of([(7, 9), (11, 9), (13, 9), (17, 9), (29, 9)])
    packing = pack_into(task, (5, 4), 1)
    assert (packing.bars, packing.impossible) == (None, False)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(PIECES)
def test_the_cut_of_the_relaxed_problem_holds_for_every_pattern(pieces):
    """No bar carries more than the cut says, so the cut is valid; and it proves the relaxed cost."""
    task = task_of(pieces)
    costs = [float(kind.cost) for kind in task.kinds]
    relaxed = Master(task, Columns(), costs, [20 * max(costs)] * len(pieces)).relax(time.monotonic() + 10)
    assert relaxed.done
    assert relaxed.uncut == pytest.approx(0, abs=1e-6)
    for s, kind in enumerate(task.kinds):
        for pattern in all_patterns(task, kind.capacity):
            carried = sum(v * n for v, n in zip(relaxed.cut.values, pattern, strict=True))
            assert carried <= relaxed.cut.carries[s]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(PIECES)
def test_quick_plans_hold_everything_and_tidying_keeps_the_basket(pieces):
    task = task_of(pieces)
    bars = greedy_plan(task)
    assert bars is not None
    limits = [kind.limit for kind in task.kinds]
    check_bars(task, bars, limits)
    smaller = shrink(task, bars)
    check_bars(task, smaller, limits)
    assert cost_of(task, basket_of(task, smaller)) <= cost_of(task, basket_of(task, bars))
    tidy = gather_waste(task, bars)
    check_bars(task, tidy, limits)
    assert basket_of(task, tidy) == basket_of(task, bars)
    room = [[task.kinds[b.kind].capacity - task.width_of(b.pattern) for b in plan] for plan in (tidy, bars)]
    assert max(room[0]) >= max(room[1])
