"""The lists of a site as plain rows: its page, its paper and its CSV files print these."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from trimwright.pack.table import Table, lengths_of
from trimwright.site.build import RoomState
from trimwright.site.records import RoomRecord
from trimwright.site.site import Site
from trimwright.site.whole import Whole

__all__ = ["cutting_table", "room_table", "site_data", "state_words", "trim_table"]


def state_words(state: RoomState) -> str:
    """What came of a room, in a few words."""
    if not isinstance(state.outcome, RoomRecord):
        return "FAILED"
    count = len(state.outcome.warnings)
    return f"{count} CLASH{'ES' if count > 1 else ''}" if count else "ok"


def room_table(states: Sequence[RoomState]) -> Table:
    """A row for each room: its name and mark, how often it is built, its pieces, and what came of it."""
    rows = tuple(
        (
            state.room.name,
            state.room.mark,
            state.room.count,
            state.outcome.pieces if isinstance(state.outcome, RoomRecord) else 0,
            state_words(state),
        )
        for state in states
    )
    return Table("Rooms", ("room", "mark", "copies", "pieces in each", "state"), rows)


def trim_table(whole: Whole) -> Table:
    """A row for each trim of the site: what rooms call it, what it is, how much of it there is."""
    rows = tuple(
        (
            trim.name,
            ", ".join(trim.names),
            trim.words,
            len(trim.blanks),
            round(sum(blank.length for blank in trim.blanks) / 1000, 2),
            next((len(plan.plan.bars) for plan in whole.plans if plan.trim == trim.name), ""),
        )
        for trim in whole.trims
    )
    return Table("Trims", ("trim", "called in the rooms", "what it is", "pieces", "metres", "bars"), rows)


def cutting_table(whole: Whole) -> Table:
    """A row for each bar: its name on the sheets, and which piece of which room and copy is cut from it."""
    kept = {offcut.pieces: offcut.name for offcut in whole.offcuts}
    rows = tuple(
        (
            f"{plan.trim} {number}",
            bar.stock.length,
            "owned" if bar.stock.owned else "",
            ", ".join(part.label for part in bar.pieces),
            round(bar.waste, 1),
            kept.get(tuple(part.label for part in bar.pieces), ""),
            plan.proof if number == 1 else "",
        )
        for plan in whole.plans
        for number, bar in enumerate(plan.plan.bars, 1)
    )
    headers = ("bar", "stock length", "from", "pieces", "left over", "kept as", "proof")
    return Table("Cutting plan", headers, rows, lengths_of(headers, rows, ("stock length", "left over")))


def site_data(site: Site, states: Sequence[RoomState], whole: Whole) -> dict[str, Any]:
    """site.json but for its list of files: everything of a site as data, format 1."""
    return {
        "format": 1,
        "site": {"name": site.tables.site.name},
        "rooms": [_room(state) for state in states],
        "trims": [
            {"name": t.name, "names": t.names, "what": t.words, "pieces": len(t.blanks), "length": _run(t.blanks)}
            for t in whole.trims
        ],
        "stock": whole.stock_data(),
        "plans": [
            {"trim": p.trim, "status": p.plan.status, "bound": p.plan.bound, "cost": p.plan.cost} for p in whole.plans
        ],
        "buying": whole.rows_data(),
        "costs": whole.costs_data(),
        "offcuts": whole.offcuts_data(),
        "notes": whole.notes,
        "faults": whole.faults,
    }


def _run(blanks: Sequence[Any]) -> float:
    return float(sum(blank.length for blank in blanks))


def _room(state: RoomState) -> dict[str, Any]:
    room, outcome = state.room, state.outcome
    entry: dict[str, Any] = {"mark": room.mark, "name": room.name, "count": room.count}
    if not isinstance(outcome, RoomRecord):
        return {**entry, "state": "failed", "message": outcome.message}
    return {
        **entry,
        "state": "clash" if outcome.warnings else "ok",
        "pack": f"{room.folder}/pack.json",
        "sha256": outcome.pack,
        "pieces": outcome.pieces,
        "warnings": outcome.warnings,
        "notes": outcome.notes,
    }
