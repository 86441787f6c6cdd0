"""Waste gathered into one long offcut, which can be used again, in place of many short ends."""

from __future__ import annotations

from collections.abc import Sequence

from trimwright.stock.greedy import fullest
from trimwright.stock.task import Packed, Task

__all__ = ["gather_waste"]

TURNS = 40
"""Exchanges made; gathering waste is a courtesy and must not take long."""
MOST_BARS = 500
"""Plans of more bars are left as they are: one offcut more or less is nothing to them."""


def gather_waste(task: Task, bars: Sequence[Packed]) -> list[Packed]:
    """The same bars, the emptiest emptied further for as long as another can take some of its pieces.

    The pieces of the two are shared out anew so that the other is as full as it can be. A good arrangement,
    not always the best; the basket, and so cost and waste, stay as they are.
    """
    bars = list(bars)
    if len(bars) > MOST_BARS:
        return bars
    for _ in range(TURNS):
        better = _exchanged(task, bars)
        if better is None:
            break
        bars = better
    return bars


def _room(task: Task, bar: Packed) -> int:
    return task.kinds[bar.kind].capacity - task.width_of(bar.pattern)


def _exchanged(task: Task, bars: list[Packed]) -> list[Packed] | None:
    """The bars after one exchange with the emptiest, or None where none helps."""
    by_room = sorted(range(len(bars)), key=lambda b: (-_room(task, bars[b]), b))
    emptiest = bars[by_room[0]]
    for b in by_room[1:]:
        other = bars[b]
        both = [m + n for m, n in zip(emptiest.pattern, other.pattern, strict=True)]
        full = fullest(task, both, task.kinds[other.kind].capacity)
        rest = tuple(n - m for n, m in zip(both, full, strict=True))
        if any(rest) and task.width_of(full) > task.width_of(other.pattern):
            changed = list(bars)
            changed[by_room[0]], changed[b] = Packed(emptiest.kind, rest), Packed(other.kind, full)
            return changed
    return None
