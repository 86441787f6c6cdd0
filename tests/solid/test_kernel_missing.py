"""A machine without a library of the system that the kernel needs."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from example_rooms import EXAMPLES

MISSING = "libGL.so.1: cannot open shared object file: No such file or directory"


@pytest.mark.parametrize(("options", "code"), [((), 2), (("--no-step",), 0)])
def test_a_build_says_what_to_install_or_does_without(options: tuple[str, ...], code: int, tmp_path: Path) -> None:
    (tmp_path / "cadquery.py").write_text(f"raise ImportError({MISSING!r})\n")
    pack, room = tmp_path / "pack", EXAMPLES / "box-room.toml"
    done = subprocess.run(
        [sys.executable, "-m", "trimwright", "build", room, "--out", pack, "--no-pictures", *options],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, (str(tmp_path), os.environ.get("PYTHONPATH"))))},
        capture_output=True,
        text=True,
    )
    assert done.returncode == code
    assert "Traceback" not in done.stderr
    assert pack.exists() is (code == 0)
    said = f"trimwright: the kernel for exact solids cannot be loaded: {MISSING}; install"
    assert (said in done.stderr) is (code == 2)
