"""What is bought, cut, kept, carried and screwed, as plain rows: terminal, CSV, page and PDF print these alone."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from trimwright.pack.job import Job, mass
from trimwright.pack.table import Lengths, Table, lengths_of
from trimwright.setout.piece import SetOut
from trimwright.stock.bill import Bill, BillSum
from trimwright.stock.buying import Buying
from trimwright.stock.compare import AS_WRITTEN, Outcome
from trimwright.stock.handling import fixing, mass_by_metre, needs_two
from trimwright.stock.planned import PlannedBill

FEW = 4
"""Items without a price that are named; more are counted."""

__all__ = ["buying_table", "compare_table", "hole_table", "offcut_table", "stock_table", "sums_table", "weight_table"]


def stock_table(buying: PlannedBill) -> Table:
    """A row for each bar: which pieces come out of it, what is left, and the name of what is kept of that.

    How good a trim's plan is stands beside its first bar.
    """
    kept = {offcut.pieces: offcut.name for offcut in buying.offcuts}
    rows = tuple(
        (
            plan.trim,
            bar.stock.length,
            "owned" if bar.stock.owned else "",
            ", ".join(part.label for part in bar.pieces),
            round(bar.waste, 1),
            kept.get(tuple(part.label for part in bar.pieces), ""),
            "" if number else plan.proof,
        )
        for plan in buying.plans
        for number, bar in enumerate(plan.plan.bars)
    )
    headers = ("trim", "stock length", "from", "pieces", "left over", "kept as", "proof")
    return Table("Cutting plan", headers, rows, lengths_of(headers, rows, ("stock length", "left over")))


def buying_table(buying: Bill) -> Table:
    """A row for each item, and the total of those whose price is known."""
    rows = [(r.item, f"{r.quantity:f}", r.unit, _money(r.price), _money(r.cost), r.note) for r in buying.rows]
    count = len(rows)
    if buying.tax and len(buying.unpriced) < count:
        rows.append(("before tax", "", "", "", f"{buying.net:.2f}", ""))
        rows.append(("tax", f"{buying.tax.normalize():f}", "%", "", f"{buying.tax_due:.2f}", ""))
    total = f"{buying.total:.2f} {buying.currency}".rstrip() if len(buying.unpriced) < count else "not known"
    rows.append(("total", "", "", "", total, _missing(buying)))
    lengths = Lengths("item", (*(r.length for r in buying.rows), *(None for _ in rows[count:])))
    return Table("Buying list", ("item", "quantity", "unit", "price", "cost", "note"), tuple(rows), (lengths,))


def sums_table(buying: Bill) -> Table:
    """The known costs by what they are for and by trim, before tax, each way adding up to the same sum."""
    rows = [("by use", *_sum(s)) for s in buying.by_category] + [("by trim", *_sum(s)) for s in buying.by_trim]
    return Table("Costs before tax", ("", "for", "cost", "without a price"), tuple(rows))


def _sum(part: BillSum) -> tuple[str, str, str]:
    lines = f"{part.unpriced} line{'s' if part.unpriced > 1 else ''}"
    return part.name, _money(part.cost), lines if part.unpriced else ""


def _money(value: Decimal | None) -> str:
    return "not known" if value is None else f"{value:.2f}"


def _missing(buying: Bill) -> str:
    count = len(buying.unpriced)
    what = ", ".join(buying.unpriced) if count <= FEW else f"the {count} lines"
    return f"without {what} whose price is not known" if count else ""


def compare_table(outcomes: Sequence[Outcome], currency: str) -> Table:
    """A row for each change, cheapest first, with the difference to the file as it is; joints are those along walls."""
    (base,) = (o for o in outcomes if o.change == AS_WRITTEN)
    rows = tuple(
        (o.change, "", "", "", "", "", "", "", o.fault)
        if o.fault
        else (
            o.change,
            _money(o.cost),
            "" if o is base or o.cost is None or base.cost is None else f"{o.cost - base.cost:+.2f}",
            str(o.lengths),
            str(o.joints),
            str(o.cuts),
            str(o.copes),
            f"{o.waste / 1000:.2f}",
            "",
        )
        for o in outcomes
    )
    cost = f"cost, {currency}" if currency else "cost"
    headers = (
        "change",
        cost,
        "more",
        "lengths",
        "joints",
        "saw cuts",
        "copes",
        "left over, m",
        "cannot be",
    )
    return Table("What if", headers, rows)


def offcut_table(buying: PlannedBill) -> Table:
    """A row for each length worth keeping."""
    rows = tuple((o.name, o.trim, o.length, o.stock, ", ".join(o.pieces)) for o in buying.offcuts)
    headers = ("offcut", "trim", "length", "of a bar of", "beside")
    return Table("Offcuts to keep", headers, rows, lengths_of(headers, rows, ("length", "of a bar of")))


def weight_table(job: Job) -> Table:
    """A row for each trim: its mass, which pieces take two people, how it is held, each piece; then the whole."""
    rows: list[tuple[str | float, ...]] = []
    masses = {piece.id: mass(piece, job.meshes[piece.id]) for piece in job.set_out.pieces}
    for trim in job.set_out.trims:
        pieces = job.set_out.of_trim(trim)
        two = [p.id for p in pieces if needs_two(p, masses[p.id], job.buying.rates)]
        if pieces:
            rows.append(
                (
                    trim.name,
                    round(mass_by_metre(trim), 2),
                    round(sum(masses[p.id] for p in pieces), 1),
                    ", ".join(two) or "none",
                    fixing(trim, job.buying.rates),
                    ", ".join(f"{p.id} {_kilograms(masses[p.id])}" for p in pieces),
                )
            )
    rows.append(("all", "", round(sum(masses.values()), 1), "", "", ""))
    headers = ("trim", "kg a metre", "in all, kg", "two people for", "held by", "each, kg")
    return Table("Weights and fixing", headers, tuple(rows))


def _kilograms(mass: float) -> str:
    return f"{mass:.1f}" if mass >= 1 else f"{mass:.2f}"


def hole_table(buying: Buying, set_out: SetOut) -> Table:
    """A row for each piece that is screwed: holes along its back from its left end, and their stations on the wall."""
    rows = tuple(
        (
            found.piece.id,
            set_out.room.walls[found.piece.wall].name,
            len(found.along) * found.rows,
            ", ".join(f"{a:.0f}" for a in found.along),
            ", ".join(f"{s:.0f}" for s in found.stations),
        )
        for found in buying.holes
    )
    headers = ("piece", "wall", "screws", "from its left end, along the back", "from the wall's left corner")
    return Table("Screw holes", headers, rows)
