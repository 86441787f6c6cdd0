"""Runs that are killed, a disk that is full, folders that may not be written: the old pack or the new one, whole."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from example_rooms import EXAMPLES, example_set_out
from trimwright.errors import OutputError
from trimwright.pack import workshop
from trimwright.pack.exchange import exchange
from trimwright.pack.folder import file_list, new_pack

KILLS = 50
NOBODY = 65534


def write(place: Path, text: str, files: int = 8) -> None:
    with new_pack(place) as folder:
        (folder / "sheets").mkdir()
        for k in range(files):
            (folder / "sheets" / f"{k}.svg").write_text(f"{text} {k}")
        (folder / "pack.json").write_text(json.dumps({"text": text, "files": file_list(folder)}))


def whole(place: Path) -> str:
    """What the pack says it is, once every file it lists has been found with its sum, and no other."""
    data = json.loads((place / "pack.json").read_text())
    there = {p.relative_to(place).as_posix() for p in place.rglob("*") if p.is_file()}
    assert there == {"pack.json", *(f["path"] for f in data["files"])}
    for entry in data["files"]:
        assert hashlib.sha256((place / entry["path"]).read_bytes()).hexdigest() == entry["sha256"]
    return str(data.get("text", ""))


def rewrite_for_ever(place: Path) -> None:
    """In a process of its own: one pack after the other, until it is killed."""
    for k in range(1_000_000):
        write(place, f"pack {k}")


@contextlib.contextmanager
def forked(place: Path) -> Iterator[int]:
    child = os.fork()
    if child == 0:
        try:
            rewrite_for_ever(place)
        finally:
            os._exit(1)
    yield child


def test_a_kill_at_any_moment_leaves_a_whole_pack(tmp_path: Path) -> None:
    place, rng = tmp_path / "den", random.Random(4)
    write(place, "first")
    stopped_inside = 0
    for _ in range(KILLS):
        with forked(place) as child:
            time.sleep(rng.uniform(0.002, 0.03))
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
        assert whole(place)
        stopped_inside += any(tmp_path.glob(".trimwright-*"))
    assert stopped_inside > KILLS / 2  # else the kills came before or after the work
    write(place, "last")
    assert whole(place) == "last"
    assert [p.name for p in tmp_path.iterdir()] == ["den"]  # what the killed runs left is gone


def test_the_place_is_never_empty(tmp_path: Path) -> None:
    """Looked at as fast as can be while another process swaps packs."""
    place = tmp_path / "den"
    write(place, "first")
    with forked(place) as child:
        until, seen = time.monotonic() + 0.5, set()
        while time.monotonic() < until:
            seen.add(json.loads((place / "pack.json").read_text())["text"])
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
    assert len(seen) > 5


def test_a_running_build_is_not_taken_for_a_killed_one(tmp_path: Path) -> None:
    with new_pack(tmp_path / "den") as folder:
        write(tmp_path / "den", "other")
        write(tmp_path / "attic", "beside it")
        (folder / "pack.json").write_text('{"text": "slow", "files": []}')
    assert whole(tmp_path / "den") == "slow"
    assert whole(tmp_path / "attic") == "beside it"


def test_where_folders_cannot_be_exchanged_two_steps_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workshop, "exchange", lambda *_: False)
    write(tmp_path / "den", "one")
    (tmp_path / "den" / "mine.txt").write_text("mine")
    write(tmp_path / "den", "two")
    assert (tmp_path / "den" / "mine.txt").read_text() == "mine"
    assert [p.name for p in tmp_path.iterdir()] == ["den"]


def test_killed_between_the_two_steps_the_old_pack_comes_back(tmp_path: Path) -> None:
    write(tmp_path / "den", "old")
    left = tmp_path / ".trimwright-left"
    (left / "old").mkdir(parents=True)
    (left / "den").mkdir()
    (tmp_path / "den").rename(left / "old" / "den")
    write(tmp_path / "attic", "another room")  # whatever is built there next
    assert whole(tmp_path / "den") == "old"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["attic", "den"]


def test_an_exchange_that_is_refused_says_why(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    with pytest.raises(OSError, match="No such file"):
        exchange(tmp_path / "a", tmp_path / "none")


def test_a_full_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path / "den", "old")

    def full(*_: object, **__: object) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with pytest.raises(OutputError, match=r"No space left.*nothing there was changed"), new_pack(tmp_path / "den"):
        full()
    assert whole(tmp_path / "den") == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["den"]


def command(*arguments: str, **options: object) -> subprocess.Popen[str]:
    return subprocess.Popen(  # type: ignore[call-overload, no-any-return]
        [sys.executable, "-m", "trimwright", *arguments], stdout=-1, stderr=-1, text=True, **options
    )


@pytest.fixture
def disk(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Path]:
    """A disk of so many kilobytes."""
    if os.geteuid() != 0 or not shutil.which("mount"):
        pytest.skip("only root can mount a small disk")
    place = tmp_path / "disk"
    place.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={request.param}k", "tmpfs", str(place)]).returncode:
        pytest.skip("this machine lets nobody mount")
    yield place
    subprocess.run(["umount", str(place)], check=True)


@pytest.mark.parametrize("disk", [64], indirect=True)
def test_a_disk_too_small_for_the_pack(disk: Path) -> None:
    write(disk / "den", "old")
    run = command("build", str(EXAMPLES / "box-room.toml"), "--out", str(disk / "den"), "--no-pictures", "--no-step")
    _, said = run.communicate(timeout=60)
    assert run.returncode == 2, said
    assert "No space left on device" in said
    assert whole(disk / "den") == "old"
    assert [p.name for p in disk.iterdir()] == ["den"]


@pytest.mark.parametrize("disk", [24], indirect=True)
def test_a_disk_too_small_for_the_exact_solids(disk: Path) -> None:
    """The kernel writes its file by itself, and says no more than that it could not."""
    from trimwright.solid.build import room_solids
    from trimwright.solid.step import write_step

    done = example_set_out("box-room")
    with pytest.raises(OutputError, match="cannot be written"):
        write_step(disk / "model.step", done, room_solids(done), datetime(2026, 10, 12))


def children(of: int) -> set[int]:
    found = subprocess.run(["ps", "-o", "pid=", "--ppid", str(of)], capture_output=True, text=True)
    return {int(word) for word in found.stdout.split()}


def alive(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] not in "ZX"
    except FileNotFoundError:
        return False


@pytest.mark.skipif(not Path("/proc/self/stat").exists() or not shutil.which("ps"), reason="looks into /proc")
@pytest.mark.parametrize("after", [0.6, 2.0, 3.0])
def test_a_killed_command_leaves_the_old_pack_and_no_process(tmp_path: Path, after: float) -> None:
    write(tmp_path / "den", "old")
    run = command("build", str(EXAMPLES / "box-room.toml"), "--out", str(tmp_path / "den"))
    seen, until = set[int](), time.monotonic() + after
    while time.monotonic() < until:
        seen |= children(run.pid)
        time.sleep(0.05)
    run.kill()
    run.communicate()
    assert whole(tmp_path / "den") == "old"
    patience = time.monotonic() + 20
    while any(map(alive, seen)) and time.monotonic() < patience:
        time.sleep(0.05)
    assert not any(map(alive, seen))


@pytest.mark.skipif(not Path("/proc/self/stat").exists() or not shutil.which("ps"), reason="looks into /proc")
@pytest.mark.parametrize(
    ("told", "code"),
    [
        (signal.SIGINT, 130),  # as shells have it: POSIX.1-2017, Shell Command Language, 2.8.2
        (signal.SIGTERM, -signal.SIGTERM),
        (signal.SIGHUP, -signal.SIGHUP),
    ],
)
def test_a_command_that_is_told_to_end_clears_up(tmp_path: Path, told: signal.Signals, code: int) -> None:
    """In the middle of a pack; Ctrl-C and a closed terminal reach all processes of the group, `kill` the first one."""
    write(tmp_path / "den", "old")
    room = str(EXAMPLES / "box-room.toml")
    run = command("build", room, "--out", str(tmp_path / "den"), start_new_session=True)
    patience = time.monotonic() + 60
    while not list(tmp_path.glob(".trimwright-*/den/meshes")) and time.monotonic() < patience:
        time.sleep(0.01)
    seen = children(run.pid)
    assert seen
    (os.kill if told is signal.SIGTERM else os.killpg)(run.pid, told)
    if told is signal.SIGHUP:  # a terminal that is closed tells it twice: the kernel, and then the shell
        time.sleep(0.02)
        os.killpg(run.pid, told)
    _, err = run.communicate(timeout=60)
    assert run.returncode == code
    assert err.splitlines()[-1] == "trimwright: stopped; nothing was changed"
    assert "Traceback" not in err
    assert [path.name for path in tmp_path.iterdir()] == ["den"]
    assert whole(tmp_path / "den") == "old"
    while any(map(alive, seen)) and time.monotonic() < patience:
        time.sleep(0.05)
    assert not any(map(alive, seen))


@pytest.fixture
def shelf() -> Iterator[Path]:
    """A folder that somebody else can reach; those of pytest are private."""
    with tempfile.TemporaryDirectory() as folder:
        yield Path(folder)


PROTECTED = ["place", "place/sheets", "place/sheets/0.svg", "parent"]


@pytest.mark.parametrize("what", PROTECTED)
def test_what_may_not_be_written_is_left_as_it_is(shelf: Path, what: str) -> None:
    """Write-protected for everybody but root: so the write is tried by a process that is not root."""
    place = shelf / "den"
    write(place, "old")
    target = shelf if what == "parent" else shelf / what.replace("place", "den")
    for path in (shelf, *shelf.rglob("*")):
        if os.geteuid() == 0:
            os.chown(path, NOBODY, NOBODY)
    target.chmod(target.stat().st_mode & ~0o222)
    child = os.fork()
    if child == 0:
        try:
            if os.geteuid() == 0:
                os.setgid(NOBODY)
                os.setuid(NOBODY)
            write(place, "new")
        except OutputError as error:
            os._exit(7 if "protected" in str(error) or "Permission denied" in str(error) else 8)
        finally:
            os._exit(9)
    _, status = os.waitpid(child, 0)
    target.chmod(target.stat().st_mode | 0o200)
    assert os.waitstatus_to_exitcode(status) == 7
    assert whole(place) == "old"
    assert [p.name for p in shelf.iterdir()] == ["den"]


@pytest.mark.skipif(os.geteuid() != 0 or not shutil.which("chattr"), reason="only root can lock a file")
@pytest.mark.parametrize("path", ["sheets/0.svg", "photo.jpg"])
def test_a_locked_file(tmp_path: Path, path: str) -> None:
    write(tmp_path / "den", "old")
    locked = tmp_path / "den" / path
    locked.touch()
    if subprocess.run(["chattr", "+i", str(locked)], capture_output=True).returncode:
        pytest.skip("this file system locks no files")
    try:
        with pytest.raises(OutputError, match="locked or write-protected"):
            write(tmp_path / "den", "new")
        assert (tmp_path / "den" / "sheets" / "1.svg").read_text() == "old 1"
    finally:
        subprocess.run(["chattr", "-i", str(locked)], check=True)
    assert [p.name for p in tmp_path.iterdir()] == ["den"]
