"""Tables in characters, for a terminal of any width."""

from __future__ import annotations

import os
import re
import shutil
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TextIO

__all__ = ["coloured", "printable", "table_text", "terminal_width"]

VERDICTS = {"CLASH": "\x1b[1;31m", "ok": "\x1b[32m", "good": "\x1b[32m", "suspect": "\x1b[1;31m"}
"""Verdicts at the end of a row and the colours that they are shown in; the word alone says it too."""


LONGEST_WORD = 20
"""A column is folded between words; only what is longer than this many characters is broken."""


INDENT = 4
"""Where a row goes on below itself, what follows stands so far in."""


@dataclass(frozen=True, slots=True)
class _Column:
    """A column: the lines of its header and of each of its cells; numbers stand `right`."""

    header: str
    cells: tuple[tuple[str, ...], ...]
    right: bool

    @property
    def widest(self) -> int:
        """Characters it takes unfolded."""
        return max(len(self.header), *(len(line) for cell in self.cells for line in cell), 0)

    @property
    def least(self) -> int:
        """Characters that it takes folded at its words; numbers, and what stands below the first line, are not."""
        words = [*_words(self.header), 1]
        for cell in self.cells:
            for k, line in enumerate(cell):
                words += [len(line)] if self.right or k else _words(line)
        return max(words)

    def folded(self, cell: Sequence[str], width: int) -> list[str]:
        """The lines of a cell, or of the header, in so many characters."""
        lines = [part for line in cell for part in (_wrapped(line, width) if len(line) > width else [line])]
        return [line.rjust(width) if self.right else line.ljust(width) for line in lines]


def table_text(headers: Sequence[str], rows: Sequence[Sequence[object]], width: int = 0) -> str:
    """Columns wide enough for what is in them, numbers to the right, columns with nothing in them left out.

    A cell may be a tuple: lines one below the other. With a `width` in characters, what is wider is folded at its
    words, the widest column first; numbers never are. Where that does not do, rows and headers go on below themselves.
    """
    columns = [_column(header, [row[k] for row in rows]) for k, header in enumerate(headers)]
    columns = [c for c in columns if any(line for cell in c.cells for line in cell)] or columns
    parts = [(part, _widths(part, width - (INDENT if k else 0))) for k, part in enumerate(_parts(columns, width))]

    def lines(number: int | None) -> Iterator[str]:
        """Those of a row by its number, or of the headers."""
        for k, (part, widths) in enumerate(parts):
            cells = [(column.header,) if number is None else column.cells[number] for column in part]
            folded = [column.folded(c, w) for column, c, w in zip(part, cells, widths, strict=True)]
            for n in range(max(map(len, folded))):
                row = (f[n] if n < len(f) else " " * w for f, w in zip(folded, widths, strict=True))
                yield (" " * (INDENT if k else 0) + "  ".join(row)).rstrip()

    rule = "  ".join("-" * w for w in parts[0][1])
    if len(parts) > 1:
        rule = "-" * max(sum(w) + 2 * (len(w) - 1) + (INDENT if k else 0) for k, (_, w) in enumerate(parts))
    return "\n".join([*lines(None), rule, *(line for number in range(len(rows)) for line in lines(number))])


def _column(header: str, cells: Sequence[object]) -> _Column:
    lines = tuple(tuple(map(_shown, cell)) if isinstance(cell, tuple) else (_shown(cell),) for cell in cells)
    firsts = [cell[0] if isinstance(cell, tuple) else cell for cell in cells]
    return _Column(header, lines, bool(cells) and all(isinstance(first, int | float) for first in firsts))


def _parts(columns: list[_Column], width: int) -> list[list[_Column]]:
    """The columns, in as few lines one below the other as fit, the lines as even as can be."""
    if not columns:
        return [[]]
    for count in range(1, len(columns)):
        parts = _even(columns, count)
        if not width or all(
            sum(c.least for c in part) + 2 * (len(part) - 1) + (INDENT if k else 0) <= width
            for k, part in enumerate(parts)
        ):
            return parts
    return [[column] for column in columns]


def _even(columns: list[_Column], count: int) -> list[list[_Column]]:
    """So many runs of columns, of which the widest is as narrow as can be."""
    if count == 1:
        return [columns]
    return min(
        ([columns[:k], *_even(columns[k:], count - 1)] for k in range(1, len(columns) - count + 2)),
        key=lambda parts: max(sum(c.widest + 2 for c in part) for part in parts),
    )


def _widths(columns: Sequence[_Column], width: int) -> list[int]:
    """How wide each column is made so that they fit, the widest of those that can be folded made narrower first."""
    widths, least = [c.widest for c in columns], [c.least for c in columns]
    while width > 0 and sum(widths) + 2 * (len(columns) - 1) > width:
        wide = [k for k, w in enumerate(widths) if w > least[k]]
        if not wide:
            break
        widths[max(wide, key=widths.__getitem__)] -= 1
    return widths


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, break_on_hyphens=False)


def _words(text: str) -> list[int]:
    """How wide each word of a text has to be."""
    return [min(len(word), LONGEST_WORD) for word in text.split()]


def terminal_width() -> int:
    """Characters in a line of the terminal, or of COLUMNS; 0 where there is neither, as in a file or a pipe."""
    return shutil.get_terminal_size((0, 0)).columns


def _shown(cell: object) -> str:
    """A cell as text: numbers short, nothing but what can be seen."""
    if isinstance(cell, float):
        return f"{round(cell, 2) + 0.0:.2f}".rstrip("0").rstrip(".")  # 0.0 more, since -0 reads as a misprint
    return printable("" if cell is None else str(cell)).replace("\n", "?")


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
