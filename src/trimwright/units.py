"""Lengths as people write them, turned into millimetres at the edge, and millimetres written for people to read."""

from __future__ import annotations

import math
import re
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum
from math import gcd

__all__ = ["MILLIMETRES", "Units", "feet_inches", "length", "value"]

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
SIXTEENTH = Decimal("1.5875")
"""A sixteenth of an inch in mm: the finest line on most tape measures."""
PART = re.compile(rf"\s*(?P<number>{NUMBER})\s*(?P<unit>[a-zA-Z]+|[\"'″”′’])?\s*")


def length(value: object) -> float:
    """Millimetres of a number (already mm) or of a text such as "2.4 m", "7ft 10 1/2in", "7' 10 1/2\\"".

    Raises ValueError with what was read and what would be right.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(f"{value!r:.40} is not a length; write millimetres as a number, or a text such as '2.4 m'")
    if isinstance(value, str):
        return _read(value)
    try:
        number = float(value)
    except OverflowError:  # an integer of more than 308 digits
        number = math.inf
    if not math.isfinite(number):
        raise ValueError(f"{number} is not a length")
    return number


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
        if not unit and last is not math.inf:
            raise ValueError(f"'{text}': say the unit of {part['number']} as well")
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


class Units(StrEnum):
    """How a room's lengths are written: in millimetres alone, or with feet, inches and sixteenths beside them."""

    MM = "mm"
    INCHES = "in"

    def written(self, length: float) -> str:
        """ "2400.5", or "2400.5 [7' 10 1/2\"]": the second unit stands in square brackets, a drawing-office habit.

        It is that of the millimetres beside it, rounded as they are shown, so that a list and a sheet say the same.
        """
        shown = value(length)
        return shown if self is Units.MM else f"{shown} [{feet_inches(float(shown))}]"

    def read(self, length: float) -> str:
        """As it stands on the tape: "2400.5" or "7' 10 1/2\"", not both: for a reading, or where room is short."""
        return value(length) if self is Units.MM else feet_inches(length)


def value(length: float) -> str:
    """A length in mm to one decimal, `.0` dropped."""
    text = f"{length:.1f}"
    return text.removesuffix(".0").removeprefix("-" if float(text) == 0 else "")


def feet_inches(length: float) -> str:
    """Millimetres in feet, inches and the nearest sixteenth, halves away from nought: 2400.3 is "7' 10 1/2\"".

    Parts that are nought are left out, but for the inches after feet: "1' 0\"".
    """
    sixteenths = int((abs(Decimal(str(length))) / SIXTEENTH).to_integral_value(ROUND_HALF_UP))
    feet, rest = divmod(sixteenths, 12 * 16)
    inches, part = divmod(rest, 16)
    fraction = f"{part // gcd(part, 16)}/{16 // gcd(part, 16)}" if part else ""
    whole = str(inches) if inches or feet or not part else ""
    sign = "-" if length < 0 and sixteenths else ""
    body = " ".join(filter(None, (f"{feet}'" if feet else "", whole, fraction)))
    return f'{sign}{body}"'
