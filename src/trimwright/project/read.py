"""Reads a room file and turns whatever is wrong with it into messages that name the table and the entry."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from trimwright import toml_file
from trimwright.errors import RoomFileError
from trimwright.project.models import LONGEST_NAME, RoomFile
from trimwright.spelling import nearest

__all__ = ["read_room_file", "read_room_tables", "read_toml", "validate"]

T = TypeVar("T", bound=BaseModel)

MOST_FAULTS = 20
"""So many are told at once."""


def read_room_file(path: Path) -> RoomFile:
    """The checked contents of a room file. Raises RoomFileError that lists everything wrong with it."""
    return validate(RoomFile, read_room_tables(path), path)


def read_room_tables(path: Path) -> dict[str, Any]:
    """The tables of a room file, not checked yet but for this: those of a site file are told from them."""
    tables = read_toml(path)
    if "site" in tables and "wall" not in tables:
        raise RoomFileError(f"{path}: is a site file, not a room file; its rooms are built by: trimwright batch {path}")
    return tables


def read_toml(path: Path) -> dict[str, Any]:
    """The tables of a TOML file; one clear error if it cannot be read."""
    try:
        return toml_file.tables(path)
    except toml_file.Unreadable as error:
        raise RoomFileError(f"{path}: {error}") from None


def validate(model: type[T], data: Mapping[str, Any], path: Path) -> T:
    """`data` as `model`, or a RoomFileError with a line for each fault."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        raise RoomFileError("\n".join(f"{path}: {line}" for line in _lines(model, data, error))) from None


def _lines(model: type[BaseModel], data: Any, error: ValidationError) -> list[str]:
    """One line a place: where an entry may be one of several things, the first complaint is enough."""
    lines: dict[str, str] = {}
    faults = error.errors()
    for told, fault in enumerate(faults):
        where, what = _fault(model, data, fault)
        lines.setdefault(where, where + what)
        if len(lines) == MOST_FAULTS and told + 1 < len(faults):
            return [*lines.values(), f"and {len(faults) - told - 1} more of the kind; mend these first"]
    return list(lines.values())


def _fault(model: type[BaseModel], data: Any, fault: Any) -> tuple[str, str]:
    """One fault in words: where; what is wrong and what would be right."""
    kind, parts = fault["type"], list(fault["loc"])
    if kind == "missing":
        return _place(model, data, parts[:-1])[0] + f"{parts[-1]} ", "is missing"
    where, here, fields = _place(model, data, parts)
    if kind == "extra_forbidden":
        return where, f"unknown key{nearest(str(parts[-1]), fields)}"
    message = str(fault["msg"]).removeprefix("Value error, ")
    return where, f"{message[:1].lower()}{message[1:]}{_shown(here)}"


def _shown(value: Any) -> str:
    """The value as the file has it."""
    text = str(value).lower() if isinstance(value, bool) else repr(value)
    return f" (it is {text})" if isinstance(value, int | float | str) and len(text) < 60 else ""


def _short(name: str) -> str:
    """A name as messages show it, which may be one that is far too long."""
    return name if len(name) <= LONGEST_NAME else f"{name[:20]}..."


def _place(model: type[BaseModel], data: Any, parts: list[Any]) -> tuple[str, Any, list[str]]:
    """Where in the file: '[[wall]] 2 (north), length: ', the value there, and the keys known beside it."""
    words: list[str] = []
    value: Any = data
    fields = _keys(model)
    current: type[BaseModel] | None = model
    for depth, part in enumerate(parts):
        if isinstance(value, Mapping):
            if part not in value and depth < len(parts) - 1:
                continue  # the name of a branch of a union, not a key of the file
            if part not in value and part not in fields:
                continue
            fields = _keys(current) if current else fields
            current = _model_of(current, str(part))
            listed = isinstance(value.get(part), list) and depth == 0
            tabled = isinstance(value.get(part), Mapping) and depth == 0
            words.append(f"[[{part}]]" if listed else f"[{part}]" if tabled else str(part))
            value = value.get(part)
        elif isinstance(value, list) and isinstance(part, int) and part < len(value):
            value = value[part]
            name = value.get("name") if isinstance(value, Mapping) else None
            words[-1] += f" {part + 1}" + (f" ({_short(name)})" if isinstance(name, str) else "")
    return (", ".join(words) + ": " if words else "", value, fields)


def _keys(model: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items()]


def _model_of(model: type[BaseModel] | None, key: str) -> type[BaseModel] | None:
    """The table model that lies under `key`, alone or in a list."""
    field = model.model_fields.get(key) if model else None
    stack: list[Any] = [field.annotation] if field else []
    while stack:
        kind = stack.pop()
        if isinstance(kind, type) and issubclass(kind, BaseModel):
            return kind
        stack.extend(getattr(kind, "__args__", ()))
    return None
