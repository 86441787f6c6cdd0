"""What is bought to spare: one more length of the trim that is hardest to cut, or a part of every trim."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil
from typing import Literal

from trimwright.setout.piece import Joint, SetOut
from trimwright.stock.bill import BuyingRow
from trimwright.stock.needs import NOISE
from trimwright.stock.parts import StockLength
from trimwright.stock.quantities import Category
from trimwright.stock.trim_plan import length_item, shop

__all__ = ["SoldTrim", "hardest", "sold_trims", "spare_rows"]

HIDDEN = ("batten", "channel")
"""Kinds that are not spoilt by a cut a little off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldTrim:
    """A trim sold in lengths: those of the shop, how much of it there is (mm), its longest piece, its hard ends."""

    name: str
    kind: str
    lengths: tuple[StockLength, ...]
    run: float
    longest: float
    copes: int
    mitres: int


def sold_trims(set_out: SetOut, prices: Mapping[str, Decimal]) -> list[SoldTrim]:
    """The trims of a job that are sold in lengths; returns count as mitres."""
    found = []
    for trim in set_out.trims:
        pieces = set_out.of_trim(trim)
        if trim.stock and pieces:
            joints = [end.joint for piece in pieces for end in (piece.left, piece.right)]
            found.append(
                SoldTrim(
                    name=trim.name,
                    kind=trim.section.kind,
                    lengths=tuple(shop(trim, prices)),
                    run=sum(piece.length for piece in pieces),
                    longest=max(piece.length for piece in pieces),
                    copes=joints.count(Joint.COPE),
                    mitres=joints.count(Joint.MITRE) + joints.count(Joint.RETURN),
                )
            )
    return found


def spare_rows(
    trims: Sequence[SoldTrim], rule: Literal["none", "hardest"] | Decimal, end_trim: float
) -> Iterator[BuyingRow]:
    """Lengths beyond the cutting plans, by the rule chosen; a decimal is per cent of every trim."""
    if rule == "hardest":
        trim = hardest(trims)
        if trim is not None:
            yield _row(trim, end_trim, 1, "one more of the trim with the most copes, then mitres")
    elif isinstance(rule, Decimal) and rule > 0:
        for trim in trims:
            count = ceil(trim.run * float(rule) / 100 / _length(trim, end_trim).length - NOISE)
            why = f"{rule.normalize():f} % of {trim.run / 1000:.1f} m, in whole lengths"
            yield _row(trim, end_trim, count, why)


def hardest(trims: Sequence[SoldTrim]) -> SoldTrim | None:
    """The trim that has the most copes, then the most mitres and returns; the first of equals."""
    seen = [trim for trim in trims if trim.kind not in HIDDEN]
    return max(seen, key=lambda trim: (trim.copes, trim.mitres), default=None)


def _length(trim: SoldTrim, end_trim: float) -> StockLength:
    """The shortest length from which any one piece can be cut again."""
    need = trim.longest + 2 * end_trim
    return next((s for s in trim.lengths if s.length >= need - NOISE), trim.lengths[-1])


def _row(trim: SoldTrim, end_trim: float, count: int, why: str) -> BuyingRow:
    length = _length(trim, end_trim)
    return BuyingRow(
        item=f"{length_item(trim.name, length.length)}, spare",
        quantity=Decimal(count),
        unit="length",
        price=length.price,
        category=Category.TRIM,
        trim=trim.name,
        note=why,
        length=length.length,
    )
