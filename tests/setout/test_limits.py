"""Files that ask for too much get a message at once; the most that is allowed is still set out."""

from __future__ import annotations

import math
import time
from itertools import pairwise
from pathlib import Path

import pytest

from trimwright.cli import main
from trimwright.setout.scarfs import keep_out_zones, stations
from trimwright.tolerance import MOST_PIECES

HEAD = 'format = 1\n[room]\nname = "hall"\nceiling = 3000\nclosed = false\n'
RAIL = '[[trim]]\nname = "{name}"\nprofile = "batten"\nback = "wall"\nbottom = {at}\n{more}\n'


def walls(count: int, length: float = 1000.0) -> str:
    """A run that bends a little, so that it never meets itself."""
    turns = [178.0 if k % 2 else 182.0 for k in range(count)]
    corner = [f"internal = {a}" if a < 180 else f"external = {360 - a}" for a in turns]
    return "\n".join(f'[[wall]]\nname = "w{k}"\nlength = {length}\n{corner[k]}' for k in range(count)) + "\n"


def pipes(count: int) -> str:
    return "".join(
        f'[[pipe]]\nwall = "w{k % 50}"\nname = "p{k}"\nfrom_left = {60 + 80 * (k // 50)}\nout = 60\ndiameter = 15\n'
        for k in range(count)
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (HEAD + walls(501) + RAIL.format(name="rail", at=2000, more=""), "[[wall]]: list should have at most 500"),
        (HEAD + walls(50) + pipes(501) + RAIL.format(name="rail", at=2000, more=""), "[[pipe]]: list should have at"),
        (HEAD + walls(4) + RAIL.format(name="rail", at=2000, more="") + "#" * 1_000_000, "larger than 1 MB"),
        (
            HEAD + walls(500) + "".join(RAIL.format(name=f"r{k}", at=60 * k, more="") for k in range(21)),
            f"{MOST_PIECES} are the most",
        ),
        (
            HEAD + walls(20, 90_000) + RAIL.format(name="rail", at=2000, more="stock = [{ length = 150 }]"),
            f"{MOST_PIECES} are the most",
        ),
        (
            HEAD
            + walls(500).replace("length = 1000.0", "length = 1000.0\nradius = 900\nsagitta = 0.1")
            + RAIL.format(name="rail", at=2000, more=""),
            "at least 19000 pieces",
        ),
        (
            HEAD
            + walls(1, 90_000)
            + RAIL.format(name="rail", at=2000, more='stock = [{ length = 22.1 }]\njoints = { length = "scarf" }'),
            "would have to be joined",
        ),
    ],
    ids=["walls", "pipes", "bytes", "pieces by walls", "pieces by stock", "pieces by curves", "pieces by scarfs"],
)
def test_too_much_is_refused_at_once(text: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "hall.toml"
    path.write_text(text)
    started = time.process_time()
    assert main(["cuts", str(path)]) == 2
    assert said in capsys.readouterr().err
    assert time.process_time() - started < 5


def test_a_list_of_too_many_pieces(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "list.toml"
    path.write_text("[[piece]]\nlength = 500\ncount = 10001\n[[stock]]\nlength = 2400\n")
    assert main(["plan", str(path)]) == 2
    assert "10001 pieces are wanted" in capsys.readouterr().err


@pytest.mark.parametrize(("length", "longest"), [(100_000, 6000), (100_000, 2400), (90_000, 300)])
def test_a_long_wall_is_divided_at_once(length: float, longest: float) -> None:
    started = time.process_time()
    division = stations(0.0, length, 10.0, longest, keep_out_zones(0.0, length, [], []), "a wall")
    assert time.process_time() - started < 2
    joints = [0.0 + 10, *division.stations, length - 10]  # each piece reaches a lap past its joints
    parts = [b - a + 20 for a, b in pairwise(joints)]
    assert max(parts) <= longest + 1e-6
    assert len(parts) == math.ceil((length - 20) / (longest - 20))  # the fewest there can be
