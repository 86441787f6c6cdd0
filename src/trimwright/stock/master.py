"""The linear programme over known patterns, and the rounds that find the patterns it lacks (HiGHS inside)."""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import highspy
import numpy as np

from trimwright.stock.bound import Cut
from trimwright.stock.pricing import knapsack
from trimwright.stock.task import Basket, Packed, Task

__all__ = ["Columns", "Master", "Relaxed", "quiet"]

SCALE = 1e8
"""Values of pieces are rounded down to this many steps of the dearest price before the exact knapsack."""
GAIN = 1e-7
"""A pattern that gains less than this part of the dearest price is not worth a round."""
ZERO = 1e-7
"""Less than this of a bar or a piece counts as nothing."""


@dataclass(slots=True)
class Columns:
    """The patterns found so far, each with its kind of bar, in the order found."""

    bars: list[Packed] = field(default_factory=list)
    known: set[Packed] = field(default_factory=set)

    def add(self, bars: Iterable[Packed]) -> None:
        """Remember those that are new."""
        for bar in bars:
            if bar not in self.known:
                self.known.add(bar)
                self.bars.append(bar)


@dataclass(frozen=True, slots=True)
class Relaxed:
    """Answer of the relaxed problem: bars in fractions by column, what stays uncut, and the cut that proves it.

    `done`: no pattern is lacking, so the answer is that over all patterns.
    """

    taken: tuple[float, ...]
    uncut: float
    cut: Cut
    done: bool


def quiet() -> highspy.Highs:
    """A silent solver on one thread: the same answer every time."""
    solver = highspy.Highs()
    for option, value in (("output_flag", False), ("threads", 1), ("random_seed", 1)):
        solver.setOptionValue(option, value)
    return solver


class Master:
    """Least cost, in fractions of bars, of covering a demand from limited bars; demand and limits may change.

    `costs` are those of the kinds of bar; `penalty` that of leaving a piece uncut, for each width. With costs of
    zero it asks instead whether the bars suffice.
    """

    def __init__(self, task: Task, columns: Columns, costs: Sequence[float], penalty: Sequence[float]) -> None:
        self.task, self.columns, self.costs = task, columns, tuple(costs)
        self.demand = list(task.demand)
        self.limits = [kind.limit for kind in task.kinds]
        self.top = max([*costs, *penalty])
        self.solver = quiet()
        for d in self.demand:
            self.solver.addRow(float(d), highspy.kHighsInf, 0, _INT, _FLOAT)
        for n in self.limits:
            self.solver.addRow(-highspy.kHighsInf, float(n), 0, _INT, _FLOAT)
        for i, price in enumerate(penalty):
            self.solver.addCol(price, 0.0, highspy.kHighsInf, 1, np.array([i], dtype=np.int32), np.ones(1))
        self.width = 0

    def set_demand(self, demand: Sequence[int]) -> None:
        """Ask for other numbers of pieces; patterns that give more of one than that are put aside."""
        self.demand = list(demand)
        for i, d in enumerate(demand):
            self.solver.changeRowBounds(i, float(d), highspy.kHighsInf)
        self._load()
        for c, bar in enumerate(self.columns.bars):
            proper = all(n <= d for n, d in zip(bar.pattern, demand, strict=True))
            self.solver.changeColBounds(len(demand) + c, 0.0, highspy.kHighsInf if proper else 0.0)

    def set_limits(self, limits: Basket) -> None:
        """Allow other numbers of bars."""
        self.limits = list(limits)
        for s, n in enumerate(limits):
            self.solver.changeRowBounds(len(self.demand) + s, -highspy.kHighsInf, float(n))

    def relax(self, deadline: float, rounds: int = 10_000) -> Relaxed:
        """Solve, adding the best pattern of every kind until none gains, or the rounds or the time run out."""
        while True:
            self._load()
            self.solver.run()
            answer = self.solver.getSolution()
            duals = np.maximum(np.array(answer.row_dual), 0.0)[: len(self.demand)]
            limit_duals = np.array(answer.row_dual)[len(self.demand) :]
            cut, fresh = self._price(duals, limit_duals)
            rounds -= 1
            if not fresh or rounds <= 0 or time.monotonic() > deadline:
                taken = np.array(answer.col_value)
                pieces = len(self.demand)
                return Relaxed(tuple(taken[pieces:].tolist()), float(taken[:pieces].sum()), cut, not fresh)
            self.columns.add(fresh)

    def _price(self, duals: np.ndarray, limit_duals: np.ndarray) -> tuple[Cut, list[Packed]]:
        scale = SCALE / self.top
        values = [int(v) for v in np.floor(duals * scale)]
        table = knapsack(self.task, self.demand, values)
        carries = tuple(table.value(kind.capacity) for kind in self.task.kinds)
        needed = sum(v * d for v, d in zip(values, self.demand, strict=True))
        fresh = []
        for s, kind in enumerate(self.task.kinds):
            price = (self.costs[s] - limit_duals[s]) * scale
            if self.limits[s] and carries[s] > price + GAIN * SCALE:
                fresh.append(Packed(s, table.pattern(kind.capacity)))
        unknown = [bar for bar in fresh if bar not in self.columns.known]
        return Cut(tuple(values), carries, needed), unknown

    def _load(self) -> None:
        """Hand the solver the columns that it has not seen."""
        pieces = len(self.demand)
        for bar in self.columns.bars[self.width :]:
            places = [i for i, n in enumerate(bar.pattern) if n]
            rows = np.array([*places, pieces + bar.kind], dtype=np.int32)
            entries = np.array([*(bar.pattern[i] for i in places), 1], dtype=float)
            self.solver.addCol(self.costs[bar.kind], 0.0, highspy.kHighsInf, len(rows), rows, entries)
        self.width = len(self.columns.bars)


_INT = np.array([], dtype=np.int32)
_FLOAT = np.array([], dtype=float)
