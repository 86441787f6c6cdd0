"""The same room gives the same bytes in every file: in other processes, with other hash seeds, on other days."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from example_rooms import EXAMPLES
from trimwright.cli import main

QUICK = ["--no-pictures", "--no-step"]


def files(place: Path) -> dict[str, bytes]:
    return {p.relative_to(place).as_posix(): p.read_bytes() for p in sorted(place.rglob("*")) if p.is_file()}


def differing(one: Path, other: Path) -> list[str]:
    a, b = files(one), files(other)
    return sorted(k for k in a.keys() | b.keys() if a.get(k) != b.get(k))


def test_in_other_processes_on_one_processor_and_on_all(tmp_path: Path) -> None:
    """Everything, exact solids and pictures too: with other hash seeds, zones, folders and numbers of threads.

    So it is where nothing can be kept, and where all was kept before: then neither kernel nor ray caster is loaded.
    """
    (tmp_path / "a-file").touch()
    kept, nowhere = str(tmp_path / "kept"), str(tmp_path / "a-file" / "kept")
    asked = {"1": ("UTC", "1", nowhere), "4": ("Asia/Tokyo", "4", kept)}
    _ends_well(*(_alcove(tmp_path / seed, seed, *rest) for seed, rest in asked.items()))
    assert differing(tmp_path / "1" / "pack", tmp_path / "4" / "pack") == []
    for name in ("cadquery", "OCP", "embreex"):
        (tmp_path / "broken" / name).mkdir(parents=True)
        (tmp_path / "broken" / name / "__init__.py").write_text("raise RuntimeError('not wanted')")
    path = os.pathsep.join([str(tmp_path / "broken"), *sys.path])
    _ends_well(_alcove(tmp_path / "7", "7", "UTC", "2", kept, PYTHONPATH=path))
    assert differing(tmp_path / "1" / "pack", tmp_path / "7" / "pack") == []


def _alcove(folder: Path, seed: str, zone: str, threads: str, kept: str, **more: str) -> subprocess.Popen[str]:
    """A process that builds the alcove in a folder, as the places of everything else are given."""
    folder.mkdir()
    more |= {"PYTHONHASHSEED": seed, "TZ": zone, "OMP_NUM_THREADS": threads, "TRIMWRIGHT_CACHE": kept}
    return subprocess.Popen(
        [sys.executable, "-m", "trimwright", "build", str(EXAMPLES / "alcove.toml"), "--out", str(folder / "pack")],
        env={**os.environ, "LC_ALL": "C", **more},
        cwd=folder,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=_on_one if seed == "1" else None,
    )


def _ends_well(*runs: subprocess.Popen[str]) -> None:
    for run in runs:
        _, said = run.communicate(timeout=120)
        assert run.returncode in (0, 1), said


def _on_one() -> None:
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})


def undated(folder: Path) -> Path:
    room = folder / "den.toml"
    lines = (EXAMPLES / "box-room.toml").read_text().splitlines(keepends=True)
    room.write_text("".join(line for line in lines if not line.startswith("date")))
    return room


def test_an_undated_room_has_the_date_of_its_file(tmp_path: Path) -> None:
    room = undated(tmp_path)
    os.utime(room, (1_000_000_000, 1_000_000_000))  # 9 September 2001
    assert main(["build", str(room), "--out", str(tmp_path / "pack"), *QUICK]) == 0
    assert "2001-09-09" in (tmp_path / "pack" / "index.html").read_text(encoding="utf-8")


def test_source_date_epoch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """https://reproducible-builds.org/specs/source-date-epoch/: seconds since 1970."""
    room = undated(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    assert main(["build", str(room), "--out", str(tmp_path / "one"), *QUICK]) == 0
    os.utime(room, (1_000_000_000, 1_000_000_000))
    assert main(["build", str(room), "--out", str(tmp_path / "two"), *QUICK]) == 0
    assert differing(tmp_path / "one", tmp_path / "two") == []
    assert "1970-01-02" in (tmp_path / "one" / "index.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("epoch", ["", "yesterday", "9" * 40, "²"])
def test_an_epoch_that_is_no_time(
    epoch: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    assert main(["build", str(undated(tmp_path)), "--out", str(tmp_path / "pack"), *QUICK]) == 2
    assert "seconds since 1970" in capsys.readouterr().err
    assert not (tmp_path / "pack").exists()


def test_a_day_that_there_is_not(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    room = undated(tmp_path)
    room.write_text(room.read_text().replace("[room]", '[room]\ndate = "2026-02-30"'))
    assert main(["check", str(room)]) == 2
    assert "there is no such day" in capsys.readouterr().err
