"""A site built by a real cluster on this machine: the bytes of a local run, also when a worker is killed midway."""

from __future__ import annotations

import asyncio
import contextlib
import os
import signal
import socket
import sys
import time
from collections.abc import Callable, Coroutine, Iterator
from pathlib import Path
from threading import Thread

import pytest
from sites import QUICK, files, write_site

from trimwright import __version__, cache
from trimwright.cli import main
from trimwright.errors import SchedulerError
from trimwright.site import cluster
from trimwright.site.records import Failure
from trimwright.site.room import RoomTask, task_of
from trimwright.site.site import read_site


@contextlib.contextmanager
def workers(count: int) -> Iterator[tuple[str, dict[str, int]]]:
    """A scheduler's address and the process ids of its workers by their addresses."""
    import distributed

    with (
        distributed.LocalCluster(count, threads_per_worker=1, dashboard_address=None, host="127.0.0.1") as made,
        distributed.Client(made, set_as_default=False) as client,
    ):
        client.wait_for_workers(count, timeout=60)
        yield made.scheduler_address, client.run(os.getpid)


def kill_midway(pid: int, out: Path) -> None:
    until = time.monotonic() + 60
    while not list(out.glob(".records/*.json")) and time.monotonic() < until:
        time.sleep(0.01)
    os.kill(pid, signal.SIGKILL)


@pytest.mark.cluster
def test_a_worker_killed_midway_loses_nothing(tmp_path: Path) -> None:
    path = write_site(tmp_path, "a*2 b c")
    with workers(2) as (address, pids):
        victim = min(pids.values())
        killer = Thread(target=kill_midway, args=(victim, tmp_path / "far"))
        killer.start()
        assert main(["batch", str(path), "--out", str(tmp_path / "far"), *QUICK, "--scheduler", address]) == 0
        killer.join()
        with contextlib.suppress(ProcessLookupError):
            os.kill(victim, 0)
            pytest.fail("the worker lives")
    assert main(["batch", str(path), "--out", str(tmp_path / "near"), *QUICK, "--processes", "1"]) == 0
    assert files(tmp_path / "far") == files(tmp_path / "near")


@pytest.mark.cluster
def test_no_scheduler_is_one_message(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(cluster, "PATIENCE", 0.3)
    path = write_site(tmp_path, "a")
    for address in ("tcp://127.0.0.1:9", "nonsense"):
        assert main(["batch", str(path), "--out", str(tmp_path / "out"), "--scheduler", address]) == 2
        said = capsys.readouterr().err
        assert f"{address}: no scheduler answers there" in said
        assert "Traceback" not in said


def listening(says: bytes) -> str:
    """The address of something that takes connections, and says what it is told to."""
    server = socket.create_server(("127.0.0.1", 0))

    def serve() -> None:
        with server, server.accept()[0] as caller:
            caller.sendall(says)
            while caller.recv(4096):
                pass

    Thread(target=serve, daemon=True).start()
    return f"tcp://127.0.0.1:{server.getsockname()[1]}"


@pytest.mark.cluster
@pytest.mark.parametrize(
    ("says", "message"),
    [
        (b"", "no scheduler answers there within 0.5 s"),
        (b"SSH-2.0-some server\r\n", "what answers there is no scheduler"),
    ],
)
def test_what_listens_and_is_no_scheduler_is_one_message(
    says: bytes, message: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(cluster, "PATIENCE", 0.5)
    path, address = write_site(tmp_path, "a"), listening(says)
    assert main(["batch", str(path), "--out", str(tmp_path / "out"), "--scheduler", address]) == 2
    assert capsys.readouterr().err == f"trimwright: {address}: {message}\n"


@pytest.mark.cluster
def test_a_run_that_is_left_alone_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without workers for too long, or without the scheduler, at once."""
    import distributed

    monkeypatch.setattr(cluster, "DESERTED", 0.2)
    with (
        distributed.LocalCluster(1, processes=False, dashboard_address=None) as made,
        distributed.Client(made) as client,
    ):
        client.retire_workers()
        given = [client.submit(abs, -1)]
        with pytest.raises(SchedulerError, match="here: all workers are gone; start some, and run again to go on"):
            cluster._done_next(client, "here", given)
        monkeypatch.setattr(cluster, "DESERTED", 60)
        given[0].cancel()
        with pytest.raises(SchedulerError, match="here: the scheduler is gone"):
            cluster._done_next(client, "here", given)


def test_without_the_extra_it_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    path = write_site(tmp_path, "a")
    assert main(["batch", str(path), "--out", str(tmp_path / "out"), "--scheduler", "tcp://127.0.0.1:9"]) == 2
    assert "pip install 'trimwright[cluster]'" in capsys.readouterr().err


@pytest.mark.cluster
def test_a_frozen_worker_is_one_message_that_names_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(cluster, "FIRST_WORD", 8)
    path = write_site(tmp_path, "a")
    with workers(2) as (address, pids):
        frozen = next(worker for worker, pid in pids.items() if worker != min(pids))
        os.kill(pids[frozen], signal.SIGSTOP)
        try:
            begun = time.monotonic()
            assert main(["batch", str(path), "--out", str(tmp_path / "out"), *QUICK, "--scheduler", address]) == 2
            assert time.monotonic() - begun < 40
        finally:
            os.kill(pids[frozen], signal.SIGCONT)
    assert capsys.readouterr().err == (
        f"trimwright: {frozen}: this worker does not answer within 8 s; start it anew, or end it, and run again\n"
    )


@pytest.mark.cluster
def test_a_frozen_scheduler_ends_the_run(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cluster, "PATIENCE", 0.3)

    class Frozen:
        """A client whose scheduler takes what it is told and says nothing."""

        async def nthreads(self) -> None:
            await asyncio.sleep(60)

        def sync(self, told: Callable[[], Coroutine[object, object, object]]) -> object:
            return asyncio.run(told())

    with pytest.raises(SchedulerError, match="here: the scheduler is gone; run again to go on"):
        cluster._threads(Frozen(), "here")  # type: ignore[arg-type]


def a_task(folder: Path) -> RoomTask:
    site = read_site(write_site(folder, "a"))
    return task_of(site, site.rooms[0], folder / "out", "none", False)


def test_a_worker_of_another_version_builds_nothing(tmp_path: Path) -> None:
    found = cluster.build_seen(a_task(tmp_path), ("0.0", cache.source()))
    assert isinstance(found, Failure)
    assert f"this worker has trimwright {__version__}, not 0.0; install the same everywhere" in found.message
    assert not (tmp_path / "out").exists()


def test_a_worker_of_another_source_builds_nothing(tmp_path: Path) -> None:
    found = cluster.build_seen(a_task(tmp_path), (__version__, "0" * 64))
    assert isinstance(found, Failure)
    assert f"trimwright {__version__} is not the one here, though of that version; install" in found.message
    assert not (tmp_path / "out").exists()


def test_a_worker_that_sees_other_files_builds_nothing(tmp_path: Path) -> None:
    found = cluster.build_seen(a_task(tmp_path), (__version__, cache.source()))
    assert isinstance(found, Failure)
    assert f"does not see {tmp_path / 'out'}; workers and this machine must share their files" in found.message
