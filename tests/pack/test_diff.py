"""What a change means at the bench, told from two rooms whose difference is known by sums."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from trimwright.cli import main

ROOM = """
format = 1
[room]
name = "run"
ceiling = 2400
closed = false
[[wall]]
name = "a"
length = 2000
internal = 90
[[wall]]
name = "b"
length = {b}
internal = {angle}
[[wall]]
name = "c"
length = 1800
{more}
[[trim]]
name = "rail"
profile = "{profile}"
size = {{ drop = 45, projection = 18 }}
back = "wall"
bottom = {bottom}
joints = {{ internal = "mitre", end = "square" }}
"""
PIPE = '[[pipe]]\nwall = "c"\nname = "flow"\nfrom_left = 600\nout = 5\ndiameter = 4\n[clearance]\npipe = 1\n'
DOOR = '[[opening]]\nwall = "c"\nkind = "door"\nfrom_left = 700\nwidth = 800\nhead = 2100\n'


Told = Callable[..., tuple[list[str], dict[str, Any]]]


@pytest.fixture
def told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Told:
    """What `diff` says from the room as it was to a room with something else in it."""

    def difference(**changed: object) -> tuple[list[str], dict[str, Any]]:
        plain = {"b": 1500, "angle": 90, "more": "", "profile": "rail-plain", "bottom": 2000}
        for name, entries in (("old", plain), ("new", {**plain, **changed})):
            (tmp_path / f"{name}.toml").write_text(ROOM.format(**entries))
        paths = [str(tmp_path / "old.toml"), str(tmp_path / "new.toml")]
        assert main(["diff", *paths]) == 0
        words = capsys.readouterr().out.splitlines()
        assert main(["diff", *paths, "--json"]) == 0
        return words, {c["piece"]: c for c in json.loads(capsys.readouterr().out)["changes"]}

    return difference


def test_nothing_changed(told: Told) -> None:
    words, data = told()
    assert words == ["All 3 pieces are cut as they were."]
    assert {c["change"] for c in data.values()} == {"as it was"}


def test_a_longer_wall_takes_a_longer_piece_and_no_other(told: Told) -> None:
    words, data = told(b=1512)
    assert words == [
        "R2 (rail, b): 12.0 longer, 1500.0 becomes 1512.0: cut a new one",
        "1 longer, 2 as it was",
    ]
    assert data["R2"]["new_length"] == pytest.approx(1512)


def test_a_shorter_wall_takes_a_shorter_piece(told: Told) -> None:
    words, _ = told(b=1480)
    assert words[0] == "R2 (rail, b): 20.0 shorter, 1500.0 becomes 1480.0: it can be cut down"


def test_a_corner_that_is_not_square_is_cut_otherwise(told: Told) -> None:
    words, data = told(angle=91)
    assert "R2 (rail, b): right end: mitre at a corner of 90.0° becomes mitre at a corner of 91.0°" in words
    assert [c["change"] for c in data.values()] == ["as it was", "cut otherwise", "cut otherwise"]


def test_a_door_makes_two_of_one_and_the_longer_one_is_cut_from_the_old(told: Told) -> None:
    """1800 - 700 - 800 = 300 is left on the right; 700 on the left is nearer to the old 1800."""
    words, data = told(more=DOOR, bottom=2000)
    assert data["R3"]["change"] == "shorter"
    assert data["R3"]["new_length"] == pytest.approx(700)
    assert data["R4"]["change"] == "new"
    assert data["R4"]["new_length"] == pytest.approx(300)
    assert words[-1] == "1 shorter, 1 new, 2 as it was"


def test_a_pipe_takes_a_slot(told: Told) -> None:
    words, data = told(more=PIPE)
    assert words[0] == "R3 (rail, c): a slot for flow, 600.0 from the left end"
    assert data["R3"]["change"] == "cut otherwise"


def test_another_profile_or_place_is_told_once(told: Told) -> None:
    assert told(bottom=2012)[0] == ["rail: hangs 12.0 higher", "All 3 pieces are cut as they were."]
    words, _ = told(profile="dado")
    assert words[0] == "rail: its profile was rail-plain and is dado: every piece is a new one"


def test_a_pack_and_the_room_it_was_built_from_are_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    room = tmp_path / "run.toml"
    room.write_text(ROOM.format(b=1500, angle=90, more="", profile="rail-plain", bottom=2000))
    assert main(["build", str(room), "--out", str(tmp_path / "pack"), "--no-pictures", "--no-step"]) == 0
    capsys.readouterr()
    for side in (tmp_path / "pack", tmp_path / "pack" / "pack.json"):
        assert main(["diff", str(side), str(room)]) == 0
        assert capsys.readouterr().out == "All 3 pieces are cut as they were.\n"


WRONG = ["", "[]", "{}", '{"pieces": [1], "trims": []}', '{"pieces": 3, "trims": 4}', "[" * 10**5]


@pytest.mark.parametrize("text", WRONG, ids=range(len(WRONG)))
def test_what_is_no_pack_is_refused(text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "pack.json").write_text(text)
    assert main(["diff", str(tmp_path), str(tmp_path)]) == 2
    assert "is not the data of a pack" in capsys.readouterr().err
    assert main(["diff", str(tmp_path / "none"), str(tmp_path)]) == 2
    assert "No such file" in capsys.readouterr().err
