"""Values that no tape reads: each is refused with the file, the entry and what would be right, in few words."""

from __future__ import annotations

import warnings
from pathlib import Path

import pytest

from fuzz.toml import toml_text
from trimwright.cli import main

WALLS = {"north": 4000, "east": 3000, "south": 4000, "west": 3000}


def tables() -> dict[str, object]:
    """A room with every kind of table in which a figure can be absurd."""
    return {
        "format": 1,
        "room": {"name": "Store", "ceiling": 2400},
        "survey": {"length": 1.5, "angle": 0.3},
        "wall": [{"name": name, "length": length} for name, length in WALLS.items()],
        "pipe": [{"wall": "north", "name": "flow", "from_left": 300, "out": 30, "diameter": 15}],
        "trim": [
            {"name": "cornice", "profile": "cove", "back": "wall", "top": "ceiling", "stock": [{"length": 2400}]},
            {"name": "channel", "profile": "channel-deep", "back": 20, "top": 2200},
        ],
        "rates": {"pins": {"spacing": 500}},
        "light": {"strip": {"power": 9.6, "lumens": 900, "interval": 50}, "driver": [{"power": 60}]},
    }


def answer(folder: Path, place: str, value: object) -> tuple[int, Path]:
    """The code of `check` for the room with one entry changed, and where its file lies."""
    room = tables()
    here: object = room
    *way, last = place.split(".")
    for part in way:
        here = here[int(part)] if isinstance(here, list) else here[part]  # type: ignore[index]
    here[last] = value  # type: ignore[index]
    path = folder / "room.toml"
    path.write_text(toml_text(room), encoding="utf-8")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        return main(["check", str(path)]), path


def test_the_room_is_sound(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert answer(tmp_path, "room.name", "Store")[0] in (0, 1)
    assert "Store: 4 walls" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("place", "value", "said"),
    [
        ("wall.0.length", 5e-194, "[[wall]] 1 (north), length: input should be greater than or equal to 0.01"),
        ("wall.0.length", 2**63, "[[wall]] 1 (north), length: input should be less than or equal to 100000"),
        ("wall.0.length", 10**400, "[[wall]] 1 (north), length: inf is not a length"),
        ("wall.0.length", True, "[[wall]] 1 (north), length: true is not a length"),
        ("wall.0.length", ["x" * 10_000], "[[wall]] 1 (north), length: ['xxx"),
        ("wall.0.name", "x" * 10_000, "[[wall]] 1 (xxxxxxxxxxxxxxxxxxxx...), name: string should have at most 80"),
        ("survey.length", 1e-300, "[survey], length: input should be greater than or equal to 0.01"),
        ("survey.angle", 1e-300, "[survey], angle: input should be greater than or equal to 0.001"),
        ("pipe.0.diameter", 1e-300, "[[pipe]] 1 (flow), diameter: input should be greater than or equal to 0.01"),
        ("trim.0.back", 1e308, "[[trim]] 1 (cornice), back: no place is farther than 100000"),
        ("trim.0.back", "wall + 900 m", "[[trim]] 1 (cornice), back: no place is farther than 100000 (it is 900000)"),
        ("trim.0.back", True, "[[trim]] 1 (cornice), back: true is not a length"),
        ("trim.0.back", float("nan"), "[[trim]] 1 (cornice), back: nan is not a length"),
        ("trim.0.top", "x" * 10_000, "[[trim]] 1 (cornice), top: no place is told in more than 160 characters"),
        ("trim.0.back", "flow.front", "[[trim]] 'cornice', back: there is no trim 'flow'"),
        ("trim.0.back", -5, "trim 'cornice': its back would be 5.0 mm inside the wall"),
        ("rates.pins.spacing", 10**400, "[rates], pins, spacing: write a number from 0.001 to 1000000 (it is 1000"),
        ("rates.pins.spacing", 5e-324, "[rates], pins, spacing: write a number from 0.001 to 1000000 (it is 5e-324)"),
        ("light.driver.0.power", 1e-300, "[light], driver 1, power: input should be greater than or equal to 1"),
        ("light.strip.lumens", 1e-300, "[light], strip, lumens: input should be greater than or equal to 1"),
    ],
)
def test_one_short_message_names_file_and_entry(
    place: str, value: object, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, path = answer(tmp_path, place, value)
    err = capsys.readouterr().err
    assert code == 2
    assert err.startswith(f"trimwright: {path}: {said}")
    assert len(err) < 500


def test_of_many_faults_the_first_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "room.toml"
    path.write_text(toml_text(tables()) + "\n[clearance]\n" + "".join(f"gap{k} = 1\n" for k in range(20_000)))
    assert main(["check", str(path)]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 21
    assert lines[0].startswith(f"trimwright: {path}: [clearance], gap0: unknown key; known are ")
    assert lines[-1] == f"{path}: and 19980 more of the kind; mend these first"


def test_a_name_cannot_steer_the_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Control characters (C0 and C1 of ISO/IEC 6429) reach a file, never standard output or standard error."""
    for value in ("a\x1b[31mb\x07", "a\x00\x9bb"):
        answer(tmp_path, "room.name", value)
        answer(tmp_path, "trim.0.name", value)
        answer(tmp_path, "pipe.0.wall", value)
        said = "".join(capsys.readouterr())
        assert "a?" in said
        assert all(c.isprintable() or c == "\n" for c in said)
