"""The real command where its surroundings are odd: one message, the contract's exit code, no traceback."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOM = Path(__file__).parents[1] / "examples" / "box-room.toml"
COMMAND = f"{sys.executable} -m trimwright"
FULL = "trimwright: the system refuses: No space left on device\n"


def shell(line: str, folder: Path, **variables: str) -> tuple[int, str, str]:
    """A line of a shell in a folder: exit code, standard output, standard error."""
    surroundings = os.environ | {"ROOM": str(ROOM), "PYTHONPATH": os.pathsep.join(sys.path)} | variables
    done = subprocess.run(["bash", "-c", line], cwd=folder, env=surroundings, capture_output=True, timeout=120)
    return done.returncode, done.stdout.decode(), done.stderr.decode()


@pytest.mark.parametrize(
    ("line", "code", "err"),
    [
        (f"{COMMAND} check $ROOM > /dev/full", 2, FULL),
        (f"{COMMAND} cuts $ROOM --json > /dev/full", 2, FULL),
        (f"{COMMAND} check $ROOM >&-", 0, ""),
        (f"{COMMAND} check none.toml 2>&-", 2, ""),
        (f"set -o pipefail; {COMMAND} cuts $ROOM --json | head -1", 0, ""),
        (
            f"{COMMAND} new new.toml <&-",
            2,
            "trimwright: the answers ended before the room was complete",
        ),
        (f"mkdir x && cd x && rmdir ../x && {COMMAND} build $ROOM --out p", 2, "trimwright: the system refuses: "),
        (f"ulimit -n 12; {COMMAND} build $ROOM --out p", 2, "trimwright: the system refuses: Too many open files"),
    ],
)
def test_one_message(line: str, code: int, err: str, tmp_path: Path) -> None:
    found, _, said = shell(line, tmp_path)
    assert found == code
    assert said.startswith(err)
    assert len(said.splitlines()) == (1 if err else 0)
    assert list(tmp_path.iterdir()) == []


def test_a_terminal_that_has_few_characters(tmp_path: Path) -> None:
    """A room whose survey speaks of degrees, where only ASCII can be written (ISO/IEC 646)."""
    code, out, err = shell(f"{COMMAND} check $ROOM", tmp_path, PYTHONIOENCODING="ascii")
    assert (code, err) == (0, "")
    assert "?" in out
