"""Owned lengths used up, and waste gathered into one long offcut, which can be used again, in place of many short ends.

Neither changes what is bought.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from trimwright.stock.greedy import fullest
from trimwright.stock.task import Packed, Pattern, Task, basket_of

__all__ = ["gather_waste", "tidied", "use_up"]

TURNS = 40
"""Exchanges made; gathering waste is a courtesy and must not take long."""
MOST_BARS = 500
"""Plans of more bars are left as they are: one offcut more or less is nothing to them."""


def tidied(task: Task, bars: Sequence[Packed], owned: Collection[int]) -> list[Packed]:
    """The plan with the bars of owned kinds as full as they go, and what is left of the others gathered."""
    bars = use_up(task, bars, owned)
    return [b for b in bars if b.kind in owned] + gather_waste(task, [b for b in bars if b.kind not in owned])


def use_up(task: Task, bars: Sequence[Packed], owned: Collection[int]) -> list[Packed]:
    """Owned bars that lie idle are filled, the longest first, with pieces of those to be bought, the emptiest first.

    What stays of a new bar is longer for it, and the old offcut is out of the way.
    """
    kept, new = [b for b in bars if b.kind in owned], [b for b in bars if b.kind not in owned]
    used = basket_of(task, kept)
    idle = [s for s in owned for _ in range(task.kinds[s].limit - used[s])]
    for s in sorted(idle, key=lambda s: (-task.kinds[s].capacity, s)):
        wanted = [sum(bar.pattern[i] for bar in new) for i in range(len(task.widths))]
        pattern = fullest(task, wanted, task.kinds[s].capacity) if any(wanted) else ()
        if any(pattern):
            kept.append(Packed(s, pattern))
            new = _without(task, new, pattern)
    return [*kept, *new]


def _without(task: Task, bars: Sequence[Packed], pattern: Pattern) -> list[Packed]:
    """The bars less the pieces of a pattern, taken from the emptiest first; bars left empty are dropped."""
    left = list(pattern)
    changed = []
    for bar in sorted(bars, key=lambda b: -_room(task, b)):
        taken = [min(n, m) for n, m in zip(left, bar.pattern, strict=True)]
        left = [n - m for n, m in zip(left, taken, strict=True)]
        changed.append(Packed(bar.kind, tuple(n - m for n, m in zip(bar.pattern, taken, strict=True))))
    return [bar for bar in changed if any(bar.pattern)]


def gather_waste(task: Task, bars: Sequence[Packed]) -> list[Packed]:
    """The same bars, the emptiest emptied further for as long as another can take some of its pieces.

    The pieces of the two are shared out anew so that the other is as full as it can be. A good arrangement,
    not always the best; the basket, and so cost and waste, stay as they are.
    """
    bars = list(bars)
    if not 1 < len(bars) <= MOST_BARS:
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
