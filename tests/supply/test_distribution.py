"""What is handed out: the sdist has everything, the wheel has the package and nothing else."""

from __future__ import annotations

import email
import subprocess
import sys
import tarfile
from pathlib import Path
from zipfile import ZipFile

import pytest

import trimwright

ROOT = Path(__file__).parents[2]
STEM = f"trimwright-{trimwright.__version__}"
INFO = f"{STEM}.dist-info"

KINDS = {".py", ".toml", ".json", ".md", ".ttf", ".css", ".html", ".js"}
"""Kinds of files that the package is made of, beside the licences and the mark that it is typed."""


def build(what: list[str], source: Path, place: Path) -> None:
    command = [sys.executable, "-m", "build", "--no-isolation", *what, "--outdir", place, source]
    done = subprocess.run(command, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sdist and the wheel made from it."""
    place = tmp_path_factory.mktemp("dist")
    build([], ROOT, place)
    return place


def contents(wheel: Path) -> dict[str, bytes]:
    with ZipFile(wheel) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


@pytest.fixture(scope="module")
def wheel(built: Path) -> dict[str, bytes]:
    return contents(built / f"{STEM}-py3-none-any.whl")


def test_the_wheel_has_the_package_and_nothing_else(wheel: dict[str, bytes]) -> None:
    source = ROOT / "src" / "trimwright"
    package = {f"trimwright/{p.relative_to(source).as_posix()}": p for p in source.rglob("*") if p.is_file()}
    package = {name: path for name, path in package.items() if "__pycache__" not in name}
    package |= {f"trimwright/profiles/{p.name}": p for p in (ROOT / "profiles").iterdir()}
    info = {f"{INFO}/{name}" for name in ("METADATA", "WHEEL", "RECORD", "entry_points.txt")}
    licences = {f"{INFO}/licenses/src/trimwright/{name}" for name in ("LICENSE", "drawing/fonts/LICENSE")}
    assert set(wheel) == set(package) | info | licences
    assert all(wheel[name] == path.read_bytes() for name, path in package.items())
    assert {name for name in package if Path(name).suffix not in KINDS} == {
        "trimwright/LICENSE",
        "trimwright/drawing/fonts/LICENSE",
        "trimwright/py.typed",
    }


def test_the_wheel_says_what_it_is(wheel: dict[str, bytes]) -> None:
    about = email.message_from_bytes(wheel[f"{INFO}/METADATA"])
    assert (about["Name"], about["Version"], about["License-Expression"]) == (
        "trimwright",
        trimwright.__version__,
        "MIT",
    )
    assert about["Requires-Python"] == ">=3.11"
    assert b"trimwright = trimwright.cli:main" in wheel[f"{INFO}/entry_points.txt"]
    assert b"Tag: py3-none-any" in wheel[f"{INFO}/WHEEL"]


def test_a_wheel_straight_from_the_source_is_the_same(wheel: dict[str, bytes], tmp_path: Path) -> None:
    build(["--wheel"], ROOT, tmp_path)
    assert contents(tmp_path / f"{STEM}-py3-none-any.whl") == wheel


def test_the_sdist_has_all_that_is_needed_to_build_and_to_test(built: Path) -> None:
    with tarfile.open(built / f"{STEM}.tar.gz") as archive:
        names = {name.removeprefix(f"{STEM}/") for name in archive.getnames()}
    for folder in ("src", "profiles", "examples", "tests"):
        files = {p.relative_to(ROOT).as_posix() for p in (ROOT / folder).rglob("*") if p.is_file()}
        assert {name for name in files if "__pycache__" not in name} <= names
    assert {"README.md", "DEVELOPERS.md", "pyproject.toml", "PKG-INFO"} <= names
    assert {name.split("/")[0] for name in names} <= {p.name for p in ROOT.iterdir()} | {"PKG-INFO"}
