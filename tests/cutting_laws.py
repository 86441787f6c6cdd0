"""What every cutting plan must obey, and a second way to the least cost that shares no code with the program."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from itertools import product

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp

from trimwright.stock.parts import StockLength
from trimwright.stock.plan import CutPlan

Lengths = Sequence[tuple[float, int]]


def check_laws(plan: CutPlan, wanted: Lengths, stock: Sequence[StockLength], kerf: float, end_trim: float = 0) -> None:
    """Every piece once; pieces + kerf + waste = stock; nothing beyond the bar, the quantities or the bound."""
    cut = Counter(part.length for bar in plan.bars for part in bar.pieces)
    asked: Counter[float] = Counter()
    for length, count in wanted:
        asked[length] += count
    assert cut == asked
    for bar in plan.bars:
        used = sum(part.length for part in bar.pieces) + kerf * (len(bar.pieces) - 1)
        assert used <= bar.stock.length - 2 * end_trim + 1e-3
        assert used + bar.waste == pytest.approx(bar.stock.length, abs=1e-3)
    for kind, taken in Counter(bar.stock for bar in plan.bars).items():
        assert kind in stock
        assert kind.quantity is None or taken <= kind.quantity * sum(s == kind for s in stock)
    priced = all(s.price is not None for s in stock)
    assert plan.priced == priced
    bills = [bar.stock.price if priced else Decimal(bar.stock.price != 0) for bar in plan.bars]
    assert plan.cost == sum((bill for bill in bills if bill is not None), Decimal(0))
    assert plan.bound <= plan.cost
    assert plan.status == ("optimal" if plan.bound == plan.cost else "feasible")


def independent_optimum(
    wanted: Lengths, stock: Sequence[tuple[int, int, int | None]], kerf: int, end_trim: int = 0
) -> tuple[int, int] | None:
    """Least cost, and then least sum of (length + kerf) of the bars, over all patterns listed; None if impossible.

    `stock`: length, cost, quantity. Every pattern is a column of one whole-number programme (scipy's milp).
    """
    columns, costs, sizes, kinds = [], [], [], []
    for s, (length, cost, _) in enumerate(stock):
        for pattern in product(*(range(count + 1) for _, count in wanted)):
            pieces = sum(pattern)
            used = sum(n * piece for n, (piece, _) in zip(pattern, wanted, strict=True))
            if pieces and used + (pieces - 1) * kerf <= length - 2 * end_trim:
                columns.append(pattern)
                costs.append(float(cost))
                sizes.append(float(length + kerf))
                kinds.append(s)
    if not columns:
        return None
    rules = [LinearConstraint(np.array(columns, dtype=float).T, np.array([float(n) for _, n in wanted]), np.inf)]
    for s, (_, _, quantity) in enumerate(stock):
        if quantity is not None:
            rules.append(LinearConstraint((np.array(kinds) == s).astype(float)[None, :], -np.inf, quantity))
    whole = np.ones(len(columns))
    exact = {"mip_rel_gap": 0.0}
    cheapest = milp(np.array(costs), constraints=rules, integrality=whole, options=exact)
    if cheapest.x is None:
        return None
    least = round(cheapest.fun)
    rules.append(LinearConstraint(np.array(costs)[None, :], -np.inf, least + 0.5))
    smallest = milp(np.array(sizes), constraints=rules, integrality=whole, options=exact)
    return least, round(smallest.fun)
