"""Lengths as people write them, turned into millimetres at the edge."""

from __future__ import annotations

import math
import re

__all__ = ["MILLIMETRES", "length"]

MILLIMETRES = {
    "": 1.0,
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": 25.4,  # exact since 1959
    '"': 25.4,
    "ft": 304.8,
    "'": 304.8,
}
WORDS = {
    "inch": "in",
    "inches": "in",
    "foot": "ft",
    "feet": "ft",
    "metre": "m",
    "metres": "m",
    "″": '"',
    "”": '"',
    "′": "'",
    "’": "'",
}
NUMBER = r"\d+\s+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?|\.\d+"
PART = re.compile(rf"\s*(?P<number>{NUMBER})\s*(?P<unit>[a-zA-Z]+|[\"'″”′’])?\s*")


def length(value: object) -> float:
    """Millimetres of a number (already mm) or of a text such as "2.4 m", "7ft 10 1/2in", "7' 10 1/2\\"".

    Raises ValueError with what was read and what would be right.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(f"{value!r} is not a length; write millimetres as a number, or a text such as '2.4 m'")
    if isinstance(value, str):
        return _read(value)
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a length")
    return float(value)


def _read(text: str) -> float:
    """Add up the parts of a written length; each part after the first needs a unit smaller than the last."""
    rest = text.strip()
    sign = -1.0 if rest.startswith("-") else 1.0
    rest = rest.lstrip("+-")
    total, last = 0.0, math.inf
    while rest:
        part = PART.match(rest)
        if part is None or len(rest) > 40:
            raise ValueError(f"'{text[:40]}' is not a length; write for example 2400, '2.4 m' or '7ft 10 1/2in'")
        unit = (part["unit"] or "").lower()
        unit = WORDS.get(unit, unit)
        if unit not in MILLIMETRES:
            raise ValueError(f"'{text}': unknown unit '{part['unit']}'; known are mm, cm, m, in, ft")
        size = MILLIMETRES[unit]
        if size >= last:
            raise ValueError(f"'{text}': the parts of a length go from the larger unit to the smaller")
        total += _number(part["number"]) * size
        last = size
        rest = rest[part.end() :]
    if last is math.inf:
        raise ValueError(f"'{text}' is not a length; write for example 2400, '2.4 m' or '7ft 10 1/2in'")
    return sign * total


def _number(text: str) -> float:
    """A decimal number, a fraction, or a whole number and a fraction."""
    value = 0.0
    for part in text.split():
        if "/" in part:
            top, bottom = part.split("/")
            if float(bottom) == 0:
                raise ValueError(f"'{text}' divides by nothing")
            value += float(top) / float(bottom)
        else:
            value += float(part)
    return value
