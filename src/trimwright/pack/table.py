"""A list as headers and rows, with its lengths in feet and inches beside the millimetres where those are wanted."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass, replace

from trimwright.terminal import table_text
from trimwright.units import Units, feet_inches

__all__ = ["Cell", "Lengths", "Table", "columns", "csv_text", "in_units", "lengths_of", "terminal_text"]

Cell = str | float | int


@dataclass(frozen=True, slots=True)
class Lengths:
    """What a column says in mm, row by row; None where a row says no length there."""

    column: str
    values: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Headers and rows of cells; numbers are already rounded to what a person can use."""

    name: str
    headers: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    lengths: tuple[Lengths, ...] = ()

    def __str__(self) -> str:
        return table_text(self.headers, self.rows)


def lengths_of(headers: Sequence[str], rows: Sequence[Sequence[Cell]], names: Sequence[str]) -> tuple[Lengths, ...]:
    """The lengths of columns whose cells are plain numbers of mm."""
    found = []
    for name in names:
        cells = [row[headers.index(name)] for row in rows]
        found.append(Lengths(name, tuple(None if isinstance(c, str) else float(c) for c in cells)))
    return tuple(found)


def in_units(table: Table, units: Units) -> Table:
    """The table as it is shown: in inches, each column of lengths is followed by one of feet, inches and sixteenths.

    Columns of their own rather than two units in a cell, so that a spreadsheet can still add up the millimetres.
    """
    if units is Units.MM:
        return table
    headers, rows = list(table.headers), [list(row) for row in table.rows]
    for lengths in table.lengths:
        at = headers.index(lengths.column) + 1
        headers.insert(at, f"{lengths.column} (ft in)")
        for row, value in zip(rows, lengths.values, strict=True):
            row.insert(at, "" if value is None else feet_inches(value))
    return replace(table, headers=tuple(headers), rows=tuple(map(tuple, rows)), lengths=())


def terminal_text(table: Table, units: Units, width: int) -> str:
    """The table for a terminal of a width: where columns of feet and inches would not fit, they stand below the mm."""
    shown = in_units(table, units)
    text = table_text(shown.headers, shown.rows)
    if not width or max(map(len, text.splitlines())) <= width:
        return text
    if units is Units.MM:
        return table_text(table.headers, table.rows, width)
    below = {lengths.column: lengths.values for lengths in table.lengths}
    rows = [
        tuple(
            cell if (value := below.get(header, {k: None})[k]) is None else (cell, feet_inches(value))
            for header, cell in zip(table.headers, row, strict=True)
        )
        for k, row in enumerate(table.rows)
    ]
    return table_text(table.headers, rows, width)


def columns(table: Table, names: Sequence[str]) -> Table:
    """The same table with only some of its columns."""
    keep = [table.headers.index(name) for name in names]
    rows = tuple(tuple(row[k] for k in keep) for row in table.rows)
    return Table(table.name, tuple(names), rows, tuple(x for x in table.lengths if x.column in names))


def csv_text(table: Table) -> str:
    """The table as CSV (RFC 4180), cells that a spreadsheet would take for a formula made plain text."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(table.headers)
    writer.writerows([[_plain(cell) for cell in row] for row in table.rows])
    return out.getvalue()


def _plain(cell: Cell) -> Cell:
    return f"'{cell}" if isinstance(cell, str) and cell[:1] in ("=", "+", "-", "@", "\t", "\r") else cell
