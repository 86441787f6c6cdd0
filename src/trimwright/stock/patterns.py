"""All patterns that a plan on a given basket may use, and the whole-number programme over them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import highspy
import numpy as np

from trimwright.stock.bound import Cut
from trimwright.stock.completion import Packing
from trimwright.stock.master import quiet
from trimwright.stock.task import Basket, Packed, Task

__all__ = ["choose", "patterns_within", "trimmed"]


def patterns_within(task: Task, basket: Basket, cuts: Sequence[Cut], most: int) -> list[Packed] | None:
    """Patterns that fill a bar up and waste no more of any cut's value than the basket has over; None if too many.

    With a cut's slack g on the basket, a bar that carries less than its most by over g cannot be in any plan.
    """
    slacks = [(cut, cut.slack(basket)) for cut in cuts]
    guides = [pair[0] for pair in sorted(slacks, key=lambda pair: pair[1] / max(1, pair[0].needed))[:3]]
    found: list[Packed] = []
    for s, kind in enumerate(task.kinds):
        if not basket[s]:
            continue
        needs = [guide.carries[s] - guide.slack(basket) for guide in guides]
        rates = [_rates(task, guide.values) for guide in guides]
        steps = _Steps(task, [guide.values for guide in guides], rates, 60 * most)
        for pattern in steps.walk(kind.capacity, needs):
            found.append(Packed(s, pattern))
            if len(found) > most:
                return None
        if steps.left <= 0:
            return None
    return _allowed(found, slacks)


def _allowed(bars: list[Packed], slacks: list[tuple[Cut, int]]) -> list[Packed]:
    """Those that waste no more of any cut's value than there is to waste."""
    if not bars:
        return []
    patterns = np.array([bar.pattern for bar in bars], dtype=np.int64)
    kinds = np.array([bar.kind for bar in bars])
    kept = np.ones(len(bars), dtype=bool)
    for cut, slack in slacks:
        carried = patterns @ np.array(cut.values, dtype=np.int64)
        kept &= np.array(cut.carries, dtype=np.int64)[kinds] - carried <= slack
    return [bar for bar, keep in zip(bars, kept, strict=True) if keep]


def _rates(task: Task, values: Sequence[int]) -> list[float]:
    """Best value for each unit of width among the pieces from each place on."""
    rates = [0.0] * (len(values) + 1)
    for i in range(len(values) - 1, -1, -1):
        rates[i] = max(rates[i + 1], values[i] / task.widths[i])
    return rates


class _Steps:
    """The walk through patterns, longest piece first, cut short where the room left cannot bring the value due."""

    def __init__(self, task: Task, values: list[tuple[int, ...]], rates: list[list[float]], steps: int) -> None:
        self.task, self.values, self.rates, self.left = task, values, rates, steps
        self.chosen = [0] * len(task.widths)

    def walk(self, room: int, needs: list[int], i: int = 0, missed: int | None = None) -> Iterator[tuple[int, ...]]:
        """Patterns from place `i` on; `missed` is the narrowest piece not taken though there are more of it."""
        widths, demand = self.task.widths, self.task.demand
        self.left -= 1
        while i < len(widths) and widths[i] > room:
            i += 1
        if self.left <= 0:
            return
        if i == len(widths):
            if (missed is None or missed > room) and all(need <= 0 for need in needs):
                yield tuple(self.chosen)
            return
        if any(need > room * rate[i] * (1 + 1e-9) for need, rate in zip(needs, self.rates, strict=True)):
            return
        for n in range(min(demand[i], room // widths[i]), -1, -1):
            self.chosen[i] = n
            after = [need - n * values[i] for need, values in zip(needs, self.values, strict=True)]
            yield from self.walk(room - n * widths[i], after, i + 1, missed if n == demand[i] else widths[i])
        self.chosen[i] = 0


def choose(task: Task, basket: Basket | None, bars: Sequence[Packed], seconds: float) -> Packing:
    """Pick whole bars among `bars` that cut every piece: those of a basket, or with none given the cheapest.

    Impossible means: proven so for these patterns.
    """
    solver = quiet()
    solver.setOptionValue("time_limit", max(0.01, seconds))
    solver.passModel(_model(task, basket, bars))
    solver.run()
    if solver.getInfo().primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return Packing(None, solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible)
    return Packing(trimmed(task, bars, solver.getSolution().col_value), False)


def _model(task: Task, basket: Basket | None, bars: Sequence[Packed]) -> highspy.HighsLp:
    """Rows: the pieces, then the kinds. Columns: the patterns, then how many bars of each kind they come to.

    The last are for branching: whole numbers of bars decide most.
    """
    pieces, kinds = len(task.widths), len(task.kinds)
    limits = [float(n) for n in (basket or [kind.limit for kind in task.kinds])]
    starts, rows, entries = [0], list[int](), list[float]()
    for bar in bars:
        places = [i for i, n in enumerate(bar.pattern) if n]
        rows += [*places, pieces + bar.kind]
        entries += [*(float(bar.pattern[i]) for i in places), 1.0]
        starts.append(len(rows))
    for s in range(kinds):
        rows.append(pieces + s)
        entries.append(-1.0)
        starts.append(len(rows))
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(bars) + kinds, pieces + kinds
    prices = [0.0 if basket else float(kind.cost) for kind in task.kinds]
    model.col_cost_ = np.array([0.0] * len(bars) + prices)
    model.col_lower_ = np.zeros(len(bars) + kinds)
    model.col_upper_ = np.array([*(limits[bar.kind] for bar in bars), *limits])
    model.row_lower_ = np.array([*map(float, task.demand), *[0.0] * kinds])
    model.row_upper_ = np.array([*[highspy.kHighsInf] * pieces, *[0.0] * kinds])
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_, model.a_matrix_.index_ = np.array(starts), np.array(rows)
    model.a_matrix_.value_ = np.array(entries)
    model.integrality_ = [highspy.HighsVarType.kInteger] * (len(bars) + kinds)
    return model


def trimmed(task: Task, bars: Sequence[Packed], numbers: Sequence[float]) -> list[Packed]:
    """The bars chosen, without pieces cut once too often."""
    left = list(task.demand)
    chosen = []
    for bar, number in zip(bars, numbers, strict=False):
        for _ in range(round(number)):
            pattern = tuple(min(n, d) for n, d in zip(bar.pattern, left, strict=True))
            left = [d - n for d, n in zip(left, pattern, strict=True)]
            if any(pattern):
                chosen.append(Packed(bar.kind, pattern))
    return chosen
