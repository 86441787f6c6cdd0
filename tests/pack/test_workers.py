from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest

from trimwright.pack.workers import hands, load, workers

SCRIPT = """
import os, sys
from trimwright.pack.workers import workers

print("once", flush=True)
with workers(1) as pool:
    print(pool.submit(os.getppid).result() == os.getpid(), sys.modules["__main__"].__file__ == __file__)
"""


def test_a_script_without_a_guard_runs_once(tmp_path: Path) -> None:
    path = tmp_path / "script.py"
    path.write_text(SCRIPT)
    done = subprocess.run([sys.executable, str(path)], capture_output=True, text=True)
    assert (done.stdout.split(), done.stderr) == (["once", "True", "True"], "")


def test_an_error_does_not_wait_for_what_is_done_beside() -> None:
    def fail() -> None:
        with workers(1) as pool:
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
