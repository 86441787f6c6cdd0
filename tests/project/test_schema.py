"""The schema, read by an independent validator (jsonschema, draft 2020-12)."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from example_rooms import EXAMPLES
from trimwright.errors import RoomFileError
from trimwright.project.models import RoomFile
from trimwright.project.read import validate
from trimwright.project.schema import room_schema, schema_text

SMALL = """
format = 1
room = { name = "Den", ceiling = 2400 }
wall = [{ name = "north", length = 4000 }]
trim = [{ name = "cornice", profile = "cove", back = "wall", top = "ceiling" }]
pipe = [{ wall = "north", name = "riser", from_left = 200, out = 40, diameter = 22 }]
"""

WRONG = {
    "no format": ("format = 1", ""),
    "another format": ("format = 1", "format = 2"),
    "an unknown key": ("length = 4000", "lenght = 4000"),
    "a length of nothing": ("length = 4000", "length = 0"),
    "a length without a number": ("length = 4000", 'length = "long"'),
    "a length that is none": ("length = 4000", "length = true"),
    "a corner twice": ("length = 4000", "length = 4000, internal = 90, external = 90"),
    "a corner too sharp": ("length = 4000", "length = 4000, internal = 20"),
    "no walls": ('wall = [{ name = "north", length = 4000 }]', "wall = []"),
    "neither back nor front": ('back = "wall", ', ""),
    "top and bottom": ('top = "ceiling"', 'top = "ceiling", bottom = 0'),
    "a joint that is none": ('top = "ceiling"', 'top = "ceiling", joints = { internal = "glue" }'),
    "a colour in words": ('top = "ceiling"', 'top = "ceiling", colour = "red"'),
    "an upright pipe without its place": ("from_left = 200, ", ""),
    "an upright pipe with a height": ("from_left = 200", "from_left = 200, height = 90"),
    "a lying pipe with a place": ("from_left = 200", 'from_left = 200, height = 90, direction = "horizontal"'),
    "a pipe that is nowhere off the wall": ("out = 40, ", ""),
    "a pipe of nothing": ("diameter = 22", "diameter = 0"),
}


@pytest.fixture(scope="module")
def checker() -> Draft202012Validator:
    schema = room_schema()
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


def test_the_shipped_schema_is_the_one_made() -> None:
    shipped = files("trimwright.data").joinpath("room.schema.json").read_text(encoding="utf-8")
    assert shipped == schema_text(), "write it again: trimwright schema > src/trimwright/data/room.schema.json"


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.toml")), ids=lambda p: p.stem)
def test_every_example_passes(checker: Draft202012Validator, path: Path) -> None:
    assert [e.message for e in checker.iter_errors(tomllib.loads(path.read_text(encoding="utf-8")))] == []


@pytest.mark.parametrize("length", ["4000", '"4 m"', '"13ft 1 1/2in"', '" 157.5 in"', "4000.5", '"13’ 1”"'])
def test_lengths_may_be_written_in_any_way(checker: Draft202012Validator, length: str) -> None:
    data = tomllib.loads(SMALL.replace("length = 4000", f"length = {length}"))
    assert checker.is_valid(data)
    validate(RoomFile, data, Path("room.toml"))


@pytest.mark.parametrize("case", WRONG)
def test_schema_and_reader_refuse_the_same(checker: Draft202012Validator, case: str) -> None:
    old, new = WRONG[case]
    assert old in SMALL
    data = tomllib.loads(SMALL.replace(old, new, 1))
    assert not checker.is_valid(data)
    with pytest.raises(RoomFileError):
        validate(RoomFile, data, Path("room.toml"))


def test_every_table_and_entry_says_what_it_means() -> None:
    schema = room_schema()
    silent = [place for place, entry in _entries(schema) if len(entry.get("description", "")) < 5]
    assert silent == []


def test_nothing_is_left_in_words_no_schema_knows() -> None:
    known = {*Draft202012Validator.META_SCHEMA["properties"], "$schema", "$defs", "$ref"}
    for part in ("applicator", "validation", "meta-data", "core", "unevaluated", "content"):
        known |= {*Draft202012Validator(_meta(part)).schema["properties"]}
    assert {word for word in _keywords(room_schema()) if word not in known} == set()


def _meta(part: str) -> dict[str, Any]:
    import jsonschema_specifications

    contents = jsonschema_specifications.REGISTRY[f"https://json-schema.org/draft/2020-12/meta/{part}"].contents
    assert isinstance(contents, dict)
    return contents


def _entries(schema: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for name, table in {"RoomFile": schema, **schema["$defs"]}.items():
        yield name, table
        for key, entry in table.get("properties", {}).items():
            yield f"{name}.{key}", entry


def _keywords(node: Any) -> Iterator[str]:
    """Every keyword of a schema, without the names of entries and tables and without values."""
    if isinstance(node, list):
        for item in node:
            yield from _keywords(item)
    elif isinstance(node, dict):
        for key, value in node.items():
            yield key
            if key in ("properties", "$defs"):
                for entry in value.values():
                    yield from _keywords(entry)
            elif key not in ("default", "const", "enum", "examples", "required", "dependentRequired"):
                yield from _keywords(value)


def test_it_is_json_that_any_program_reads() -> None:
    assert json.loads(schema_text()) == room_schema()
