"""The small part of TOML that a room file needs, written with what the reader of the file should know beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

__all__ = ["commented", "key_line", "value_text"]

ESCAPES = {"\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r", '"': '\\"', "\\": "\\\\"}


def value_text(value: Any) -> str:
    """A value as TOML: text, truth, number, list or inline table."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, int | float):
        return repr(int(value) if value == int(value) else value)
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(k)} = {value_text(v)}" for k, v in value.items()) + " }"
    if isinstance(value, Sequence):
        return "[" + ", ".join(value_text(v) for v in value) + "]"
    raise TypeError(f"{type(value).__name__} has no place in a room file")


def key_line(key: str, value: Any, about: str = "") -> str:
    """`key = value`, and a comment."""
    return commented(f"{_key(key)} = {value_text(value)}", about)


def commented(line: str, about: str) -> str:
    """The line with a comment behind it; control characters, which TOML forbids in comments, become spaces."""
    if not about:
        return line
    shown = "".join(c if c.isprintable() else " " for c in about)
    return f"{line:<30} # {shown}" if line else f"# {shown}"


def _key(key: str) -> str:
    """Bare if it may be."""
    bare = key.isascii() and key.replace("-", "").replace("_", "").isalnum()
    return key if bare else _quoted(key)


def _quoted(text: str) -> str:
    """A basic string (TOML 1.0): quotes, backslashes and control characters escaped."""
    return (
        '"'
        + "".join(ESCAPES.get(c) or (c if ord(c) >= 32 and ord(c) != 127 else f"\\u{ord(c):04x}") for c in text)
        + '"'
    )
