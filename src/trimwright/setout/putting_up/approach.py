"""What a way into place is: its kind, and how it is said."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from trimwright.room import PlanPoint

__all__ = ["Approach", "WayIn"]


class Approach(StrEnum):
    """The kinds of way."""

    STRAIGHT = "straight in"
    SLANTING = "along a mitre"
    BELOW = "from below"
    ABOVE = "from above"
    BEHIND = "behind a pipe"
    SPRUNG = "sprung"
    SWUNG = "one end first"
    TILTED = "tilted"
    ENDWAYS = "endways"


@dataclass(frozen=True, slots=True)
class WayIn:
    """A way in: its kind, how it is said, and what it is made of.

    `out` is the plan direction in which the piece would come away, `lift` how far it comes straight up (negative:
    down) before that, mm; `bow` how far its middle is bowed out, mm; `turn` how far it is turned about an end, degrees.
    """

    approach: Approach
    words: str
    out: PlanPoint = (0.0, 0.0)
    lift: float = 0.0
    bow: float = 0.0
    turn: float = 0.0
