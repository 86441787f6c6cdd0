"""The command from the outside: arguments and typed lines in, a file and an exit code out."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path

import ezdxf
import pytest
from told import SQUARE_ROOM

from trimwright.cli import main
from trimwright.project.project import read_project

Type = Callable[..., None]


@pytest.fixture(autouse=True)
def in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def types(monkeypatch: pytest.MonkeyPatch) -> Type:
    """Lines typed at the terminal; after the last one input ends, unless it is an exception."""

    def lines(*said: str | type[BaseException]) -> None:
        typed: Iterator[str | type[BaseException]] = iter((*said, EOFError))

        def read(prompt: str) -> str:
            print(prompt, end="")
            line = next(typed)
            if not isinstance(line, str):
                raise line
            return line

        monkeypatch.setattr("builtins.input", read)

    return lines


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """Two rooms of a drawing that does not say its unit, in centimetres."""
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 0
    space = document.modelspace()
    space.add_lwpolyline([(0, 0), (400, 0), (400, 300), (0, 300)], close=True)
    space.add_lwpolyline([(500, 0), (700, 0), (700, 250), (500, 250)], close=True)
    document.saveas(tmp_path / "house.dxf")
    return tmp_path / "house.dxf"


TO_THE_END = (*SQUARE_ROOM, "", "", *[""] * 9, "")


def test_nothing_is_asked_if_all_is_said(types: Type, capsys: pytest.CaptureFixture[str]) -> None:
    types()
    assert main(["new", "--walls", "4620, 3580", "--ceiling", "2400", "--name", "Box room"]) == 0
    assert "box-room.toml is written" in capsys.readouterr().out
    room = read_project(Path("box-room.toml")).room
    assert [round(w.length) for w in room.walls] == [4620, 3580, 4620, 3580]


def test_a_conversation_writes_what_was_said(types: Type, capsys: pytest.CaptureFixture[str]) -> None:
    types(*TO_THE_END, "")
    assert main(["new"]) == 0
    assert read_project(Path("den.toml")).room.name == "Den"
    told = capsys.readouterr().out
    assert "●" in told
    assert "The room closes to 0 mm." in told


def test_stop_and_the_end_of_input_write_nothing(
    types: Type, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for last in ("stop", EOFError, KeyboardInterrupt):
        for count in (0, 5, len(SQUARE_ROOM)):
            types(*SQUARE_ROOM[:count], last)
            assert main(["new", "room.toml"]) in (2, 130)
            assert [*tmp_path.iterdir()] == []
            assert "nothing was" in capsys.readouterr().err


def test_a_file_is_never_written_over_unasked(types: Type, capsys: pytest.CaptureFixture[str]) -> None:
    kept = Path("room.toml")
    kept.write_text("mine")
    silent = ["new", "room.toml", "--walls", "4000, 3000", "--ceiling", "2400"]
    types()
    assert main(silent) == 2
    assert "--replace" in capsys.readouterr().err
    types("n")
    assert main(["new", "room.toml"]) == 2
    types("")
    assert main(["new", "room.toml"]) == 2
    assert kept.read_text() == "mine"
    assert main([*silent, "--replace"]) == 0
    assert tomllib.loads(kept.read_text())["room"]["name"] == "Room"


def test_over_a_file_with_leave(types: Type) -> None:
    kept = Path("room.toml")
    kept.write_text("mine")
    types("y", *TO_THE_END)
    assert main(["new", "room.toml"]) == 0
    assert read_project(kept).room.name == "Den"


def test_where_to_write_is_asked_until_it_can_be_done(types: Type, capsys: pytest.CaptureFixture[str]) -> None:
    Path("den.toml").write_text("mine")
    types(*TO_THE_END, "", "n", "no/such/folder.toml", "other")
    assert main(["new"]) == 0
    assert Path("den.toml").read_text() == "mine"
    assert read_project(Path("other.toml")).room.name == "Den"
    assert "cannot be written" in capsys.readouterr().out
    assert sorted(p.name for p in Path().iterdir()) == ["den.toml", "other.toml"]


def test_a_drawing_without_questions(plan: Path, types: Type, capsys: pytest.CaptureFixture[str]) -> None:
    types()
    call = ["new", "a.toml", "--plan", str(plan), "--ceiling", "2.4m"]
    assert main(call) == 2
    assert "--unit" in capsys.readouterr().err
    assert main([*call, "--unit", "cm"]) == 0
    text = Path("a.toml").read_text()
    assert "From the drawing house.dxf, layer 0, outline 1 of 2: no tape has checked" in text
    assert [w["length"] for w in tomllib.loads(text)["wall"]] == [4000, 3000, 4000, 3000]
    assert main([*call, "--unit", "cm", "--outline", "2", "--replace"]) == 0
    assert [w.length for w in read_project(Path("a.toml")).room.walls] == pytest.approx([2000, 2500] * 2)
    assert main([*call, "--unit", "cm", "--outline", "3", "--replace"]) == 2
    assert "there are 2" in capsys.readouterr().err


def test_what_a_drawing_leaves_open_is_asked(plan: Path, types: Type, capsys: pytest.CaptureFixture[str]) -> None:
    # Name, unit of the tape, ceiling; then unit and outline of the drawing, the walls, no openings, no pipes, a cove.
    types("Den", "", "2400", "mm", "", "2", *[""] * 13)
    assert main(["new", "a.toml", "--plan", str(plan)]) == 0
    assert [w.length for w in read_project(Path("a.toml")).room.walls] == pytest.approx([2000, 2500] * 2)
    told = capsys.readouterr().out
    assert "0.4 m by 0.3 m: the drawing must be in another unit" in told
    assert "[cm]" in told


def test_the_schema_beside_the_file_is_named_in_it(types: Type, capsys: pytest.CaptureFixture[str]) -> None:
    types()
    assert main(["schema"]) == 0
    Path("room.schema.json").write_text(capsys.readouterr().out)
    assert main(["new", "a.toml", "--walls", "4000, 3000", "--ceiling", "2400"]) == 0
    assert Path("a.toml").read_text().startswith("#:schema ./room.schema.json\n")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["--walls", "4000, 3000", "--plan", "a.dxf"], "not both"),
        (["--walls", "4000, 3000", "--ceiling", "24"], "--ceiling: 24 mm is less than 500 mm"),
        (["--walls", "4000, x", "--ceiling", "2400"], "--walls, wall 2"),
        (["--plan", "a.dxf", "--ceiling", "2400"], "no such file"),
    ],
)
def test_a_wrong_call_is_explained(
    arguments: list[str], told: str, types: Type, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    types()
    assert main(["new", "a.toml", *arguments]) == 2
    assert told in capsys.readouterr().err
    assert [*tmp_path.iterdir()] == []
