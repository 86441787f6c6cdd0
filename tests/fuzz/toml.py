"""Room files as the fuzzer writes them: tables as TOML, by other code than the program's own."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

__all__ = ["toml_text"]


def toml_text(tables: Mapping[str, Any]) -> str:
    """Plain entries first, then tables, then arrays of tables."""
    plain = [f"{_quoted(k)} = {_value(v)}" for k, v in tables.items() if not _is_table(v)]
    parts = ["\n".join(plain)]
    for key, value in tables.items():
        for table in [value] if isinstance(value, Mapping) else value if _is_table(value) else []:
            head = f"[{_quoted(key)}]" if isinstance(value, Mapping) else f"[[{_quoted(key)}]]"
            parts.append("\n".join([head, *(f"{_quoted(k)} = {_value(v)}" for k, v in table.items())]))
    return "\n\n".join(parts) + "\n"


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping) or (
        isinstance(value, list) and bool(value) and all(isinstance(v, Mapping) for v in value)
    )


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_quoted(k)} = {_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_value, value)) + "]"
    return repr(value)


def _quoted(text: str) -> str:
    """Strings of JSON are strings of TOML, but that TOML wants the control character 127 escaped too."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
