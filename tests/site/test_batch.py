"""`batch`: packs, bill and page; what is there is not built again; what fails or is killed harms no other."""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from sites import COVE, QUICK, ROOM, files, write_room, write_site

from trimwright.cli import main
from trimwright.site import local, report
from trimwright.site.place import site_folder
from trimwright.site.records import Failure
from trimwright.site.room import RoomTask


def batch(path: Path, out: Path, *more: str) -> int:
    return main(["batch", str(path), "--out", str(out), *QUICK, *more])


def whole_site(out: Path) -> None:
    """Every file that site.json and every pack.json lists is there as it was written."""
    for index in (out / "site.json", *out.glob("*/pack.json")):
        for entry in json.loads(index.read_text())["files"]:
            assert hashlib.sha256((index.parent / entry["path"]).read_bytes()).hexdigest() == entry["sha256"]


@pytest.fixture(scope="module")
def row(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A site of three rooms, built by two processes."""
    folder = tmp_path_factory.mktemp("row")
    path = write_site(folder, "a*2 b c")
    assert batch(path, folder / "out", "--processes", "2") == 0
    return path, folder / "out"


def test_a_pack_a_room_and_the_files_of_the_site(row: tuple[Path, Path]) -> None:
    _, out = row
    names = {p.name for p in out.iterdir()}
    assert names == {
        *("a", "b", "c", ".records", "index.html", "site.json", "buying.csv", "cutting-plan.csv", "cutting-plan.pdf"),
        *(["offcuts.toml"] if (out / "offcuts.toml").exists() else []),
    }
    whole_site(out)
    data = json.loads((out / "site.json").read_text())
    assert [(r["mark"], r["name"], r["count"], r["state"]) for r in data["rooms"]] == [
        ("1", "a", 2, "ok"),
        ("2", "b", 1, "ok"),
        ("3", "c", 1, "ok"),
    ]
    for room in data["rooms"]:
        assert hashlib.sha256((out / room["pack"]).read_bytes()).hexdigest() == room["sha256"]
    assert sum(len(bar["pieces"]) for bar in data["stock"]) == 4 * 4


def test_the_page_leads_to_every_pack_and_file(row: tuple[Path, Path]) -> None:
    _, out = row
    page = (out / "index.html").read_text()
    links = set(re.findall(r'href="([^"#]+)"', page))
    assert {"a/index.html", "b/index.html", "c/index.html", "cutting-plan.pdf", "buying.csv", "site.json"} <= links
    assert all((out / link).is_file() for link in links)
    assert "http" not in re.sub(r'xmlns="[^"]*"', "", page)


def test_a_pack_is_the_one_that_build_makes(row: tuple[Path, Path], tmp_path: Path) -> None:
    _, out = row
    write_room(tmp_path, "a", more=COVE)
    assert main(["build", str(tmp_path / "a.toml"), "--out", str(tmp_path / "a"), *QUICK]) == 0
    assert files(tmp_path / "a") == files(out / "a")


def built_by(capsys: pytest.CaptureFixture[str], path: Path, out: Path, *more: str) -> int:
    assert batch(path, out, "--processes", "1", "--json", *more) == 0
    return int(json.loads(capsys.readouterr().out)["built"])


def test_what_is_there_is_not_built_again(row: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    path, out = row
    before = files(out)
    made = (out / "a").stat().st_ino
    assert built_by(capsys, path, out) == 0
    assert (out / "a").stat().st_ino == made
    (out / "b" / "cutlist.csv").write_text("spoilt")
    (out / ".records" / "c.json").unlink()
    assert built_by(capsys, path, out) == 2
    assert files(out) == before
    assert built_by(capsys, path, out, "--again") == 3
    assert files(out) == before, "one process makes the bytes that two made"


def test_packs_that_are_not_this_runs_are_named(
    row: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """That of a room which fails now, and that of one that the site has no more; both stay."""
    out = tmp_path / "out"
    shutil.copytree(row[1], out)
    (tmp_path / "a.toml").write_text("format = [")
    assert batch(write_site(tmp_path, "a"), out, "--json") == 2
    assert json.loads(capsys.readouterr().out)["left"] == ["b", "c"]
    assert batch(tmp_path / "row.toml", out) == 2
    said = capsys.readouterr().out
    assert re.search(r"^1 +a +1 +FAILED +an older pack is still there$", said, re.MULTILINE)
    assert f"note: {out / 'b'}: the pack of a room that the site has no more" in said
    whole_site(out)
    assert len(list(out.glob("*/pack.json"))) == 3


def test_a_room_that_fails_stops_no_other(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_room(tmp_path, "bad", more="[saw]\nkerv = 3\n")
    (tmp_path / "worse.toml").write_text("format = [")
    write_room(tmp_path, "high", more=COVE.replace('"cornice"', '"rail"').replace('"ceiling"', "3000"))
    path = write_site(tmp_path, "bad a worse high")
    assert batch(path, tmp_path / "out") == 2
    said = capsys.readouterr()
    assert f"trimwright: {tmp_path / 'bad.toml'}: [saw], kerv: unknown key; did you mean 'kerf'?" in said.err
    assert f"trimwright: {tmp_path / 'worse.toml'}: not valid TOML" in said.err
    assert f"trimwright: {tmp_path / 'high.toml'}: trim 'rail'" in said.err
    assert re.search(r"^1 +bad +1 +FAILED", said.out, re.MULTILINE)
    assert re.search(r"^2 +a +1 +4 +ok", said.out, re.MULTILINE)
    assert [p.name for p in sorted(tmp_path.glob("out/*/pack.json"))] == ["pack.json"]
    data = json.loads((tmp_path / "out" / "site.json").read_text())
    assert [room["state"] for room in data["rooms"]] == ["failed", "ok", "failed", "failed"]
    assert "kerv" in (tmp_path / "out" / "index.html").read_text()


def test_a_clash_is_code_1_and_stands_on_the_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cupboard = 'wall = "north"\nname = "cupboard"\nfrom_left = 900\nwidth = 600\nbottom = 0\ntop = 2390\nout = 500\n'
    write_room(tmp_path, "a", more=f"[[fitting]]\n{cupboard}")
    assert batch(write_site(tmp_path, "a"), tmp_path / "out") == 1
    assert "a: CLASH: C" in capsys.readouterr().out
    assert "a: CLASH: C" in (tmp_path / "out" / "index.html").read_text()


def test_a_folder_with_files_of_ones_own_is_left_as_it_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "index.html").write_text("mine")
    assert batch(write_site(tmp_path, "a"), tmp_path) == 2
    assert f"{tmp_path}: its index.html is not that of a site; choose another folder" in capsys.readouterr().err
    assert (tmp_path / "index.html").read_text() == "mine"


def test_two_runs_do_not_work_in_one_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with site_folder(tmp_path / "out"):
        assert batch(write_site(tmp_path, "a"), tmp_path / "out") == 2
    assert "another run is at work there" in capsys.readouterr().err


def test_a_fault_of_our_own_is_code_3(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(report, "build_rooms", lambda site, *_: [state(room, "a fault", True) for room in site.rooms])
    assert batch(write_site(tmp_path, "a"), tmp_path) == 3
    assert "a fault" in capsys.readouterr().err


def state(room: object, message: str, fault: bool) -> object:
    from trimwright.site.build import RoomState

    return RoomState(room, Failure(message, fault), True)  # type: ignore[arg-type]


def dies(connection: object) -> None:
    """In place of a bench's process: one that is killed at every room called b."""
    while True:
        task: RoomTask = connection.recv()  # type: ignore[attr-defined]
        if task.file.stem == "b":
            os.kill(os.getpid(), signal.SIGKILL)
        connection.send(Failure("reached"))  # type: ignore[attr-defined]


def test_a_process_that_dies_costs_its_own_room_only(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(local, "work", dies)
    tasks = [
        RoomTask(
            file=tmp_path / f"{name}.toml",
            tables={},
            shared_prices=(),
            place=tmp_path / name,
            pictures="none",
            step=False,
            made_from="",
        )
        for name in "abcd"
    ]
    found = {task.file.stem: outcome for task, outcome in local.built_here(iter(tasks), 2)}
    assert {name: outcome.message for name, outcome in found.items() if name != "b"} == dict.fromkeys("acd", "reached")  # type: ignore[union-attr]
    assert isinstance(found["b"], Failure)
    assert found["b"].fault
    assert "b.toml: the process that built it ended before it was done, 2 times" in found["b"].message


def stopped(path: Path, out: Path, how: signal.Signals, after: int) -> subprocess.Popen[str]:
    """A run that is sent a signal once so many rooms are finished."""
    command = [sys.executable, "-m", "trimwright", "batch", str(path), "--out", str(out), *QUICK, "--processes", "1"]
    run = subprocess.Popen(command, stdout=-1, stderr=-1, text=True)
    until = time.monotonic() + 60
    while len(list(out.glob(".records/*.json"))) < after and time.monotonic() < until:
        time.sleep(0.01)
    run.send_signal(how)
    return run


def finished(out: Path) -> int:
    """How many rooms are: each pack that is there is whole."""
    for index in out.glob("*/pack.json"):
        for entry in json.loads(index.read_text())["files"]:
            assert hashlib.sha256((index.parent / entry["path"]).read_bytes()).hexdigest() == entry["sha256"]
    return len(list(out.glob(".records/*.json")))


def test_stopped_midway_the_next_run_goes_on(
    row: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Killed, then ended by Ctrl-C: what is there is whole, and in the end all is as if nothing had happened."""
    path, out = write_site(tmp_path, "a*2 b c"), tmp_path / "out"
    stopped(path, out, signal.SIGKILL, 1).communicate(timeout=60)
    assert finished(out) == 1
    run = stopped(path, out, signal.SIGINT, 2)
    _, said = run.communicate(timeout=60)
    assert (run.returncode, finished(out)) == (130, 2)
    assert f"stopped; 2 finished packs in {out} stay" in said
    assert "Traceback" not in said
    assert built_by(capsys, path, out) == 1
    assert files(out) == files(row[1])
    assert not list(out.glob(".trimwright-*"))


def test_the_room_of_the_tests_is_no_room_alone(tmp_path: Path) -> None:
    """It has no trim: what it takes over from the site makes it a room."""
    (tmp_path / "a.toml").write_text(ROOM.format(name="a", length=2700))
    assert main(["check", str(tmp_path / "a.toml")]) == 2
