"""Tables in characters, for a terminal of any width."""

from __future__ import annotations

import os
import re
import shutil
import textwrap
from collections.abc import Iterator, Sequence
from itertools import zip_longest
from typing import TextIO

__all__ = ["coloured", "printable", "table_text", "terminal_width"]

VERDICTS = {"CLASH": "\x1b[1;31m", "ok": "\x1b[32m", "good": "\x1b[32m", "suspect": "\x1b[1;31m"}
"""Verdicts at the end of a row and the colours that they are shown in; the word alone says it too."""


LONGEST_WORD = 20
"""A column is folded between words; only what is longer than this many characters is broken."""


def table_text(headers: Sequence[str], rows: Sequence[Sequence[object]], width: int = 0) -> str:
    """Columns wide enough for what is in them, numbers to the right, columns with nothing in them left out.

    With a `width` in characters, what is wider is folded at its words, the widest column first; numbers never are.
    """
    cells = [[_shown(c) for c in row] for row in rows]
    keep = [k for k in range(len(headers)) if not rows or any(row[k] for row in cells)]
    right = {k for k in keep if rows and all(isinstance(row[k], int | float) for row in rows)}
    longest = {k: max((len(row[k]) for row in cells), default=0) for k in keep}
    widths = {k: max(len(headers[k]), longest[k]) for k in keep}
    least = {k: longest[k] if k in right else 1 for k in keep}
    least = {k: max([n, *_words(headers[k]), *(w for row in cells for w in _words(row[k]))]) for k, n in least.items()}
    while width and sum(widths.values()) + 2 * (len(keep) - 1) > width:
        wide = [k for k in keep if widths[k] > least[k]]
        if not wide:
            break
        widths[max(wide, key=widths.__getitem__)] -= 1

    def lines(row: Sequence[str]) -> Iterator[str]:
        folded = [
            textwrap.wrap(row[k], widths[k], break_on_hyphens=False) if len(row[k]) > widths[k] else [row[k]]
            for k in keep
        ]
        for line in zip_longest(*folded, fillvalue=""):
            pairs = zip(keep, line, strict=True)
            yield "  ".join(t.rjust(widths[k]) if k in right else t.ljust(widths[k]) for k, t in pairs).rstrip()

    rule = "  ".join("-" * widths[k] for k in keep)
    return "\n".join([*lines(list(headers)), rule, *(line for row in cells for line in lines(row))])


def _words(text: str) -> list[int]:
    """How wide each word of a text has to be."""
    return [min(len(word), LONGEST_WORD) for word in text.split()]


def terminal_width() -> int:
    """Characters in a line of the terminal, or of COLUMNS; 0 where there is neither, as in a file or a pipe."""
    return shutil.get_terminal_size((0, 0)).columns


def _shown(cell: object) -> str:
    """A cell as text: numbers short, nothing but what can be seen."""
    text = f"{cell:.2f}".rstrip("0").rstrip(".") if isinstance(cell, float) else "" if cell is None else str(cell)
    return printable(text).replace("\n", "?")


def printable(text: str) -> str:
    """Lines of text without control characters: what stands in a file cannot steer the terminal."""
    return "".join(c if c.isprintable() or c == "\n" else "?" for c in text)


def coloured(text: str, to: TextIO) -> str:
    """A table with the verdicts at the ends of its rows in colour, if it goes to a terminal that wants it.

    `NO_COLOR` set to anything turns it off (an informal standard, no-color.org).
    """
    if not to.isatty() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return text
    words = "|".join(VERDICTS)
    return re.sub(rf"\b({words})$", lambda m: f"{VERDICTS[m[1]]}{m[1]}\x1b[0m", text, flags=re.MULTILINE)
