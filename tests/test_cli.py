from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from example_rooms import EXAMPLE_NAMES, EXAMPLES
from trimwright.cli import main

ROOT = EXAMPLES.parent


def run(*arguments: str, folder: Path = ROOT) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "trimwright", *arguments], cwd=folder, capture_output=True, text=True, timeout=120
    )


@pytest.mark.parametrize("arguments", ["--help", "angles --corner 90", "profile --help"])
def test_light_commands_load_nothing_heavy(arguments: str) -> None:
    code = (
        "import sys; from trimwright.cli import main\n"
        f"try: main({arguments.split()!r})\nexcept SystemExit: pass\n"
        "heavy = {'numpy', 'scipy', 'shapely', 'cadquery', 'OCP', 'trimesh', 'ezdxf', 'manifold3d', 'pydantic'}\n"
        "sys.exit(', '.join(sorted(heavy & set(sys.modules))) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def test_the_kernel_is_not_loaded_for_lists() -> None:
    code = (
        "import sys; from trimwright.cli import main\n"
        f"main(['cuts', {str(EXAMPLES / 'reading-room.toml')!r}])\n"
        "sys.exit(', '.join(sorted({'cadquery', 'OCP', 'trimesh', 'ezdxf', 'embreex'} & set(sys.modules))) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("name", EXAMPLE_NAMES)
@pytest.mark.parametrize("command", ["check", "cuts", "buy"])
def test_lists_of_the_examples(name: str, command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([command, str(EXAMPLES / f"{name}.toml")]) == 0
    text = capsys.readouterr().out
    assert text.strip()
    assert main([command, str(EXAMPLES / f"{name}.toml"), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)


def test_cuts_as_data_agree_with_the_table(capsys: pytest.CaptureFixture[str]) -> None:
    path = str(EXAMPLES / "alcove.toml")
    main(["cuts", path, "--json"])
    data = json.loads(capsys.readouterr().out)
    main(["cuts", path])
    rows = capsys.readouterr().out.splitlines()[2:]
    assert [(c["piece"], c["end"]) for c in data["cuts"]] == [
        (r.split()[0], ["left", "right"][k % 2]) for k, r in enumerate(rows)
    ]


def test_without_stock_lengths_no_empty_plan_is_shown(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["buy", str(EXAMPLES / "box-room.toml")]) == 0
    assert capsys.readouterr().out.split(maxsplit=1)[0] == "item"


def test_a_clash_is_code_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (EXAMPLES / "box-room.toml").read_text()
    text += '[[fitting]]\nwall = "north"\nname = "cupboard"\nfrom_left = 900\nwidth = 600\n'
    text += "bottom = 0\ntop = 2390\nout = 500\n"
    path = tmp_path / "clash.toml"
    path.write_text(text)
    assert main(["check", str(path)]) == 1
    assert "CLASH" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["check", "none.toml"], "no such file"),
        (["angles", "--corner", "400"], "30 to 330"),
        (["angles", "--corner", "90", "--drop", "tall"], "not a length"),
        (["profile", "coev"], "cove"),
        (["profile", "cove", "--set", "drop"], "NAME=MM"),
        (["profile", "cove", "--set", "drop=900"], "400"),
        (["plan", "none.toml"], "no such file"),
    ],
)
def test_wrong_input_is_code_2_and_one_message(
    arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    shown = capsys.readouterr()
    assert said in shown.err
    assert "Traceback" not in shown.err
    assert shown.out == ""


def test_wrong_calls_are_code_2() -> None:
    assert run("bulid", "x.toml").returncode == 2
    assert run().returncode == 2


def test_a_fault_of_our_own_is_code_3(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("on purpose")

    monkeypatch.delenv("TRIMWRIGHT_TRACEBACK", raising=False)
    monkeypatch.setattr("trimwright.project.project.read_project", broken)
    assert main(["check", "x.toml"]) == 3
    assert "ZeroDivisionError" in capsys.readouterr().err


def test_a_reader_that_goes_away_is_no_fault() -> None:
    command = f"{sys.executable} -m trimwright cuts {EXAMPLES / 'hall.toml'} | head -n 1"
    done = subprocess.run(["bash", "-o", "pipefail", "-c", command], capture_output=True, text=True)
    assert "Traceback" not in done.stderr
    assert "BrokenPipe" not in done.stderr


def test_the_label_of_a_cornice(capsys: pytest.CaptureFixture[str]) -> None:
    """Common practice, no source: a 127 mm face covers lines of 90 x 90; one labelled 100 by its face about 70.7."""
    main(["profile", "cove", "--face", "127", "--json"])
    assert json.loads(capsys.readouterr().out)["label"]["face width"] == {"drop": 89.8, "projection": 89.8}
    main(["profile", "cove", "--face", "100", "--json"])
    assert json.loads(capsys.readouterr().out)["label"]["face width"] == {"drop": 70.7, "projection": 70.7}


def test_a_profile_at_full_size(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    place = tmp_path / "cove.svg"
    assert main(["profile", "cove", "--svg", str(place)]) == 0
    assert place.read_text().startswith("<?xml")
    assert main(["profile", "cove", "--svg", str(tmp_path / "none" / "cove.svg")]) == 2
    assert os.listdir(tmp_path) == ["cove.svg"]
