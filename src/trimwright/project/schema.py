"""The JSON Schema of a room file, made from the models that read it, so that an editor completes and checks one.

What the schema refuses the reader refuses too; the reader also sees what no schema can (a room that does not close).
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from pydantic.json_schema import GenerateJsonSchema
from pydantic_core import core_schema

from trimwright.data import table
from trimwright.profile.library import shipped_profiles
from trimwright.project import entries, finish_tables, light_tables
from trimwright.project.models import RoomFile, Table
from trimwright.units import length

__all__ = ["file_schema", "room_schema", "schema_text"]

ABOUT = entries.ABOUT | light_tables.ABOUT | finish_tables.ABOUT
TABLES = entries.TABLES | light_tables.TABLES | finish_tables.TABLES

LENGTH = "is a length"
"""Marks, while the schema is being made, a number that may also be written as a text with its unit."""

WRITTEN = {
    "description": "A length with its unit: mm, cm, m, in, ft.",
    "type": "string",
    "pattern": r"^\s*[+-]*\s*[0-9.].*$",
    "examples": ["2.4 m", "7ft 10 1/2in"],
}
"""A length as a text; the reader knows the units, the schema only that there must be a number first."""

LIMITS = {"ge": "minimum", "gt": "exclusiveMinimum", "le": "maximum", "lt": "exclusiveMaximum"}
"""Limits after a validator of our own are left in the validator's words; these are the schema's."""


Words = Mapping[str, Mapping[str, str]]
"""What entries mean, by the name of the table's model and their own."""


def schema_text(schema: Mapping[str, Any] | None = None) -> str:
    """A schema as it is shipped and printed; that of a room file if none is given."""
    return json.dumps(schema or room_schema(), indent=2, ensure_ascii=False) + "\n"


def room_schema() -> dict[str, Any]:
    """The schema (draft 2020-12) of a room file, format 1."""
    return file_schema(RoomFile, "trimwright room file, format 1")


def file_schema(
    model: type[Table], title: str, about: Words = MappingProxyType({}), names: Mapping[str, str] = MappingProxyType({})
) -> dict[str, Any]:
    """The schema of a file that has trims: lengths as numbers or texts, entries described, unknown keys refused.

    `about` and `names` say what the entries and the tables mean which a room file does not have.
    """
    entries, heads = ABOUT | dict(about), TABLES | dict(names)
    made: dict[str, Any] = _plain(model.model_json_schema(by_alias=True, schema_generator=_Generator))
    tables = {name: _described(table, name, entries, heads) for name, table in made.pop("$defs").items()}
    _add_rules(tables)
    _add_known_words(tables["TrimTable"]["properties"])
    head = {"$schema": GenerateJsonSchema.schema_dialect, "title": title}
    return head | _described(made, model.__name__, entries, heads) | {"$defs": tables | {"Written": WRITTEN}}


class _Generator(GenerateJsonSchema):
    """Marks the numbers that pass through `length` first."""

    def function_before_schema(self, schema: core_schema.BeforeValidatorFunctionSchema) -> dict[str, Any]:
        made = super().function_before_schema(schema)
        return made | {LENGTH: True} if schema["function"]["function"] is length else made


def _plain(node: Any) -> Any:
    """Without what TOML or an editor has no use for: null, titles made from keys, limits in foreign words."""
    if isinstance(node, list):
        return [_plain(item) for item in node]
    if not isinstance(node, dict):
        return node
    kept: dict[str, Any] = {LIMITS.get(str(k), str(k)): _plain(v) for k, v in node.items() if not _idle(k, v)}
    if "properties" in node:
        kept["properties"] = {name: _plain(entry) for name, entry in node["properties"].items()}
    if "anyOf" in kept:
        kept |= _choice(kept.pop("anyOf"))
    return _length(kept) if kept.pop(LENGTH, False) else kept


def _idle(key: str, value: Any) -> bool:
    """True for a default of nothing or of a whole table, and for titles (text: an entry may be called title)."""
    return (key == "default" and (value is None or isinstance(value, list | dict))) or (
        key == "title" and isinstance(value, str)
    )


def _choice(branches: list[dict[str, Any]]) -> dict[str, Any]:
    """The branches that can be written in TOML; one alone needs no choice."""
    left = list(_flat(branch for branch in branches if branch != {"type": "null"}))
    return left[0] if len(left) == 1 else {"anyOf": left}


def _flat(branches: Iterator[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for branch in branches:
        yield from branch["anyOf"] if set(branch) == {"anyOf"} else [branch]


def _length(number: dict[str, Any]) -> dict[str, Any]:
    """A number within limits, or a text."""
    default = {"default": number.pop("default")} if "default" in number else {}
    return {"anyOf": [number, {"$ref": "#/$defs/Written"}]} | default


def _described(table: dict[str, Any], name: str, words: Words, heads: Mapping[str, str]) -> dict[str, Any]:
    """What the table and each entry mean, in front; a table nobody wrote about keeps its model's docstring."""
    about = words.get(name, {})
    entries = {
        key: ({"description": about[key]} if key in about else {}) | entry for key, entry in table["properties"].items()
    }
    head = heads.get(name, table.get("description", name))
    return {"description": head} | {k: v for k, v in table.items() if k != "description"} | {"properties": entries}


def _add_rules(tables: dict[str, Any]) -> None:
    """The rules that tie entries of one table to each other, as the models' own validators have them."""
    tables["TrimTable"]["allOf"] = [_exactly_one("back", "front"), _exactly_one("bottom", "top")]
    if "WallTable" in tables:
        tables["WallTable"] |= {
            "not": {"required": ["internal", "external"]},
            "if": {"anyOf": [{"required": ["bow"]}, {"required": ["sagitta"]}]},
            "then": {"required": ["radius"]},
        }
        tables["PipeTable"] |= _pipe_rules()


def _pipe_rules() -> dict[str, Any]:
    """A pipe is given by its points, or upright by its place, or lying by its height."""
    lying = {"properties": {"direction": {"const": "horizontal"}}, "required": ["direction"]}
    others = ("direction", "from_left", "height", "out", "from", "to")
    return {
        "if": {"required": ["points"]},
        "then": {"not": {"anyOf": [{"required": [key]} for key in others]}},
        "else": {
            "required": ["out"],
            "if": lying,
            "then": {"required": ["height"], "not": {"required": ["from_left"]}},
            "else": {"required": ["from_left"], "not": {"required": ["height"]}},
        },
    }


def _add_known_words(trim: dict[str, Any]) -> None:
    """Words an editor can offer where others are allowed as well: profiles may be paths, places other trims' edges."""
    known = {"profile": [*shipped_profiles()], "material": [*table("materials")]}
    places = {"back": ["wall"], "front": ["wall"], "bottom": ["floor", "ceiling"], "top": ["ceiling", "floor"]}
    for key, words in (known | places).items():
        allowed = [branch for branch in trim[key].get("anyOf", ()) if branch.get("type") != "string"]
        text = {name: trim[key].pop(name) for name in ("type", "minLength", "maxLength") if name in trim[key]}
        trim[key]["anyOf"] = [*allowed, {"enum": words}, text or {"type": "string"}]


def _exactly_one(*keys: str) -> dict[str, Any]:
    return {"oneOf": [{"required": [key]} for key in keys]}
