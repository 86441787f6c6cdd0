"""File names out of names that people give: safe anywhere, and different from each other."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

__all__ = ["file_names", "slug"]

LONGEST = 60
RESERVED = {"con", "prn", "aux", "nul", *(f"{p}{n}" for p in ("com", "lpt") for n in range(1, 10))}


def slug(name: str) -> str:
    """Lower-case letters, digits and hyphens; never empty, reserved or longer than 60."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    text = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:LONGEST].strip("-") or "unnamed"
    return f"{text}-1" if text in RESERVED else text


def file_names(names: Sequence[str]) -> list[str]:
    """A slug for each name; those that would be the same get a number."""
    taken: set[str] = set()
    result = []
    for name in names:
        base = choice = slug(name)
        number = 2
        while choice in taken:
            choice = f"{base}-{number}"
            number += 1
        taken.add(choice)
        result.append(choice)
    return result
