"""What is bought to spare: one more length of the trim that is hardest to cut, or a part of every trim."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from math import ceil

from trimwright.project.project import Project
from trimwright.setout.piece import Joint, SetOut, Trim
from trimwright.stock.bill import BuyingRow
from trimwright.stock.plan import StockLength
from trimwright.stock.quantities import NOISE, Category
from trimwright.stock.trim_plan import length_item, shop

__all__ = ["hardest", "spare_rows"]

HIDDEN = ("batten", "channel")
"""Kinds that are not spoilt by a cut a little off."""


def spare_rows(set_out: SetOut, project: Project) -> Iterator[BuyingRow]:
    """Lengths beyond the cutting plans, by the rule that the room file chose."""
    rule = project.prices.spare
    if rule == "hardest":
        trim = hardest(set_out)
        if trim is not None:
            yield _row(set_out, trim, project, 1, "one more of the trim with the most copes, then mitres")
    elif isinstance(rule, Decimal) and rule > 0:
        for trim in set_out.trims:
            if trim.stock and set_out.of_trim(trim):
                run = sum(p.length for p in set_out.of_trim(trim))
                count = ceil(run * float(rule) / 100 / _length(set_out, trim, project).length - NOISE)
                yield _row(
                    set_out, trim, project, count, f"{rule.normalize():f} % of {run / 1000:.1f} m, in whole lengths"
                )


def hardest(set_out: SetOut) -> Trim | None:
    """The trim sold in lengths that has the most copes, then the most mitres and returns; the first of equals."""
    trims = [t for t in set_out.trims if t.stock and set_out.of_trim(t) and t.section.kind not in HIDDEN]
    return max(trims, key=lambda t: _difficulty(set_out, t), default=None)


def _difficulty(set_out: SetOut, trim: Trim) -> tuple[int, int]:
    joints = [end.joint for p in set_out.of_trim(trim) for end in (p.left, p.right)]
    return joints.count(Joint.COPE), joints.count(Joint.MITRE) + joints.count(Joint.RETURN)


def _length(set_out: SetOut, trim: Trim, project: Project) -> StockLength:
    """The shortest length from which any one piece can be cut again."""
    need = max(p.length for p in set_out.of_trim(trim)) + 2 * project.saw.end_trim
    sold = shop(trim, project.prices.items)
    return next((s for s in sold if s.length >= need - NOISE), sold[-1])


def _row(set_out: SetOut, trim: Trim, project: Project, count: int, why: str) -> BuyingRow:
    length = _length(set_out, trim, project)
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
