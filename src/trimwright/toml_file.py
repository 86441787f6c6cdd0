"""Files in TOML that people write: read whatever they are given for, and given up where no person wrote them."""

from __future__ import annotations

import os
import re
import select
import tomllib
from pathlib import Path
from typing import Any

__all__ = ["LARGEST_FILE", "Unreadable", "tables", "text"]

LARGEST_FILE = 1_000_000
"""Bytes; more than this is no page of text."""

PATIENCE = 5.0
"""Seconds in which something must come from a pipe."""

MOST_PARTS = 100
"""Parts of a dotted key: the reader's work grows with the square of their number."""


SAID = re.compile(r'"""[\s\S]*?"""|' + r"'''[\s\S]*?'''" + r'|"(?:\\.|[^"\\\n])*"|' + r"'[^'\n]*'|#[^\n]*")
"""Quoted text and comments."""


class Unreadable(Exception):
    """What is wrong with a file, for a reader who can say which one it is."""


def tables(path: Path) -> dict[str, Any]:
    """The tables of a TOML file. Raises Unreadable."""
    written = text(path)
    if any(part.count(".") > MOST_PARTS for part in re.split(r"[=,{}\n]", SAID.sub("", written))):
        raise Unreadable(f"not valid TOML: a key of more than {MOST_PARTS} parts")
    try:
        return tomllib.loads(written)
    except tomllib.TOMLDecodeError as error:
        raise Unreadable(f"not valid TOML: {error}") from None
    except RecursionError:
        raise Unreadable("not valid TOML: nested too deeply") from None
    except ValueError:  # what Python itself says of it is advice for programmers
        raise Unreadable("not valid TOML: a number of too many digits") from None


def text(path: Path) -> str:
    """What is written in a file, a byte order mark left out. Raises Unreadable."""
    try:
        return _bytes(path).decode("utf-8-sig")
    except FileNotFoundError:
        raise Unreadable("no such file") from None
    except (OSError, ValueError) as error:
        if isinstance(error, UnicodeDecodeError):
            raise Unreadable("not a text file in UTF-8; save it as that") from None
        raise Unreadable(f"cannot be read: {getattr(error, 'strerror', None) or error}") from None


def _bytes(path: Path) -> bytes:
    """All of a file, or of what comes through a pipe before it is closed. Raises OSError and Unreadable."""
    read = bytearray()
    with open(path, "rb", buffering=0, opener=_at_once) as file:
        while len(read) <= LARGEST_FILE:
            if not select.select([file], [], [], PATIENCE)[0]:
                raise Unreadable(f"nothing comes from it within {PATIENCE:g} s; give a file")
            piece = file.read(LARGEST_FILE)
            if piece is not None and not piece:
                return bytes(read)
            read += piece or b""
    raise Unreadable("larger than 1 MB; such a file is a few kilobytes of text")


def _at_once(path: str, flags: int) -> int:
    """Opens a file without waiting: a pipe that nobody writes to would never open."""
    return os.open(path, flags | os.O_NONBLOCK)
