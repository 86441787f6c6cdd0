"""Numbers and truth values in files, taken only as they are meant: "3" is a text, true is no number, 1 is not true."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator

__all__ = ["Format", "Number", "Truth", "Whole", "number"]


def _whole(value: object) -> object:
    if isinstance(value, bool) or not isinstance(value, int):
        raise ValueError("input should be a whole number, without quotes or decimals")
    return value


def number(value: object) -> object:
    """A value of any sort but true and false, which would be read as 1 and 0. Raises ValueError for those."""
    if isinstance(value, bool):
        raise ValueError("input should be a number")
    return value


def _truth(value: object) -> object:
    if not isinstance(value, bool):
        raise ValueError("input should be true or false, without quotes")
    return value


Whole = Annotated[int, BeforeValidator(_whole)]
Number = Annotated[float, BeforeValidator(number)]
Truth = Annotated[bool, BeforeValidator(_truth)]
Format = Annotated[Literal[1], BeforeValidator(_whole)]
