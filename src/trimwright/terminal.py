"""Tables in characters, for a terminal of any width."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from typing import TextIO

__all__ = ["coloured", "table_text"]

VERDICTS = {"CLASH": "\x1b[1;31m", "ok": "\x1b[32m", "good": "\x1b[32m", "suspect": "\x1b[1;31m"}
"""Verdicts at the end of a row and the colours that they are shown in; the word alone says it too."""


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


def coloured(text: str, to: TextIO) -> str:
    """A table with the verdicts at the ends of its rows in colour, if it goes to a terminal that wants it.

    `NO_COLOR` set to anything turns it off (an informal standard, no-color.org).
    """
    if not to.isatty() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return text
    words = "|".join(VERDICTS)
    return re.sub(rf"\b({words})$", lambda m: f"{VERDICTS[m[1]]}{m[1]}\x1b[0m", text, flags=re.MULTILINE)
