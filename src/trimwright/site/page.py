"""What stands on the page of a site: its rooms with links to their packs, what clashes, what failed, and the totals."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from functools import partial

from trimwright import __version__
from trimwright.pack.bill_tables import buying_table, sums_table
from trimwright.pack.page import UNIT_WORDS, shown_table
from trimwright.page import content
from trimwright.site.build import RoomState
from trimwright.site.lists import cutting_table, room_table, trim_table
from trimwright.site.records import RoomRecord
from trimwright.site.site import Site
from trimwright.site.whole import Whole
from trimwright.units import Units

__all__ = ["page_data"]

ABOUT = {
    "cutting-plan.pdf": ("Cutting plan to print", "marks of the rooms, buying list, every bar to scale"),
    "cutting-plan.csv": ("Cutting plan", "a row a bar"),
    "buying.csv": ("Buying list", "for the whole site"),
    "offcuts.toml": ("Offcuts", "lengths worth keeping, for the next file"),
    "site.json": ("Everything as data", "format 1"),
}

MARKS = (
    "Pieces are cut together for all rooms. A.3 C1 is the piece C1 of the third copy of room A; A C1 where there is"
    " only one. Write the whole of it on the back of the piece."
)

EACH = "A room's own pack says what that room alone would take; what is bought and cut for the site stands here."


def page_data(
    site: Site, states: Sequence[RoomState], whole: Whole, issued: date, files: Sequence[str]
) -> content.PageData:
    """The page; `files` are those that lie beside it."""
    units = Units(site.tables.site.units)
    shown = partial(shown_table, units, piece_column="")
    bill = buying_table(whole)
    tables = [
        _rooms(states, units),
        shown("trims", trim_table(whole), about=""),
        shown("buying", bill, about=EACH, sums=len(bill.rows) - len(whole.rows)),
        shown("sums", sums_table(whole), about=""),
    ]
    if whole.plans:
        tables.append(shown("cutting", cutting_table(whole), about=MARKS))
    return content.PageData(
        title=site.tables.site.name,
        summary=_summary(states),
        figures=tuple(_figures(states, whole)),
        notes=tuple(_notes(states, whole)),
        tables=tuple(tables),
        links=tuple(
            content.Link(label=label, href=name, about=about)
            for name, (label, about) in ABOUT.items()
            if name in files or name == "site.json"
        ),
        foot=f"trimwright {__version__}, {issued.isoformat()}. {UNIT_WORDS[units]}",
    )


def _summary(states: Sequence[RoomState]) -> str:
    copies = sum(state.room.count for state in states)
    kinds = f"{len(states)} room files" if len(states) > 1 else "one room file"
    return f"{copies} rooms, from {kinds}."


def _rooms(states: Sequence[RoomState], units: Units) -> content.Table:
    """The rooms, each with the way to its pack; a room that failed has none."""
    table = shown_table(
        units,
        "rooms",
        room_table(states),
        "",
        "Each room's name leads to its pack, where the cautions for the work stand first.",
    )
    rows = tuple(
        replace(
            row,
            href=f"{state.room.folder}/index.html" if isinstance(state.outcome, RoomRecord) else "",
            bad=_bad(state),
        )
        for row, state in zip(table.rows, states, strict=True)
    )
    return replace(table, rows=rows)


def _bad(state: RoomState) -> bool:
    outcome = state.outcome
    return not isinstance(outcome, RoomRecord) or bool(outcome.warnings)


def _figures(states: Sequence[RoomState], whole: Whole) -> Iterator[content.Figure]:
    built = [(s.room, s.outcome) for s in states if isinstance(s.outcome, RoomRecord)]
    failed = sum(s.room.count for s in states) - sum(room.count for room, _ in built)
    yield content.Figure(label="rooms built", value=str(sum(room.count for room, _ in built)), note="copies and all")
    if failed:
        yield content.Figure(label="rooms failed", value=str(failed), note="not in any total", bad=True)
    for trim in whole.trims:
        metres = sum(blank.length for blank in trim.blanks) / 1000
        yield content.Figure(label=trim.name, value=f"{metres:.2f} m", note=f"{len(trim.blanks)} pieces")
    yield content.Figure(label="to buy", value=whole.total_words(), note="what has a known price")
    clashes = sum(len(outcome.warnings) * room.count for room, outcome in built)
    yield content.Figure(label="clashes", value=str(clashes) if clashes else "none", bad=clashes > 0)


def _notes(states: Sequence[RoomState], whole: Whole) -> Iterator[str]:
    yield from whole.faults
    for state in states:
        if isinstance(state.outcome, RoomRecord):
            for said in state.outcome.warnings:
                yield f"{state.room.name}: {said}"
        else:
            yield f"{state.room.name} failed: {state.outcome.message}"
    yield from whole.notes
