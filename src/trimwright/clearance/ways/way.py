"""A way out of a clash, as it is offered."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from trimwright.clearance.ways.trial import Pair
from trimwright.project.edit import Edit

__all__ = ["Effort", "Way"]


class Effort(IntEnum):
    """How much is asked of the fitter or of the room; less is offered first."""

    STOP = 0
    MOVE = 1
    SHIFT = 2
    ALIKE = 3
    LET_IN = 4
    SMALLER = 5
    LARGER = 6
    OFF = 7
    END = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """What to do about the clash of a trim with an obstacle, and what to write in the room file for it.

    `amount` is how much is moved or lost, mm or degrees. `gap` is the gap that was measured when it had been done;
    None if they are no longer near each other.
    """

    pair: Pair
    effort: Effort
    amount: float
    words: str
    edits: tuple[Edit, ...]
    gap: float | None = None
