from __future__ import annotations

import subprocess
import sys
from pathlib import Path

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
