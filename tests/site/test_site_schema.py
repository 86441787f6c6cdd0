"""The schema of a site file, read by an independent validator (jsonschema, draft 2020-12)."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from trimwright.cli import main
from trimwright.errors import RoomFileError
from trimwright.project.read import validate
from trimwright.site.models import SiteFile
from trimwright.site.schema import site_schema

TERRACE = (Path(__file__).parents[2] / "examples" / "terrace" / "terrace.toml").read_text(encoding="utf-8")

WRONG = {
    "another format": ("format = 1", "format = 2"),
    "an unknown key": ("count = 3", "cuont = 3"),
    "none of a room": ("count = 3", "count = 0"),
    "a room without its file": ('file = "landing.toml"\n', ""),
    "back and front": ("top = 2140", "top = 2140\nfront = 20"),
    "a kerf of a hand": ("kerf = 3", "kerf = 90"),
    "a day that is none": ('date = "2026-11-23"', 'date = "today"'),
}


def test_it_is_a_schema_that_the_example_keeps_and_the_command_prints(capsys: pytest.CaptureFixture[str]) -> None:
    Draft202012Validator.check_schema(site_schema())
    Draft202012Validator(site_schema()).validate(tomllib.loads(TERRACE))
    assert main(["schema", "site"]) == 0
    assert json.loads(capsys.readouterr().out) == site_schema()


@pytest.mark.parametrize("name", WRONG)
def test_schema_and_reader_refuse_the_same(name: str) -> None:
    old, new = WRONG[name]
    assert old in TERRACE
    tables = tomllib.loads(TERRACE.replace(old, new, 1))
    assert not Draft202012Validator(site_schema()).is_valid(tables)
    with pytest.raises(RoomFileError):
        validate(SiteFile, tables, Path("site.toml"))


def test_every_entry_is_described() -> None:
    schema = site_schema()
    tables = {"SiteFile": schema, **schema["$defs"]}
    bare = [
        (table, key)
        for table in ("SiteFile", "SiteTable", "RoomEntry")
        for key, entry in tables[table]["properties"].items()
        if "description" not in entry
    ]
    assert bare == []
