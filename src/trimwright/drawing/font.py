"""The lettering of every sheet: one free typeface carried with the program, and how wide its text is."""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache
from importlib.resources import as_file, files

__all__ = [
    "CAPITAL",
    "DESCENT",
    "FAMILY",
    "HEIGHTS",
    "NAME",
    "SMALLEST",
    "clean",
    "fitted",
    "load",
    "size",
    "text_width",
]

NAME = "DejaVuSansCondensed"
FAMILY = "'DejaVu Sans Condensed', 'DejaVu Sans', 'Arial Narrow', Arial, Helvetica, sans-serif"

CAPITAL = 1493 / 2048
"""Height of capitals over type size, measured on the typeface's H."""

DESCENT = 0.32
"""Depth of descenders (g, p) below the base line over the height of capitals."""

HEIGHTS = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0)
"""Nominal heights of lettering in mm, ISO 3098-0."""

SMALLEST = 2.5
"""Nothing is lettered smaller to make it fit, mm: a sheet on a wall is read from a step away."""

BIDI = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


@cache
def load() -> str:
    """Make the typeface known to reportlab; returns the name it goes by."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    with as_file(files("trimwright.drawing") / "fonts" / f"{NAME}.ttf") as path:
        registerFont(TTFont(NAME, str(path)))
    return NAME


def size(height: float) -> float:
    """Type size in mm whose capitals are `height` mm high."""
    return height / CAPITAL


@lru_cache(maxsize=8192)
def text_width(text: str, height: float) -> float:
    """Width in mm of `text` with capitals `height` mm high."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(text, load(), size(height)))


def clean(text: str) -> str:
    """`text` as one line that every file format can hold: no control characters, no marks that turn the order."""
    if text.isprintable():  # so it holds none of them: nearly every text, and ten times as soon known
        return re.sub(r" +", " ", text).strip() if "  " in text or text[:1] == " " or text[-1:] == " " else text
    spaced = "".join(" " if unicodedata.category(c) in {"Cc", "Zl", "Zp"} else c for c in text)
    kept = "".join(c for c in spaced if c not in BIDI and unicodedata.category(c) not in {"Cs", "Cn"})
    return re.sub(r" +", " ", kept).strip()


def fitted(text: str, width: float, height: float) -> tuple[str, float]:
    """`text` and the standard height, at most `height`, at which it fits in `width` mm.

    Shortened if it does not fit at `SMALLEST`.
    """
    text = clean(text)
    heights = [h for h in reversed(HEIGHTS) if SMALLEST <= h <= height] or [height]
    for smaller in heights:
        if text_width(text, smaller) <= width:
            return text, smaller
    while text and text_width(text + "…", heights[-1]) > width:
        text = text[:-1]
    return text + "…", heights[-1]
