"""Changes to a room file: entries given another value, all else left as it was written, comments and all."""

from __future__ import annotations

import copy
import json
import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from trimwright.errors import RoomFileError

__all__ = ["Edit", "applied", "edited_text", "toml_value"]

Value = float | int | bool | str | Sequence[Any] | Mapping[str, Any]

HEADER = re.compile(r"^\s*\[")


@dataclass(frozen=True, slots=True)
class Edit:
    """One entry of the `index`-th `[[table]]` (from 0) with its new value."""

    table: str
    index: int
    key: str
    value: Value


def applied(data: Mapping[str, Any], edits: Iterable[Edit]) -> dict[str, Any]:
    """The tables of a file with the edits made; `data` stays as it is."""
    result = copy.deepcopy(dict(data))
    for edit in edits:
        result[edit.table][edit.index][edit.key] = copy.deepcopy(edit.value)
    return result


def edited_text(text: str, edits: Sequence[Edit]) -> str:
    """The text of a file with the edits made.

    Raises RoomFileError where the file is written in a way that cannot be edited line by line, such as a size given
    in a table of its own: what is written is read again and must be what was meant.
    """
    wanted = applied(tomllib.loads(text), edits)
    lines = text.splitlines()
    for edit in edits:
        _edit_lines(lines, edit)
    result = "\n".join(lines) + "\n"
    try:
        if tomllib.loads(result) == wanted:
            return result
    except tomllib.TOMLDecodeError:
        pass
    said = ", ".join(f"[[{e.table}]] {e.index + 1}, {e.key} = {toml_value(e.value)}" for e in edits)
    raise RoomFileError(f"the file is written in a way that cannot be changed line by line; change by hand: {said}")


def _edit_lines(lines: list[str], edit: Edit) -> None:
    first, last = _body(lines, edit)
    entry = re.compile(rf"^(\s*{re.escape(edit.key)}\s*=\s*)")
    for k in range(first, last):
        if match := entry.match(lines[k]):
            stop = _end_of_value(lines, k, match.end(), last)
            comment = _comment(lines[stop][match.end() if stop == k else 0 :])
            lines[k : stop + 1] = [match[1] + toml_value(edit.value) + comment]
            return
    while last > first and (not lines[last - 1].strip() or lines[last - 1].lstrip().startswith("#")):
        last -= 1
    lines.insert(last, f"{edit.key} = {toml_value(edit.value)}")


def _body(lines: Sequence[str], edit: Edit) -> tuple[int, int]:
    """First and last-but-one line of a table's entries."""
    header = re.compile(rf"^\s*\[\[\s*{re.escape(edit.table)}\s*\]\]")
    starts = [k for k, line in enumerate(lines) if header.match(line)]
    if edit.index >= len(starts):
        return len(lines), len(lines)
    first = starts[edit.index] + 1
    following = (k for k in range(first, len(lines)) if HEADER.match(lines[k]))
    return first, next(following, len(lines))


def _end_of_value(lines: Sequence[str], first: int, start: int, last: int) -> int:
    """The line in which a value ends that begins in line `first`."""
    for stop in range(first, last):
        whole = "\n".join([lines[first][start:], *lines[first + 1 : stop + 1]])
        try:
            tomllib.loads(f"x = {whole}")
        except tomllib.TOMLDecodeError:
            continue
        return stop
    return first


def _comment(rest: str) -> str:
    """The comment behind a value, with the space before it."""
    quoted = ""
    for k, c in enumerate(rest):
        if quoted:
            quoted = "" if c == quoted else quoted
        elif c in "\"'":
            quoted = c
        elif c == "#":
            return f"  {rest[k:]}"
    return ""


def toml_value(value: Value) -> str:
    """A value as TOML on one line; numbers without a needless point."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007F")
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(k)} = {toml_value(v)}" for k, v in value.items()) + " }"
    return "[" + ", ".join(toml_value(v) for v in value) + "]"


def _key(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else json.dumps(key, ensure_ascii=False)
