"""Writes what is made of all rooms beside their packs: page, bill, cutting plan, data.

Each file is whole whenever it is looked at; site.json, which has the sums of the others, is the last to change.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from trimwright.drawing.cutting_plan import Cutting, cutting_plan_sheets
from trimwright.drawing.pdf import write_pdf
from trimwright.drawing.press.list_sheets import Listing, list_sheets
from trimwright.drawing.sheet import Sheet
from trimwright.drawing.titled import titled
from trimwright.errors import OutputError
from trimwright.pack.bill_tables import buying_table, sums_table
from trimwright.pack.data import to_json
from trimwright.pack.table import Table, csv_text, in_units
from trimwright.pack.workshop import workshop
from trimwright.pack.write import issue_date
from trimwright.page.write import write_page
from trimwright.site.build import RoomState
from trimwright.site.lists import cutting_table, room_table, site_data, trim_table
from trimwright.site.page import page_data
from trimwright.site.place import INDEX, WRITTEN
from trimwright.site.site import Site
from trimwright.site.whole import Whole
from trimwright.stock.offcuts import offcuts_text
from trimwright.units import Units

__all__ = ["write_site"]

MARKS = "A.3 C1 on a bar is the piece C1 of the third copy of room A; A C1 where there is only one."


def write_site(site: Site, out: Path, states: Sequence[RoomState], whole: Whole) -> None:
    """Writes the files of the site; one that has no purpose any more is taken away. Raises OutputError."""
    issued = issue_date(site.tables.site.date, site.path)
    try:
        with workshop((out / "site").absolute()) as folder:
            _write_lists(site, whole, folder)
            _write_sheets(site, states, whole, issued, folder)
            written = sorted(path.name for path in folder.iterdir())
            page = page_data(site, states, whole, issued, written)
            (folder / "index.html").write_text(write_page(page), encoding="utf-8")
            sums = [
                {"path": path.name, "sha256": hashlib.sha256(path.read_bytes()).hexdigest()}
                for path in sorted(folder.iterdir())
            ]
            (folder / INDEX).write_text(to_json({**site_data(site, states, whole), "files": sums}), "utf-8")
            for name in (*WRITTEN, INDEX):
                _move(folder / name, out / name)
    except OSError as error:
        raise OutputError(f"{out}: cannot be written: {error.strerror or error}; choose another with --out") from None


def _move(made: Path, place: Path) -> None:
    if made.exists():
        os.replace(made, place)
    else:
        place.unlink(missing_ok=True)


def _write_lists(site: Site, whole: Whole, folder: Path) -> None:
    units = Units(site.tables.site.units)
    tables = {"buying": buying_table(whole), "cutting-plan": cutting_table(whole)}
    for name, table in tables.items():
        (folder / f"{name}.csv").write_text(csv_text(in_units(table, units)), encoding="utf-8", newline="")
    if whole.offcuts:
        text = offcuts_text(whole.offcuts, site.tables.site.name, {trim.name: trim.words for trim in whole.trims})
        (folder / "offcuts.toml").write_text(text, encoding="utf-8")


def _write_sheets(site: Site, states: Sequence[RoomState], whole: Whole, issued: date, folder: Path) -> None:
    """cutting-plan.pdf: which mark is which room, what to buy, and every bar to scale."""
    name, size, units = site.tables.site.name, site.tables.paper.size, Units(site.tables.site.units)
    cutting = Cutting(
        source=name,
        units=units,
        plans=whole.plans,
        offcuts=whole.offcuts,
        blanks={blank.name: blank for trim in whole.trims for blank in trim.blanks},
        trims={trim.name: trim.words for trim in whole.trims},
    )
    rooms, trims = room_table(states), trim_table(whole)
    sheets: list[Sheet] = [
        *list_sheets("rooms", "Rooms and their marks", [_listing(rooms, units), _listing(trims, units)], size),
        *list_sheets(
            "buying", "Buying list", [_listing(buying_table(whole), units), _listing(sums_table(whole), units)], size
        ),
        *cutting_plan_sheets(cutting, site.tables.saw, size),
    ]
    framed = titled(sheets, name, issued.isoformat())
    write_pdf(framed, folder / "cutting-plan.pdf", f"{name}: cutting plan", issued)


def _listing(table: Table, units: Units) -> Listing:
    shown = in_units(table, units)
    rows = tuple(tuple(map(_written, row)) for row in shown.rows)
    return Listing(title=shown.name, headers=shown.headers, rows=rows, about=MARKS if table.name == "Rooms" else "")


def _written(cell: str | float | int) -> str:
    return f"{cell:.2f}".rstrip("0").rstrip(".") if isinstance(cell, float) else str(cell)
