"""A cutting card in characters: the saw from above at its true angle, the waste hatched, and the words that matter."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trimwright.saw.settings import Setting
from trimwright.setout.piece import Side

__all__ = ["beside", "sketch"]

WIDTH = 37
"""Columns of one card: two stand side by side in a terminal of 80."""

ROWS = 5
"""Rows that the stock is deep; a character is twice as high as it is wide."""

ARM = 2
"""Rows from the stock to the handle."""


def sketch(setting: Setting, heading: str) -> list[str]:
    """One card: heading, fence, stock with the blade through it, handle, and four lines of words."""
    lines = [heading, "fence ".ljust(WIDTH, "=")]
    lines += [_row(setting, row) for row in range(ROWS + ARM)]
    return [line[:WIDTH].rstrip() for line in [*lines, *words(setting)]]


def words(setting: Setting) -> tuple[str, str, str, str]:
    """Arm, blade, kept part and long point in words, as on every card."""
    blade = setting.printed
    return (
        "arm SQUARE" if blade.arm == "none" else f"arm {blade.arm.upper()} {abs(blade.swing):.2f}",
        "blade UPRIGHT" if blade.tilt == "none" else f"blade leans {blade.tilt.upper()} {abs(blade.lean):.2f}",
        f"keep the part {blade.kept.upper()} of the blade",
        f"long point {setting.long_at}" if setting.long_at else "no long point: the cut is square",
    )


def beside(left: Sequence[str], right: Sequence[str]) -> str:
    """Two cards side by side."""
    return "\n".join(f"{a:<{WIDTH}}   {b}".rstrip() for a, b in zip(left, right, strict=True))


def _row(setting: Setting, row: int) -> str:
    """One row of the view from above, the first right before the fence; the near end of the blade is the handle's."""
    column = round(WIDTH / 2 + 2 * (row + 0.5) * math.tan(math.radians(setting.printed.swing)))
    edge = min(max(column, 0), WIDTH)  # a sharp cut runs out of the picture
    cells = [" "] * WIDTH
    if row < ROWS:
        left, right = range(edge), range(edge, WIDTH)
        kept, waste = (left, right) if setting.printed.kept is Side.LEFT else (right, left)
        for k in waste:
            cells[k] = ":"
        if row == ROWS // 2:
            _write(cells, kept, "KEEP")
            _write(cells, waste, "WASTE")
    if 0 <= column < WIDTH:
        cells[column] = "O" if row == ROWS + ARM - 1 else "#" if row < ROWS else "|"
    return "".join(cells)


def _write(cells: list[str], space: range, word: str) -> None:
    """A word in the middle of a space, if it fits there."""
    text = f" {word} "
    if len(space) > len(text) + 2:
        start = (space.start + space.stop - len(text)) // 2
        cells[start : start + len(text)] = text
