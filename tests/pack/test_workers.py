from __future__ import annotations

import os
import subprocess
import sys
import time
from itertools import count
from pathlib import Path

import pytest

from trimwright.errors import OutputError
from trimwright.pack.workers import Hands, Workers, at_work, hands, load

SCRIPT = """
import os, sys
from trimwright.pack.workers import Workers

print("once", flush=True)
with Workers(1) as pool:
    print(pool.submit(os.getppid).result() == os.getpid(), sys.modules["__main__"].__file__ == __file__)
"""


def test_a_script_without_a_guard_runs_once(tmp_path: Path) -> None:
    path = tmp_path / "script.py"
    path.write_text(SCRIPT)
    done = subprocess.run([sys.executable, str(path)], capture_output=True, text=True)
    assert (done.stdout.split(), done.stderr) == (["once", "True", "True"], "")


def test_an_error_does_not_wait_for_what_is_done_beside() -> None:
    def fail() -> None:
        with Workers(1) as pool:
            pool.submit(time.sleep, 0).result()
            pool.submit(time.sleep, 600)
            raise LookupError

    begun = time.monotonic()
    with pytest.raises(LookupError):
        fail()
    assert time.monotonic() - begun < 60


def test_hands_are_no_more_than_there_is_work_for() -> None:
    with hands(solids=False, pictures=False) as few:
        assert few.solids is few.pictures
    with hands(solids=True, pictures=False) as more:
        assert more.solids is not more.pictures


def test_what_cannot_be_loaded_ahead_is_left_to_whoever_needs_it() -> None:
    load("json", "no_such_module", "trimwright.tolerance")
    assert "trimwright.tolerance" in sys.modules


def test_what_is_done_beside_ends_before_its_folder_is_cleared_away(tmp_path: Path) -> None:
    with Workers(1) as pool:
        pool.submit(time.sleep, 0).result()
        pool.submit(_write_for_ever, tmp_path)
        while not list(tmp_path.iterdir()):
            time.sleep(0.01)
        with pytest.raises(LookupError), at_work(Hands(pool, pool)):
            raise LookupError
        left = len(list(tmp_path.iterdir()))
        time.sleep(0.2)
        assert len(list(tmp_path.iterdir())) == left


def _write_for_ever(folder: Path) -> None:
    for k in count():
        (folder / str(k)).touch()
        time.sleep(0.001)


def test_a_process_that_is_killed_beside_is_one_message() -> None:
    with Workers(1) as pool, pytest.raises(OutputError, match="is there memory enough"), at_work(Hands(pool, pool)):
        pool.submit(os._exit, 9).result()
