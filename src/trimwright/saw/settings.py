"""The setting of the saw for each end of each piece."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from trimwright.profile.section import Section
from trimwright.saw.holding import Blade, Holding, Method, blade_for, flat, nested, standing
from trimwright.setout.piece import Joint, Piece, Side

__all__ = ["Saw", "Setting", "holdings", "setting_for", "settings"]

NOTHING = 0.005
"""Degrees: an angle smaller than this is none, and has no direction."""


class Saw(Protocol):
    """What a saw can do: angles from square each way, height against the fence, depth on the bed."""

    @property
    def mitre_left(self) -> float: ...  # noqa: D102
    @property
    def mitre_right(self) -> float: ...  # noqa: D102
    @property
    def bevel_left(self) -> float: ...  # noqa: D102
    @property
    def bevel_right(self) -> float: ...  # noqa: D102
    @property
    def fence_height(self) -> float: ...  # noqa: D102
    @property
    def bed_depth(self) -> float: ...  # noqa: D102


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """How one end is cut. `mitre` and `bevel` in degrees from square; directions as one stands at the saw.

    `swing` is the way the arm moves, `tilt` the way the blade leans ("none" at 0), `place` the side of the blade
    on which the kept piece lies. `then` says what is left to do by hand.
    """

    piece: str
    end: Side
    method: Method
    mitre: float
    swing: str
    bevel: float
    tilt: str
    place: str
    on_bed: str
    against_fence: str
    then: str = ""


def settings(pieces: Iterable[Piece], saw: Saw) -> tuple[Setting, ...]:
    """Both ends of every piece, left before right."""
    return tuple(setting_for(piece, side, saw) for piece in pieces for side in (Side.LEFT, Side.RIGHT))


def setting_for(piece: Piece, side: Side, saw: Saw) -> Setting:
    """The first way of holding that the saw can do; by hand, with the angles of the first way, if none fits."""
    end = piece.end(side)
    ways = [(h, blade_for(h, end.slope, side)) for h in holdings(piece.trim.section)]
    fitting = [(h, b) for h, b in ways if _can(saw, h, b)]
    holding, blade = fitting[0] if fitting else ways[0]
    return Setting(
        piece=piece.id,
        end=side,
        method=holding.method if fitting else Method.HAND,
        mitre=abs(blade.swing),
        swing=_direction(blade.swing, "right", "left"),
        bevel=abs(blade.lean),
        tilt=_direction(blade.lean, "left", "right"),
        place=f"{blade.kept} of blade",
        on_bed=holding.on_bed,
        against_fence=holding.against_fence,
        then=_then(end.joint, end.mate, bool(fitting)),
    )


def holdings(section: Section) -> Sequence[Holding]:
    """The ways a section can be held, the preferred one first.

    A cornice is nested, or laid on its back where that is flat; anything else stands, or lies on its upright back.
    """
    drop, projection = section.drop, section.projection
    if section.kind != "cornice":
        edges = ("bottom edge", "top edge")
        lying = [flat(0.0, drop, projection, upper, edges) for upper in (True, False)]
        return (standing(drop, projection), *lying)
    if section.flat_back is None:
        return (nested(drop, projection),)
    (x0, y0), (x1, y1) = sorted((section.flat_back.start, section.flat_back.end), key=lambda p: p[1])
    spring = math.degrees(math.atan2(x1 - x0, y1 - y0))
    thick = _thickness(section, (x0, y0), spring)
    face = math.hypot(drop, projection)
    lying = [flat(spring, face, thick, upper, ("wall edge", "ceiling edge")) for upper in (True, False)]
    return (nested(drop, projection), *lying)


def _thickness(section: Section, foot: tuple[float, float], spring: float) -> float:
    """How far the face rises from the back."""
    sine, cosine = math.sin(math.radians(spring)), math.cos(math.radians(spring))
    return max((x - foot[0]) * cosine - (y - foot[1]) * sine for x, y in section.outline.points())


def _can(saw: Saw, holding: Holding, blade: Blade) -> bool:
    """True if the section fits under the saw and the blade can be set so."""
    swing_limit = saw.mitre_right if blade.swing > 0 else saw.mitre_left
    lean_limit = saw.bevel_left if blade.lean > 0 else saw.bevel_right
    return (
        holding.height <= saw.fence_height
        and holding.depth <= saw.bed_depth
        and abs(blade.swing) <= swing_limit + NOTHING
        and abs(blade.lean) <= lean_limit + NOTHING
    )


def _direction(angle: float, positive: str, negative: str) -> str:
    if abs(angle) < NOTHING:
        return "none"
    return positive if angle > 0 else negative


def _then(joint: Joint, mate: str | None, saw_fits: bool) -> str:
    steps = [] if saw_fits else ["no setting of this saw fits: mark from the template and cut by hand"]
    if joint is Joint.COPE:
        steps.append(f"cope along the face line to fit over {mate}")
    return "; ".join(steps)
