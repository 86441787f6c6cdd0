"""Names from a room file never leave the pack's folder and never become markup, control codes or formulas."""

from __future__ import annotations

import csv
import io
import json
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest

from fuzz.toml import toml_text
from trimwright.cli import main

HOSTILE = {
    "climbing": "../../../tmp/owned",
    "absolute": "/etc/passwd",
    "reserved": "CON",
    "long": "n" * 80,
    "script": "<script>alert(1)</script>",
    "breaking out": "]]></text><script>x</script>\"'&amp;{{",
    "formula": "=HYPERLINK(1)",
    "minus": "-1+1",
    "at": "@SUM(A1)",
    "codes": "%%c{\\H9;x}\\P^J",
    "controls": "a\x00b\x01c\x1b[31m\nd\x7f\x85",
    "right to left": "\u202eקיר\u2066",
    "emoji": "👷🏽‍♀️ 🪵",
    "no characters": "\ufffe\uffff x",
    "template": "${7*7} {0} %s",
}
NAMES = list(HOSTILE.values())


def room(room_name: str, wall: str, trim: str, other: str) -> str:
    """Four names in every place where a name may stand."""
    lengths = {wall: 3000, "b": 2000, "c": 3000, "d": 2000}
    door = {"wall": wall, "kind": "door", "from_left": 1500, "width": 800, "head": 2000, "name": other}
    pipe = {"wall": wall, "name": other, "from_left": 300, "out": 30, "diameter": 15}
    fitting = {"wall": "b", "name": other, "from_left": 300, "width": 300, "bottom": 2250, "top": 2330, "out": 90}
    stock = [{"length": 2400, "price": 9}]
    return toml_text(
        {
            "format": 1,
            "room": {"name": room_name, "ceiling": 2400},
            "wall": [{"name": name, "length": length} for name, length in lengths.items()],
            "opening": [door],
            "pipe": [pipe],
            "fitting": [fitting],
            "trim": [{"name": trim, "profile": "cove", "back": "wall", "top": "ceiling", "stock": stock}],
            "prices": {"currency": "<b>"},
        }
    )


class Elements(HTMLParser):
    """The elements of a page, and what is said in scripts."""

    def __init__(self) -> None:
        super().__init__()
        self.scripts: list[str] = []
        self.handlers: list[str] = []
        self.inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.inside = tag == "script"
        self.handlers += [name for name, _ in attrs if name.startswith("on")]
        if self.inside:
            self.scripts.append("")

    def handle_endtag(self, tag: str) -> None:
        self.inside = False

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.scripts[-1] += data


def elements(path: Path) -> Elements:
    page = Elements()
    page.feed(path.read_text(encoding="utf-8"))
    return page


@pytest.fixture(scope="module", params=range(0, len(NAMES), 2))
def pack(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pack in which a name stands for the room, the next for a wall, and so on."""
    folder = tmp_path_factory.mktemp("hostile")
    names = [NAMES[(request.param + k) % len(NAMES)] for k in range(4)]
    (folder / "room.toml").write_text(room(*names), encoding="utf-8")
    code = main(["build", str(folder / "room.toml"), "--out", str(folder / "pack"), "--no-pictures", "--no-step"])
    assert code in (0, 1)
    assert sorted(p.name for p in folder.iterdir()) == ["pack", "room.toml"]
    return folder / "pack"


def test_files_are_named_plainly(pack: Path) -> None:
    for path in pack.rglob("*"):
        assert path.resolve().is_relative_to(pack.resolve())
        assert set(path.name) <= set("abcdefghijklmnopqrstuvwxyz0123456789-.")
        assert len(path.name) < 100


def test_drawings_are_markup_of_our_own(pack: Path) -> None:
    for path in pack.rglob("*.svg"):
        tags = {e.tag.rpartition("}")[2] for e in ElementTree.fromstring(path.read_bytes()).iter()}
        assert not tags & {"script", "foreignObject", "image", "a"}


def test_the_page_runs_no_script_but_its_own(pack: Path, plain_page: Elements) -> None:
    page = elements(pack / "index.html")
    assert len(page.scripts) == len(plain_page.scripts)
    assert page.handlers == plain_page.handlers


@pytest.fixture(scope="module")
def plain_page(tmp_path_factory: pytest.TempPathFactory) -> Elements:
    folder = tmp_path_factory.mktemp("plain")
    (folder / "room.toml").write_text(room("den", "a", "cornice", "flow"))
    main(["build", str(folder / "room.toml"), "--out", str(folder / "pack"), "--no-pictures", "--no-step"])
    return elements(folder / "pack" / "index.html")


def test_lists_hold_no_formulas(pack: Path) -> None:
    for path in pack.glob("*.csv"):
        for row in csv.reader(io.StringIO(path.read_bytes().decode("utf-8"), newline="")):
            for cell in row:
                number = cell.lstrip("-").replace(".", "", 1).isdigit()
                assert number or not cell.startswith(("=", "+", "-", "@", "\t", "\r")), cell


def test_the_elevations_are_sound_and_their_texts_plain(pack: Path) -> None:
    document = ezdxf.readfile(pack / "drawings" / "elevations.dxf")
    assert not document.audit().errors
    for entity in document.entitydb.values():
        if entity.dxftype() == "TEXT":
            assert "%%c" not in entity.dxf.text
            assert "\n" not in entity.dxf.text


def test_data_reads_back_as_it_was_written(pack: Path) -> None:
    names = json.loads((pack / "pack.json").read_text(encoding="utf-8"))
    assert names["room"]["name"] in NAMES
    assert names["trims"][0]["name"] in NAMES


@pytest.mark.parametrize("name", [" ", "\ufffe", "\u200b\u202e", "\x00\x07"])
def test_a_name_that_cannot_be_seen_is_refused(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "room.toml").write_text(room("den", name, "cornice", "flow"), encoding="utf-8")
    assert main(["check", str(tmp_path / "room.toml")]) == 2
    assert "can be read" in capsys.readouterr().err
