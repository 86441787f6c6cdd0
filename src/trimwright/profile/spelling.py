"""The nearest known word to one that is not known, for messages."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

__all__ = ["nearest"]


def nearest(word: str, known: Iterable[str]) -> str:
    """`", perhaps 'drop'"` if a known word is like `word`, else nothing; to be put after the word in a message."""
    matches = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return f", perhaps '{matches[0]}'" if matches else ""
