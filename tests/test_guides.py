"""Whatever the guides show is run: commands, scripts, room files, tables of commands, files and entries."""

from __future__ import annotations

import json
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from example_rooms import EXAMPLES
from trimwright.cli import main
from trimwright.pack.job import job_of
from trimwright.project.models import RoomFile
from trimwright.project.project import project_of
from trimwright.project.read import read_toml, validate
from trimwright.project.schema import schema_text
from trimwright.site.models import SiteFile
from trimwright.stock.list_file import ListFile

ROOT = EXAMPLES.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")

ELSEWHERE = {
    ("README.md", "python3 -m venv .venv && .venv/bin/pip install -q -c tests/constraints.txt . "): "run by .ci/run",
    ("README.md", "python3 -m venv .venv && .venv/bin/pip install -q -c tests/constraints.txt -e "): "run by .ci/run",
    ("DEVELOPERS.md", "room file -> project -> room"): "a drawing of the flow",
    ("profiles/README.md", 'format = 1\nname = "beaded-rail"'): "run by tests/profile/test_profile_guide.py",
    ("profiles/README.md", 'format = 1\nname = "old-cornice"'): "run by tests/profile/test_profile_guide.py",
}
"""Blocks that are not run here, by file and beginning, and where they are; any other that cannot be run fails."""


@dataclass(frozen=True)
class Block:
    """One fenced block of a guide."""

    guide: str
    language: str
    text: str

    @property
    def elsewhere(self) -> tuple[str, str] | None:
        """Its entry in the list of those that are not run here."""
        return next((e for e in ELSEWHERE if e[0] == self.guide and self.text.startswith(e[1])), None)


BLOCKS = [
    Block(guide, language, text)
    for guide in ("README.md", "DEVELOPERS.md", "profiles/README.md")
    for language, text in re.findall(r"^```(.*)\n((?s:.*?))^```$", (ROOT / guide).read_text("utf-8"), re.MULTILINE)
]


def blocks(language: str) -> Any:
    """The blocks in a language that are run here, as parameters named by their first line."""
    found = [b for b in BLOCKS if b.language == language and not b.elsewhere]
    return pytest.mark.parametrize("block", found, ids=[b.text.splitlines()[0] for b in found])


def merged(room: dict[str, Any], fragment: dict[str, Any]) -> dict[str, Any]:
    """A room file with the tables of a fragment: a wall or trim of a known name is changed, what is new is added.

    A trim without a name is the cornice.
    """
    result = dict(room)
    for key, value in fragment.items():
        if isinstance(value, dict):
            result[key] = merged(room.get(key, {}), value)
        elif isinstance(value, list) and isinstance(value[0], dict):
            rows = [dict(row) for row in room.get(key, [])]
            for row in value:
                name = row.get("name", "cornice" if key == "trim" else None)
                known = next((old for old in rows if name and old["name"] == name), None)
                known.update(row) if known else rows.append(row)
            result[key] = rows
        else:
            result[key] = value
    return result


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of what the guides' commands work on."""
    place = tmp_path_factory.mktemp("checkout")
    for folder in ("examples", "profiles"):
        shutil.copytree(ROOT / folder, place / folder)
    return place


@pytest.fixture(scope="module")
def scripts(bench: Path) -> list[str]:
    """What every script of the guides prints, run as a file of its own."""
    printed = []
    for number, block in enumerate(b for b in BLOCKS if b.language == "python"):
        path = bench / f"script-{number}.py"
        path.write_text(block.text, encoding="utf-8")
        done = subprocess.run([sys.executable, path], cwd=bench, capture_output=True, text=True)
        assert (done.returncode, done.stderr) == (0, "")
        printed.append(done.stdout)
    return printed


def test_no_block_escapes() -> None:
    for block in BLOCKS:
        assert block.elsewhere or block.language in ("sh", "python", "toml"), block
    assert {b.elsewhere for b in BLOCKS} - {None} == set(ELSEWHERE)


@blocks("sh")
def test_commands_run(block: Block, bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(bench)
    for line in block.text.splitlines():
        program, command, *rest = shlex.split(line, comments=True)
        assert program == "trimwright", f"not a command of this program: {line}"
        quick = ["--no-pictures", "--no-step"] if command in ("build", "batch") else []
        assert main([command, *rest, *quick]) == 0, line


@blocks("toml")
def test_tables_are_read_and_set_out(block: Block, tmp_path: Path) -> None:
    tables = tomllib.loads(block.text)
    path = tmp_path / "room.toml"
    if {"piece", "stock"} <= set(tables):
        assert validate(ListFile, tables, path).piece
        return
    if "site" in tables:
        assert validate(SiteFile, tables, path).room
        return
    if "format" not in tables:
        base = "reading-room" if {"light", "prices"} & set(tables) else "box-room"
        tables = merged(read_toml(EXAMPLES / f"{base}.toml"), tables)
    assert job_of(project_of(validate(RoomFile, tables, path), path)).set_out.pieces


def test_scripts_run_once_and_find_that_it_fits(scripts: list[str]) -> None:
    assert len(scripts) == 1
    assert scripts[0].count("it all fits\n") == 1
    triangles, exact = map(int, re.findall(r"(\d+) mm³", scripts[0]))
    assert triangles == pytest.approx(exact, rel=1e-4)


def test_every_command_and_its_options_are_in_the_table(capsys: pytest.CaptureFixture[str]) -> None:
    rows = dict(re.findall(r"^\| `trimwright (\w+)(.*)", README, re.MULTILINE))
    assert set(rows) == set(re.findall(r"^    (\w+) ", told(capsys, "--help"), re.MULTILINE))
    for command, row in rows.items():
        known = re.findall(r"--[a-z-]+", told(capsys, command, "--help"))
        assert set(re.findall(r"--[a-z-]+", row)) <= set(known), command


def told(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """What the program says before it leaves."""
    with pytest.raises(SystemExit):
        main(arguments)
    return capsys.readouterr().out


def test_every_file_of_a_pack_is_in_the_table(scripts: list[str], bench: Path) -> None:
    pack = bench / "output" / "reading-room"
    table = README.partition("## What is in a pack")[2].partition("\n\nPieces")[0]
    named = [name for row in re.findall(r"^\| (`.*?) \|", table, re.MULTILINE) for name in re.findall(r"`(.*?)`", row)]
    assert [name for name in named if not (pack / name).exists()] == []
    assert {path.name for path in pack.iterdir()} == {name.split("/")[0] for name in named}


def test_the_map_for_contributors_is_that_of_the_tree() -> None:
    """Every folder and module of the package has its place, and none that is named is gone."""
    table = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("| folder |")[2].partition("\n\n")[0]
    named = {name.strip("`") for row in table.splitlines()[2:] for name in row.split("|")[1].strip().split(", ")}
    source = ROOT / "src" / "trimwright"
    parts = [p for p in source.iterdir() if not p.name.startswith("__")]
    there = {p.name + "/" * p.is_dir() for p in parts if p.is_dir() or p.suffix == ".py"}
    assert [name for name in named - {"tests/"} if not (source / name).exists()] == []
    assert there - named == set()


def test_every_entry_of_the_room_file_is_told() -> None:
    prose = re.sub(r"^```.*?^```$", "", README, flags=re.MULTILINE | re.DOTALL)
    shown = [*re.findall(r"`([^`]+)`", prose), *(block.text for block in BLOCKS if block.language == "toml")]
    words = {word for text in shown for word in re.findall(r"\w+", text)}
    assert entries(json.loads(schema_text())) - words == set()


def entries(schema: Any) -> set[str]:
    """The names of all properties in a JSON Schema."""
    if isinstance(schema, list):
        return set().union(*map(entries, schema))
    if not isinstance(schema, dict):
        return set()
    own = set(schema["properties"]) if isinstance(schema.get("properties"), dict) else set()
    return own.union(*map(entries, schema.values()))
