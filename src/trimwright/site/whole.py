"""The site as a whole: one cutting plan a trim for the pieces of all rooms and copies, and one bill."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import reduce

from trimwright.drawing.cutting_plan import Blank
from trimwright.errors import DoesNotFit
from trimwright.project.models import SawTable
from trimwright.site.models import SiteFile
from trimwright.site.records import RoomRecord, TrimRecord
from trimwright.site.site import Site, SiteRoom
from trimwright.spelling import nearest
from trimwright.stock.bill import BuyingRow
from trimwright.stock.buying import bought_lengths, running_metres
from trimwright.stock.needs import Needs
from trimwright.stock.offcuts import offcuts_of
from trimwright.stock.parts import Part, StockLength
from trimwright.stock.plan import CutPlan, OutOfStock, cut_plan
from trimwright.stock.planned import PlannedBill
from trimwright.stock.quantities import Quantity, quantities
from trimwright.stock.rates import merged_rates
from trimwright.stock.spare import SoldTrim, spare_rows
from trimwright.stock.trim_plan import TrimPlan

__all__ = ["MOST_SITE_PIECES", "Built", "Whole", "whole_of"]

MOST_SITE_PIECES = 100_000
"""One site is planned for no more pieces than this."""


@dataclass(frozen=True, slots=True)
class Built:
    """A room that has its pack."""

    room: SiteRoom
    record: RoomRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteTrim:
    """What is cut from the same stock in all rooms: its name on the lists, words for a label, its pieces with copies.

    `names` are what rooms call it. A blank's name is that of its copy and of its piece: 'A.3 C1'.
    """

    name: str
    names: tuple[str, ...]
    words: str
    kind: str
    lengths: tuple[StockLength, ...]
    blanks: tuple[Blank, ...]
    copes: int
    mitres: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole(PlannedBill):
    """The bill of a site, and what it follows from. `faults` say which trims could not be planned, and why."""

    trims: tuple[SiteTrim, ...]
    notes: tuple[str, ...]
    faults: tuple[str, ...]


def whole_of(site: Site, built: Sequence[Built]) -> Whole:
    """Plans and bill of the rooms that were built, each as often as the site says.

    Raises RoomFileError for a rate that is not, DoesNotFit if there are more pieces than one site is planned for.
    """
    tables = site.tables
    count = sum(b.record.pieces * b.room.count for b in built)
    if count > MOST_SITE_PIECES:
        raise DoesNotFit(f"{site.path}: {count} pieces; a site of more than {MOST_SITE_PIECES} is to be divided in two")
    rates = merged_rates(tables.rates, str(site.path))
    trims = _site_trims(built)
    owned = _owned(tables, built, trims)
    plans: list[TrimPlan] = []
    rows: list[BuyingRow] = []
    faults: list[str] = []
    for trim in trims:
        if not trim.lengths:
            run = sum(blank.length for blank in trim.blanks)
            rows.append(running_metres(trim.name, run, _price(tables, trim)))
            continue
        try:
            plan = _plan(trim, owned.get(trim.name, ()), tables.saw)
        except DoesNotFit as error:
            rooms = "".join(_rooms_named(error, built)) if isinstance(error, OutOfStock) else ""
            faults.append(f"{site.path}: trim '{trim.name}', stock: {error}{rooms}")
            continue
        plans.append(TrimPlan(trim=trim.name, plan=plan, least=plan.cost))
        rows += bought_lengths(trim.name, trim.lengths, plan)
    rows += spare_rows(list(map(_sold, filter(lambda t: t.lengths, trims))), tables.prices.spare, tables.saw.end_trim)
    needs = reduce(Needs.__add__, (b.record.needs.times(b.room.count) for b in built), Needs())
    for q in (*quantities(needs, rates), *_light(built)):
        price = tables.prices.items.get(q.item)
        rows.append(
            BuyingRow(
                item=q.item, quantity=q.quantity, unit=q.unit, price=price, category=q.category, trim=q.trim, note=q.why
            )
        )
    return Whole(
        rows=tuple(rows),
        currency=tables.prices.currency,
        tax=tables.prices.tax,
        trims=trims,
        plans=tuple(plans),
        offcuts=offcuts_of(plans, tables.saw),
        notes=tuple(_unused_prices(site, trims, rows)),
        faults=tuple(faults),
    )


def _site_trims(built: Sequence[Built]) -> tuple[SiteTrim, ...]:
    """Trims with their section, material and stock in common become one; in the order in which rooms bring them."""
    groups: dict[object, list[tuple[SiteRoom, TrimRecord]]] = {}
    for b in built:
        for trim in b.record.trims:
            groups.setdefault((trim.same, trim.lengths), []).append((b.room, trim))
    taken: set[str] = set()
    return tuple(_site_trim(members, taken) for members in groups.values())


def _site_trim(members: Sequence[tuple[SiteRoom, TrimRecord]], taken: set[str]) -> SiteTrim:
    first = members[0][1]
    names = tuple(dict.fromkeys(trim.name for _, trim in members))
    name = next(_free(first.name, taken))
    taken.add(name)
    return SiteTrim(
        name=name,
        names=names,
        words=first.words,
        kind=first.kind,
        lengths=first.lengths,
        blanks=tuple(
            replace(blank, name=f"{room.copy_mark(copy)} {blank.name}")
            for room, trim in members
            for copy in range(1, room.count + 1)
            for blank in trim.blanks
        ),
        copes=sum(trim.copes * room.count for room, trim in members),
        mitres=sum(trim.mitres * room.count for room, trim in members),
    )


def _free(name: str, taken: set[str]) -> Iterator[str]:
    """The name of a trim, or with a number where another trim, not the same, has it already."""
    if name not in taken:
        yield name
    number = 2
    while True:
        if f"{name} ({number})" not in taken:
            yield f"{name} ({number})"
        number += 1


def _owned(tables: SiteFile, built: Sequence[Built], trims: Sequence[SiteTrim]) -> dict[str, list[StockLength]]:
    """Offcuts by the site's trims: those of the site, and those that lie in a room, once however many copies it has."""
    listed = [(offcut.trim, offcut.length, offcut.count) for offcut in tables.offcut]
    owned: dict[str, list[StockLength]] = {}
    for name, length, count in (*listed, *(offcut for b in built for offcut in b.record.owned)):
        trim = next((t for t in trims if name in t.names), None)
        if trim is not None:
            owned.setdefault(trim.name, []).append(StockLength(length, Decimal(0), count))
    return owned


def _plan(trim: SiteTrim, owned: Sequence[StockLength], saw: SawTable) -> CutPlan:
    """The plan by so much work and not by the clock, so that it is the same wherever it is made."""
    parts = [Part(blank.length, 1, blank.name) for blank in trim.blanks]
    return cut_plan(parts, [*trim.lengths, *owned], saw.kerf, saw.end_trim, time_limit=None)


def _rooms_named(error: OutOfStock, built: Sequence[Built]) -> Iterator[str]:
    """What the marks of pieces that lack a length stand for."""
    rooms = {b.room.copy_mark(copy): b.room for b in built for copy in range(1, b.room.count + 1)}
    named = [rooms[part.label.rpartition(" ")[0]] for part in error.shortage.named]
    yield from (f"; {room.mark} is {room.name}" for room in dict.fromkeys(named))


def _sold(trim: SiteTrim) -> SoldTrim:
    return SoldTrim(
        name=trim.name,
        kind=trim.kind,
        lengths=trim.lengths,
        run=sum(blank.length for blank in trim.blanks),
        longest=max(blank.length for blank in trim.blanks),
        copes=trim.copes,
        mitres=trim.mitres,
    )


def _price(tables: SiteFile, trim: SiteTrim) -> Decimal | None:
    return next((tables.prices.items[name] for name in trim.names if name in tables.prices.items), None)


def _light(built: Sequence[Built]) -> list[Quantity]:
    """What the lights of all rooms take, item by item."""
    found: dict[tuple[str, str], Quantity] = {}
    for b in built:
        for q in b.record.light:
            before = found.get((q.item, q.unit))
            more = q.quantity * b.room.count
            why = "as each room's light takes"
            found[q.item, q.unit] = replace(q, quantity=more + (before.quantity if before else 0), why=why)
    return list(found.values())


def _unused_prices(site: Site, trims: Sequence[SiteTrim], rows: Sequence[BuyingRow]) -> Iterator[str]:
    """A price for something that no row is called is more likely a slip than a wish."""
    known = {row.item for row in rows if row.unit != "length"}
    known |= {f"{name} {s.length:g} mm" for trim in trims for name in trim.names for s in trim.lengths}
    known |= {name for trim in trims for name in trim.names}
    for item in site.tables.prices.items:
        if item not in known:
            yield f"{site.path}: [prices], items: nothing on this site is called '{item}'{nearest(item, sorted(known))}"
