"""Gaps behind returns that end at a smaller trim; widths and heights from the sizes in the room's text."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from manifold3d import Manifold

from trimwright.mesh.cut import body_of
from trimwright.mesh.piece import piece_meshes
from trimwright.setout.piece import SetOut

ROOM = """
format = 1
[room]
name = "Hall"
ceiling = 2500
closed = false
[[wall]]
name = "long wall"
length = 4000
[[trim]]
name = "batten"
profile = "batten"
size = { drop = 45, projection = 22 }
back = "wall"
top = "ceiling"
BATTEN
[[trim]]
name = "cornice"
profile = "cove"
size = { drop = 115, projection = 90 }
back = "batten.front"
top = "ceiling"
joints = { end = "return" }
leave_out = [{ wall = "long wall", from = 0, to = 500 }, { wall = "long wall", from = 3500, to = 4000 }]
"""


def notes(done: SetOut) -> list[str]:
    return [note for note in done.notes if "the return" in note]


def test_a_return_over_a_lower_batten(set_out_of: Callable[[str], SetOut]) -> None:
    """The batten fills 22 off the wall from 2500 - 45 up; from the cornice's bottom, 2385, to there it is open."""
    done = set_out_of(ROOM.replace("BATTEN", ""))
    assert notes(done) == [
        f"cornice on long wall: the return {name} ends at batten and stands 22 off the wall from 2385 to 2455 high:"
        " scribe a strip in there, or end batten before it with leave_out"
        for name in ("C1", "C3")
    ]


@pytest.mark.parametrize("name", ["C1", "C3"])
def test_the_gap_is_there(set_out_of: Callable[[str], SetOut], name: str) -> None:
    """Beside the wall, 21.9 deep behind the end of the return and below the batten, the meshes leave all free."""
    done = set_out_of(ROOM.replace("BATTEN", ""))
    piece, wall = done.piece(name), done.room.walls[0].frame
    end = piece.left if name == "C1" else piece.right
    low, high = sorted(wall.locate(piece.frame.plan(end.at(out), out))[0] for out in (22, 112))
    corners = [wall.plan(s, o) for s in (low, high) for o in (0.05, 21.95)]
    hole = Manifold.hull_points([(x, y, z) for x, y in corners for z in (2385.0, 2454.9)])
    for mesh in piece_meshes(done).values():
        assert (body_of(mesh) ^ hole).volume() == pytest.approx(0, abs=1e-3)


def test_nothing_lies_behind(set_out_of: Callable[[str], SetOut]) -> None:
    """The batten stops before the cornice's ends: each return stands off the wall over its whole height."""
    short = ROOM.replace("BATTEN", 'leave_out = [{ wall = "long wall", from = 0, to = 1000 }]')
    first, second = notes(set_out_of(short))
    assert "the return C1 has nothing behind it and stands 22 off the wall from 2385 to 2500 high" in first
    assert "the return C3 ends at batten and stands 22 off the wall from 2385 to 2455 high" in second


def test_a_batten_as_high_closes_it(set_out_of: Callable[[str], SetOut]) -> None:
    assert notes(set_out_of(ROOM.replace("BATTEN", "").replace("drop = 45", "drop = 115"))) == []


def test_a_return_that_reaches_the_wall_has_no_gap(set_out_of: Callable[[str], SetOut]) -> None:
    """Set off the wall by a number, with nothing behind: its returns turn back to the wall itself."""
    alone = ROOM[: ROOM.index("[[trim]]")] + ROOM[ROOM.rindex("[[trim]]") :].replace('"batten.front"', "40")
    assert notes(set_out_of(alone)) == []
