"""The nearest known word to one that is not known, for messages."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

__all__ = ["nearest", "perhaps"]


def perhaps(word: str, known: Iterable[str]) -> str:
    """`", perhaps 'drop'"` if a known word is like `word`, else nothing; to be put after the word in a message."""
    match = _like(word, list(known))
    return f", perhaps '{match}'" if match else ""


def nearest(word: str, known: Iterable[str]) -> str:
    """`"; did you mean 'drop'?"` if a known word is like `word`, else the known words, else nothing."""
    words = sorted(known)
    match = _like(word, words)
    if match:
        return f"; did you mean '{match}'?"
    return f"; known are {', '.join(words)}" if words else ""


def _like(word: str, known: list[str]) -> str | None:
    return next(iter(get_close_matches(word, known, n=1, cutoff=0.6)), None)
