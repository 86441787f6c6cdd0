"""What goes with trim: adhesive and filler by the bead, glue by the joint, pins by the row, paint by the girth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import ceil

from trimwright.stock.needs import NOISE, ChannelNeeds, Needs
from trimwright.stock.rates import Rates

__all__ = ["ITEMS", "Category", "Quantity", "quantities"]

ITEMS = ("adhesive", "filler", "glue", "pins", "screws", "primer", "paint", "abrasive")
"""The tables of the rates that are bought for all trims together."""

FITTINGS = ("diffuser", "end cap", "corner connector", "joint connector")
"""What a light channel takes, by the trim's name."""


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


def quantities(needs: Needs, rates: Rates) -> tuple[Quantity, ...]:
    """Everything that a job needs, in whole packs; items of which nothing is needed are left out."""
    found = [
        _beads(rates, "adhesive", Category.FIXING, needs.adhesive),
        _glue(rates, needs),
        _rows(rates, "pins", needs.pins),
        _rows(rates, "screws", needs.screws),
        _beads(rates, "filler", Category.FINISH, needs.filler),
        _abrasive(rates["abrasive"], needs.painted),
        _paint(rates, "primer", needs.painted),
        _paint(rates, "paint", needs.painted),
        *(fitting for trim, channel in needs.channels.items() for fitting in _fittings(trim, channel)),
    ]
    return tuple(q for q in found if q.quantity > 0)


def _packs(amount: float, pack: float) -> Decimal:
    return Decimal(ceil(amount / pack - NOISE))


def _spare(rates: Rates) -> float:
    return 1.0 + float(rates["allowance"]["part"])


def _allowed(rates: Rates) -> str:
    part = rates["allowance"]["part"]
    return f", and {100 * part:g} % for what is lost" if part else ""


def _beads(rates: Rates, name: str, category: Category, run: float) -> Quantity:
    """Volume of all beads over that of a pack: mm² x mm = mm³, a thousand to the millilitre."""
    rate = rates[name]
    volume = run * rate["bead"] / 1000 * _spare(rates)
    why = f"bead area x length: {rate['bead']:g} mm² x {run / 1000:.1f} m{_allowed(rates)}: {volume:.0f} ml"
    return Quantity(
        item=rate["item"], quantity=_packs(volume, rate["pack"]), unit=rate["unit"], why=why, category=category
    )


def _glue(rates: Rates, needs: Needs) -> Quantity:
    """Film x cut face."""
    rate = rates["glue"]
    volume = needs.glued_face * rate["film"] / 1000 * _spare(rates)
    face = f"{rate['film']:g} mm x {needs.glued_face / 100:.0f} cm² in {needs.glued:g} joints"
    why = f"film x cut face: {face}{_allowed(rates)}: {volume:.0f} ml"
    return Quantity(
        item=rate["item"], quantity=_packs(volume, rate["pack"]), unit=rate["unit"], why=why, category=Category.FIXING
    )


def _rows(rates: Rates, name: str, count: int) -> Quantity:
    """Pins or screws: near each end of every piece and between them no farther apart than the spacing, in every row."""
    rate = rates[name]
    why = f"{rate['from_end']:g} from each end and every {rate['spacing']:g} mm at most: {count} {name}"
    return Quantity(
        item=rate["item"], quantity=_packs(count, rate["pack"]), unit=rate["unit"], why=why, category=Category.FIXING
    )


def _paint(rates: Rates, name: str, area: float) -> Quantity:
    """Girth x length, for every coat."""
    rate = rates[name]
    step = Decimal(str(rate["step"]))
    litres = ceil(area * rate["coats"] * _spare(rates) / rate["spread"] / rate["step"] - NOISE) * step
    coats = f"{rate['coats']} coat{'s' if rate['coats'] != 1 else ''}"
    why = f"girth x length: {area:.2f} m², {coats}, {rate['spread']:g} m² a litre{_allowed(rates)}"
    return Quantity(item=rate["item"], quantity=litres, unit=rate["unit"], why=why, category=Category.FINISH)


def _abrasive(rate: Rates, area: float) -> Quantity:
    """What is painted, rubbed down before each coat that follows another."""
    sheets = _packs(area * rate["passes"], rate["covers"])
    why = f"{area:.2f} m² rubbed down {rate['passes']:g} times, {rate['covers']:g} m² a sheet"
    return Quantity(item=rate["item"], quantity=sheets, unit=rate["unit"], why=why, category=Category.FINISH)


def _fittings(trim: str, channel: ChannelNeeds) -> Iterator[Quantity]:
    """Of a light channel: its diffuser, a cap for each open end, a connector for each corner and each joint."""
    counts = (
        (Decimal(ceil(channel.run / 100 - NOISE)) / 10, "m", "as long as the channel, cut with it"),
        (Decimal(channel.open), "piece", "one for each open end"),
        (Decimal(channel.corners), "piece", "one for each corner it goes round"),
        (Decimal(channel.joints), "piece", "one for each joint along a wall"),
    )
    for name, (count, unit, why) in zip(FITTINGS, counts, strict=True):
        yield Quantity(item=f"{trim} {name}", quantity=count, unit=unit, why=why, category=Category.LIGHT, trim=trim)
