"""First quantities of what goes with trim: adhesive and filler by the bead, pins by the row, paint by the girth."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import ceil
from typing import Any

from trimwright.data import table
from trimwright.profile.measures import measure
from trimwright.setout.piece import Piece, SetOut, Trim

__all__ = ["Quantity", "quantities"]

PLAIN = "batten"
"""A kind of trim that the rates do not name is taken as this: glued, pinned, neither filled nor painted."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """So many units of an item, rounded up to what can be bought; `why` says from what it follows."""

    item: str
    quantity: Decimal
    unit: str
    why: str


def quantities(set_out: SetOut) -> tuple[Quantity, ...]:
    """Adhesive, filler, pins and paint for all pieces of a job; items of which nothing is needed are left out."""
    rates = table("rates")
    lots = [(trim, set_out.of_trim(trim), _kind(rates, trim)) for trim in set_out.trims]
    spare = 1 + rates["allowance"]["part"]
    found = [_beads(rates[item], spare, ((ps, kind[item]) for _, ps, kind in lots)) for item in ("adhesive", "filler")]
    found.append(_pins(rates["pins"], ((ps, kind["pins"]) for _, ps, kind in lots)))
    found.append(_paint(rates["paint"], spare, ((trim, ps) for trim, ps, kind in lots if kind["paint"])))
    return tuple(q for q in found if q.quantity > 0)


def _kind(rates: dict[str, Any], trim: Trim) -> dict[str, Any]:
    kinds: dict[str, dict[str, Any]] = rates["kind"]
    return kinds.get(trim.section.kind, kinds[PLAIN])


def _beads(rate: dict[str, Any], spare: float, lots: Iterable[tuple[tuple[Piece, ...], int]]) -> Quantity:
    """Volume of all beads over that of a pack: mm² x mm = mm³, a thousand to the millilitre."""
    run = sum(beads * sum(p.length for p in pieces) for pieces, beads in lots)
    packs = ceil(run * rate["bead"] / 1000 * spare / rate["pack"])
    return Quantity(rate["item"], Decimal(packs), rate["unit"], f"{run / 1000:.1f} m of bead, {rate['bead']:g} mm²")


def _pins(rate: dict[str, Any], lots: Iterable[tuple[tuple[Piece, ...], int]]) -> Quantity:
    """A pin near each end of every piece and between them no farther apart than the spacing, in every row."""
    pins = 0
    for pieces, rows in lots:
        for piece in pieces:
            between = max(0.0, piece.length - 2 * rate["from_end"])
            pins += rows * (ceil(between / rate["spacing"]) + 1)
    return Quantity(rate["item"], Decimal(ceil(pins / rate["pack"])), rate["unit"], f"{pins} pins")


def _paint(rate: dict[str, Any], spare: float, lots: Iterable[tuple[Trim, tuple[Piece, ...]]]) -> Quantity:
    """Girth x length, for every coat."""
    area = sum(measure(trim.section).girth * sum(p.length for p in pieces) for trim, pieces in lots) / 1e6
    step = Decimal(str(rate["step"]))
    litres = ceil(area * rate["coats"] * spare / rate["spread"] / rate["step"]) * step
    return Quantity(rate["item"], litres, rate["unit"], f"{area:.2f} m², {rate['coats']} coats")
