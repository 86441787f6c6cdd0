"""The blade: how it is swung and leaned to cut a plane, and how that reads on the scales of a saw."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from trimwright.saw.holding import Holding
from trimwright.saw.plane import EndPlane
from trimwright.setout.piece import Side

__all__ = ["NOTHING", "Blade", "blade_for"]

NOTHING = 0.005
"""Degrees: an angle smaller than this is none, and has no direction."""


@dataclass(frozen=True, slots=True)
class Blade:
    """A blade: `swing` of the arm from square, positive to the right; `lean` of its top, positive to the left.

    `kept` is the side of the blade on which the kept piece lies, as one stands at the saw.
    """

    swing: float
    lean: float
    kept: Side

    @property
    def arm(self) -> str:
        """The way the handle moves from square: "left", "right" or "none"."""
        return _direction(self.swing, "right", "left")

    @property
    def tilt(self) -> str:
        """The way the top of the blade leans: "left", "right" or "none"."""
        return _direction(self.lean, "left", "right")

    @property
    def normal(self) -> tuple[float, float, float]:
        """Unit normal of the blade in the saw's frame, pointing right."""
        swing, lean = math.radians(self.swing), math.radians(self.lean)
        return (math.cos(swing) * math.cos(lean), math.sin(swing) * math.cos(lean), math.sin(lean))

    def on_scale(self, step: float) -> Blade:
        """The same blade read to the nearest `step` degrees."""
        return replace(self, swing=_to_step(self.swing, step), lean=_to_step(self.lean, step))


def blade_for(holding: Holding, plane: EndPlane, side: Side) -> Blade:
    """The blade that cuts a plane at one end of a piece held so.

    The plane's normal is turned into the saw's frame and pointed right; then tan(swing) = ny / nx and
    sin(lean) = nz / |n|. For a sprung section and a corner C this gives the printed formulas
    tan(swing) = sin s / tan(C/2), sin(tilt) = cos s cos(C/2).
    """
    x, y, z = (sum(a * b for a, b in zip(row, plane.normal, strict=True)) for row in holding.turn)
    if x < 0:
        x, y, z = -x, -y, -z
    kept_low = (side is Side.RIGHT) is not holding.turned_round
    return Blade(
        swing=math.degrees(math.atan2(y, x)) + 0.0,
        lean=math.degrees(math.asin(z / math.sqrt(x * x + y * y + z * z))) + 0.0,
        kept=Side.LEFT if kept_low else Side.RIGHT,
    )


def _direction(angle: float, positive: str, negative: str) -> str:
    if abs(angle) < NOTHING:
        return "none"
    return positive if angle > 0 else negative


def _to_step(angle: float, step: float) -> float:
    """The nearest step; to 9 decimals, so that equal readings are equal numbers. Adding 0.0 makes -0.0 plain 0."""
    return round(round(angle / step) * step, 9) + 0.0
