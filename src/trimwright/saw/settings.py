"""The setting of the saw for each end of each piece: every way that section and saw allow, the preferred one first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple, Protocol

from trimwright.profile.outline import Point
from trimwright.saw.blade import NOTHING, Blade, blade_for
from trimwright.saw.holding import Holding, Method, ways_to_hold
from trimwright.saw.plane import EndPlane, opposite, plane_of
from trimwright.setout.piece import End, Joint, Piece, Side, Trim
from trimwright.tolerance import SCALE_OFF, TOUCH

__all__ = ["STEPS", "Bar", "Orders", "Saw", "Setting", "bar_of", "can_cut", "set_up", "setting_for", "settings", "ways"]

STEPS = (0.05, 0.01, 0.001)
"""Degrees to which a card is printed: the first at which the far edge of the section comes out within SCALE_OFF."""


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


class Orders(NamedTuple):
    """What a card tells the one who stands at the saw, and nothing else."""

    on_bed: str
    against_fence: str
    mitre: float
    arm: str
    bevel: float
    tilt: str
    place: str
    stop: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """How one end is cut. `exact` is the blade that cuts it; `printed` the same as read on the scales of the saw.

    All distances run along the piece from the farthest point of its other end, where a stop block stands, mm:
    `stop` to the blade where bed and fence meet, `long` and `short` to the longest and the shortest point of the
    cut; `long_at` says where the long point lies. `off` is how far the printed angles leave the far edge of the
    section from the true plane. `then` says what is left to do by hand.
    """

    piece: str
    end: Side
    holding: Holding
    by_hand: bool
    exact: Blade
    printed: Blade
    off: float
    stop: float
    long: float
    short: float
    long_at: str
    then: str = ""

    @property
    def method(self) -> Method:
        """How the piece is held; by hand where no way of holding lets this saw cut it."""
        return Method.HAND if self.by_hand else self.holding.method

    @property
    def mitre(self) -> float:
        """Degrees of swing from square."""
        return abs(self.exact.swing)

    @property
    def swing(self) -> str:
        """The way the arm moves from square."""
        return self.exact.arm

    @property
    def bevel(self) -> float:
        """Degrees of lean from upright."""
        return abs(self.exact.lean)

    @property
    def tilt(self) -> str:
        """The way the blade leans."""
        return self.exact.tilt

    @property
    def place(self) -> str:
        """The side of the blade on which the kept piece lies."""
        return f"{self.exact.kept} of blade"

    @property
    def on_bed(self) -> str:
        """What lies on the bed."""
        return self.holding.on_bed

    @property
    def against_fence(self) -> str:
        """What is pushed against the fence."""
        return self.holding.against_fence

    def orders(self, printed: bool) -> Orders:
        """The setting in words and numbers: as printed, or with its exact angles and distance."""
        blade = self.printed if printed else self.exact
        return Orders(
            on_bed=self.on_bed,
            against_fence=self.against_fence,
            mitre=abs(blade.swing),
            arm=blade.arm if printed else "right" if blade.swing > 0 else "left",
            bevel=abs(blade.lean),
            tilt=blade.tilt if printed else "left" if blade.lean > 0 else "right",
            place=self.place,
            stop=round(self.stop, 1) if printed else self.stop,
        )


@dataclass(frozen=True, slots=True)
class Bar:
    """A length of stock before it is cut: its section as placed on the wall, in chords, and the ways to hold it."""

    points: tuple[Point, ...]
    holdings: tuple[Holding, ...]


def bar_of(trim: Trim) -> Bar:
    """The stock of a trim. Wanted once for all its pieces, since trying how a section can lie takes a while."""
    return Bar(tuple(trim.outline.points()), ways_to_hold(trim.section))


def settings(pieces: Iterable[Piece], saw: Saw) -> tuple[Setting, ...]:
    """Both ends of every piece, left before right."""
    bars: dict[str, Bar] = {}
    made = []
    for piece in pieces:
        bar = bars.get(piece.trim.name) or bars.setdefault(piece.trim.name, bar_of(piece.trim))
        made += [setting_for(piece, side, saw, bar) for side in (Side.LEFT, Side.RIGHT)]
    return tuple(made)


def setting_for(piece: Piece, side: Side, saw: Saw, bar: Bar | None = None) -> Setting:
    """The preferred way that the saw can do; by hand, with the angles of the first way, if it can do none.

    A bent piece does not lie against a straight fence: its ends are cut by hand once it is bent.
    """
    bar = bar or bar_of(piece.trim)
    plane, other = plane_of(piece, side), plane_of(piece, opposite(side))
    blades = [(holding, blade_for(holding, plane, side)) for holding in bar.holdings]
    holding, blade = next((way for way in blades if can_cut(saw, *way)), blades[0])
    by_hand = piece.bend is not None or not can_cut(saw, holding, blade)
    then = _bent_end(piece.end(side)) if piece.bend is not None else _then(piece.end(side), by_hand)
    return set_up(piece.id, side, holding, bar.points, plane, other, by_hand=by_hand, then=then)


def ways(piece: Piece, side: Side, saw: Saw | None = None) -> tuple[Setting, ...]:
    """All ways to cut an end, the preferred one first; only those that `saw` can do, if one is given."""
    bar = bar_of(piece.trim)
    plane, other = plane_of(piece, side), plane_of(piece, opposite(side))
    then = _then(piece.end(side), by_hand=False)
    every = (set_up(piece.id, side, h, bar.points, plane, other, then=then) for h in bar.holdings)
    return tuple(s for s in every if saw is None or can_cut(saw, s.holding, s.exact))


def set_up(
    piece: str,
    side: Side,
    holding: Holding,
    points: Sequence[Point],
    plane: EndPlane,
    other: EndPlane,
    *,
    by_hand: bool = False,
    then: str = "",
) -> Setting:
    """The setting that cuts `plane` at one end of a length whose other end lies on `other`."""
    sign = 1.0 if side is Side.RIGHT else -1.0
    stop = min(sign * other.at(p) for p in points)
    foot = holding.foot(points)
    exact = blade_for(holding, plane, side)
    printed, off = _printed(exact, holding, points, plane, foot)
    reach = [(sign * plane.at(p) - stop, p) for p in points]
    long, short = max(reach), min(reach)
    return Setting(
        piece=piece,
        end=side,
        holding=holding,
        by_hand=by_hand,
        exact=exact,
        printed=printed,
        off=off,
        stop=sign * plane.at(foot) - stop,
        long=long[0],
        short=short[0],
        long_at=_where(printed, holding, long[1], foot),
        then=then,
    )


def can_cut(saw: Saw, holding: Holding, blade: Blade) -> bool:
    """True if the section fits under the saw and the blade can be set so."""
    swing_limit = saw.mitre_right if blade.swing > 0 else saw.mitre_left
    lean_limit = saw.bevel_left if blade.lean > 0 else saw.bevel_right
    return (
        holding.height <= saw.fence_height + TOUCH
        and holding.depth <= saw.bed_depth + TOUCH
        and abs(blade.swing) <= swing_limit + NOTHING
        and abs(blade.lean) <= lean_limit + NOTHING
    )


def _printed(
    exact: Blade, holding: Holding, points: Sequence[Point], plane: EndPlane, foot: Point
) -> tuple[Blade, float]:
    """The blade to the coarsest step that cuts the far edge within SCALE_OFF, and how far off it is there.

    Both planes are taken through the point where bed and fence meet, from which the stop is measured.
    """
    sign = holding.turn[0][0]
    true = [(sign * (plane.at(p) - plane.at(foot)), *holding.lying(p, foot)) for p in points]
    for step in STEPS:
        printed = exact.on_scale(step)
        off = max(abs(sum(a * b for a, b in zip(printed.normal, place, strict=True))) for place in true)
        if off <= SCALE_OFF:
            break
    return printed, off


def _where(blade: Blade, holding: Holding, point: Point, foot: Point) -> str:
    """Where a point of the cut lies on the saw, as far as the blade's angles make a difference."""
    y, z = holding.lying(point, foot)
    words = []
    if blade.arm != "none":
        words.append("at the fence" if y > -holding.depth / 2 else "at the front")
    if blade.tilt != "none":
        words.append("on top" if z > holding.height / 2 else "on the bed")
    return ", ".join(words)


def _bent_end(end: End) -> str:
    mark = "mark it square" if end.joint is Joint.SQUARE else "mark it from the template"
    return f"bent: {mark} after bending and cut by hand"


def _then(end: End, by_hand: bool) -> str:
    steps = ["beyond this saw: cut by hand to the template"] if by_hand else []
    if end.joint is Joint.COPE:
        steps.append(f"then cope to fit over {end.mate}")
    return "; ".join(steps)
