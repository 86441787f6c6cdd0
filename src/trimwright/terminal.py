"""Tables in characters, for a terminal of any width."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["table_text"]


def table_text(headers: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    """Columns wide enough for what is in them, numbers to the right, columns with nothing in them left out."""
    cells = [[_shown(c) for c in row] for row in rows]
    keep = [k for k in range(len(headers)) if not rows or any(row[k] for row in cells)]
    widths = {k: max(len(headers[k]), *(len(row[k]) for row in cells), 0) for k in keep}
    right = {k for k in keep if rows and all(isinstance(row[k], int | float) for row in rows)}

    def line(row: Sequence[str]) -> str:
        return "  ".join(row[k].rjust(widths[k]) if k in right else row[k].ljust(widths[k]) for k in keep).rstrip()

    rule = "  ".join("-" * widths[k] for k in keep)
    return "\n".join([line(list(headers)), rule, *(line(row) for row in cells)])


def _shown(cell: object) -> str:
    """A cell as text: numbers short, control characters left out so that a name cannot write on the terminal."""
    text = f"{cell:.2f}".rstrip("0").rstrip(".") if isinstance(cell, float) else "" if cell is None else str(cell)
    return "".join(c if c.isprintable() else "?" for c in text)
