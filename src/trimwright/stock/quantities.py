"""What goes with trim: adhesive and filler by the bead, glue by the joint, pins by the row, paint by the girth."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import ceil, hypot

from trimwright.profile.measures import measure
from trimwright.setout.piece import End, Joint, Piece, SetOut, Trim
from trimwright.stock.holes import Holes
from trimwright.stock.rates import Rates, kind_rates

__all__ = ["ITEMS", "Category", "Quantity", "quantities"]

ITEMS = ("adhesive", "filler", "glue", "pins", "screws", "primer", "paint", "abrasive")
"""The tables of the rates that are bought for all trims together."""

FITTINGS = ("diffuser", "end cap", "corner connector", "joint connector")
"""What a light channel takes, by the trim's name."""

NOISE = 1e-9
"""Of a quantity: less than this above a whole number is that number."""


class Category(StrEnum):
    """What sums of the bill are made over."""

    TRIM = "trim"
    FIXING = "fixing"
    FINISH = "filling and painting"
    LIGHT = "light"


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """So many units of an item, rounded up to what can be bought; `why` is the rule and the figures it was applied to.

    `trim` is the trim it is bought for, empty for all of them.
    """

    item: str
    quantity: Decimal
    unit: str
    why: str
    category: Category
    trim: str = ""


@dataclass(frozen=True, slots=True)
class _Lot:
    """The pieces of a trim and what its kind takes."""

    trim: Trim
    pieces: tuple[Piece, ...]
    takes: Rates

    @property
    def run(self) -> float:
        """Length of all pieces, mm."""
        return sum(piece.length for piece in self.pieces)

    @property
    def area(self) -> float:
        """Painted face, m²: girth x length."""
        return measure(self.trim.section).girth * self.run / 1e6 if self.takes["paint"] else 0.0


def quantities(set_out: SetOut, rates: Rates, holes: Sequence[Holes]) -> tuple[Quantity, ...]:
    """Everything for all pieces of a job and its screw holes; items of which nothing is needed are left out."""
    lots = [_Lot(t, set_out.of_trim(t), kind_rates(rates, t.section.kind)) for t in set_out.trims]
    found = [
        _beads(rates, "adhesive", Category.FIXING, lots),
        _glue(rates, lots),
        _pins(rates, lots),
        _screws(rates, holes),
        _beads(rates, "filler", Category.FINISH, lots),
        _abrasive(rates["abrasive"], lots),
        _paint(rates, "primer", lots),
        _paint(rates, "paint", lots),
        *(fitting for lot in lots if lot.takes["fittings"] for fitting in _fittings(lot)),
    ]
    return tuple(q for q in found if q.quantity > 0)


def _packs(amount: float, pack: float) -> Decimal:
    return Decimal(ceil(amount / pack - NOISE))


def _spare(rates: Rates) -> float:
    return 1.0 + float(rates["allowance"]["part"])


def _allowed(rates: Rates) -> str:
    part = rates["allowance"]["part"]
    return f", and {100 * part:g} % for what is lost" if part else ""


def _beads(rates: Rates, name: str, category: Category, lots: list[_Lot]) -> Quantity:
    """Volume of all beads over that of a pack: mm² x mm = mm³, a thousand to the millilitre."""
    rate = rates[name]
    run = sum(lot.takes[name] * lot.run for lot in lots)
    volume = run * rate["bead"] / 1000 * _spare(rates)
    why = f"bead area x length: {rate['bead']:g} mm² x {run / 1000:.1f} m{_allowed(rates)}: {volume:.0f} ml"
    return Quantity(
        item=rate["item"], quantity=_packs(volume, rate["pack"]), unit=rate["unit"], why=why, category=category
    )


def _glue(rates: Rates, lots: list[_Lot]) -> Quantity:
    """Film x cut face: each joint has two faces and is wetted once; a cope has only one that is cut."""
    rate = rates["glue"]
    ends = [(lot.trim, end) for lot in lots if lot.takes["glue"] for p in lot.pieces for end in (p.left, p.right)]
    area = sum(_cut_face(trim, end) for trim, end in ends)
    joints = sum(_share(end) for _, end in ends)
    volume = area * rate["film"] / 1000 * _spare(rates)
    face = f"{rate['film']:g} mm x {area / 100:.0f} cm² in {joints:g} joints"
    why = f"film x cut face: {face}{_allowed(rates)}: {volume:.0f} ml"
    return Quantity(
        item=rate["item"], quantity=_packs(volume, rate["pack"]), unit=rate["unit"], why=why, category=Category.FIXING
    )


def _share(end: End) -> float:
    """The part of a joint that an end stands for."""
    if end.mate is None or end.joint is Joint.SQUARE:
        return 0.0
    return 1.0 if end.joint is Joint.COPE else 0.5


def _cut_face(trim: Trim, end: End) -> float:
    """An end's share of its joint's face: the section laid on the slant, its area / cos of the slope."""
    return _share(end) * trim.outline.area * hypot(1.0, end.slope)


def _pins(rates: Rates, lots: list[_Lot]) -> Quantity:
    """A pin near each end of every piece and between them no farther apart than the spacing, in every row."""
    rate = rates["pins"]
    pins = sum(lot.takes["pins"] * _in_row(piece, rate) for lot in lots for piece in lot.pieces)
    why = f"{rate['from_end']:g} from each end and every {rate['spacing']:g} mm at most: {pins} pins"
    return Quantity(
        item=rate["item"], quantity=_packs(pins, rate["pack"]), unit=rate["unit"], why=why, category=Category.FIXING
    )


def _in_row(piece: Piece, rate: Rates) -> int:
    between: float = max(0.0, piece.length - 2 * rate["from_end"])
    return ceil(between / float(rate["spacing"]) - NOISE) + 1


def _screws(rates: Rates, holes: Sequence[Holes]) -> Quantity:
    """One for each hole that is set out: see `holes.py`."""
    rate = rates["screws"]
    screws = sum(found.rows * len(found.along) for found in holes)
    why = f"{rate['from_end']:g} from each end and every {rate['spacing']:g} mm at most: {screws} screws"
    return Quantity(
        item=rate["item"], quantity=_packs(screws, rate["pack"]), unit=rate["unit"], why=why, category=Category.FIXING
    )


def _paint(rates: Rates, name: str, lots: list[_Lot]) -> Quantity:
    """Girth x length, for every coat."""
    rate = rates[name]
    area = sum(lot.area for lot in lots)
    step = Decimal(str(rate["step"]))
    litres = ceil(area * rate["coats"] * _spare(rates) / rate["spread"] / rate["step"] - NOISE) * step
    coats = f"{rate['coats']} coat{'s' if rate['coats'] != 1 else ''}"
    why = f"girth x length: {area:.2f} m², {coats}, {rate['spread']:g} m² a litre{_allowed(rates)}"
    return Quantity(item=rate["item"], quantity=litres, unit=rate["unit"], why=why, category=Category.FINISH)


def _abrasive(rate: Rates, lots: list[_Lot]) -> Quantity:
    """What is painted, rubbed down before each coat that follows another."""
    area = sum(lot.area for lot in lots)
    sheets = _packs(area * rate["passes"], rate["covers"])
    why = f"{area:.2f} m² rubbed down {rate['passes']:g} times, {rate['covers']:g} m² a sheet"
    return Quantity(item=rate["item"], quantity=sheets, unit=rate["unit"], why=why, category=Category.FINISH)


def _fittings(lot: _Lot) -> Iterator[Quantity]:
    """Of a light channel: its diffuser, a cap for each open end, a connector for each corner and each joint."""
    ends = [end for p in lot.pieces for end in (p.left, p.right)]
    corners = sum(end.corner is not None and end.mate is not None for end in ends) // 2
    joints = sum(end.corner is None and end.mate is not None for end in ends) // 2
    metres = Decimal(ceil(lot.run / 100 - NOISE)) / 10
    counts = (
        (metres, "m", "as long as the channel, cut with it"),
        (Decimal(sum(end.mate is None for end in ends)), "piece", "one for each open end"),
        (Decimal(corners), "piece", "one for each corner it goes round"),
        (Decimal(joints), "piece", "one for each joint along a wall"),
    )
    for name, (count, unit, why) in zip(FITTINGS, counts, strict=True):
        yield Quantity(
            item=f"{lot.trim.name} {name}",
            quantity=count,
            unit=unit,
            why=why,
            category=Category.LIGHT,
            trim=lot.trim.name,
        )
