"""Clearances of whole rooms against another way to the same distance.

The distance of two convex bodies is the least |A x - B y| over weights x, y >= 0 that each add up to 1, A and B the
corners of the bodies in columns. Solved as non-negative least squares (Lawson and Hanson, Solving Least Squares
Problems, 1974, chapter 23; scipy.optimize.nnls), the two sums as rows of great weight. A pipe is closed form: the
distance of the hull to its axis, less the radius.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import nnls

from trimwright.clearance.bite import hull_points
from trimwright.clearance.clearance import Clearance
from trimwright.clearance.convex import Points, Rod
from trimwright.clearance.gaps import NEAR, clearances
from trimwright.clearance.obstacles import Obstacle, obstacles
from trimwright.errors import TrimwrightError
from trimwright.mesh.piece import piece_meshes
from trimwright.project.project import Project
from trimwright.setout.set_out import set_out

ROOM = """
format = 1
[room]
name = "Quad"
ceiling = 2400
[[wall]]
name = "a"
length = 3000
internal = {0}
[[wall]]
name = "b"
length = 2600
internal = 90
[[wall]]
name = "c"
length = 3000
[[wall]]
name = "d"
length = 2600
[[trim]]
name = "board"
profile = "batten"
size = {{ drop = 60, projection = 45 }}
back = "wall"
bottom = 2000
joints = {{ internal = "mitre" }}
[clearance]
pipe = 0
fitting = 0
"""

WEIGHT = 1e6
"""Of the two sums against lengths in mm."""


def apart(a: Points, b: Points) -> float:
    """Least distance of the hulls of two sets of points, moved to their middle so that the numbers stay small."""
    middle = (a.mean(axis=0) + b.mean(axis=0)) / 2
    columns = np.vstack([(a - middle).T, np.zeros((2, len(a)))])
    columns[3] = WEIGHT
    others = np.vstack([-(b - middle).T, np.zeros((2, len(b)))])
    others[4] = WEIGHT
    found, _ = nnls(np.hstack([columns, others]), np.array([0.0, 0.0, 0.0, WEIGHT, WEIGHT]), maxiter=10_000)
    x, y = found[: len(a)], found[len(a) :]
    return float(np.linalg.norm(a.T @ x / x.sum() - b.T @ y / y.sum()))


def by_hulls(mesh: Points, way: Obstacle) -> float:
    return min(
        apart(mesh, np.array([part.start, part.end])) - part.radius
        if isinstance(part, Rod) and not (part.round_start or part.round_end) and long(part)
        else apart(mesh, hull_points(part))
        for part in way.parts
    )


def long(rod: Rod) -> bool:
    """True for a pipe whose ends are far above and below the trim, so that they do not matter."""
    return bool(abs(rod.start[2] - rod.end[2]) > 2000)


@pytest.mark.parametrize(
    ("a", "b", "distance"),
    [
        ([(0, 0, 0), (10, 0, 0)], [(5, 3, 4)], 5.0),
        ([(0, 0, 0), (10, 0, 0)], [(5, 8, -9), (5, 8, 9)], 8.0),
        ([(0, 0, 0), (0, 2, 0), (2, 0, 0), (0, 0, 2)], [(9, 9, 9), (2, 2, 2)], 4 / math.sqrt(3)),
    ],
)
def test_the_other_way_itself(a: list[tuple[float, ...]], b: list[tuple[float, ...]], distance: float) -> None:
    """A point and a line, two lines square to each other, and a corner before the plane x + y + z = 2."""
    assert apart(np.array(a, dtype=float), np.array(b, dtype=float)) == pytest.approx(distance, abs=1e-6)


@settings(max_examples=25)
@given(
    st.floats(86, 94),
    st.lists(
        st.tuples(st.integers(0, 2500), st.integers(20, 90), st.integers(1900, 2130), st.integers(5, 150)),
        min_size=1,
        max_size=3,
    ),
    st.integers(150, 2400),
    st.integers(60, 130),
)
def test_random_scenes(
    project_of: Callable[[str], Project],
    corner: float,
    boxes: list[tuple[int, int, int, int]],
    left: int,
    out: int,
) -> None:
    """Boxes on two walls and an upright pipe before the board, near it, touching it or in it."""
    text = ROOM.format(round(corner, 2))
    text += f'[[pipe]]\nwall = "b"\nname = "p"\nfrom_left = {left}\nout = {out}\ndiameter = 22\n'
    for number, (station, size, bottom, deep) in enumerate(boxes):
        text += f'[[fitting]]\nwall = "{"ad"[number % 2]}"\nname = "box {number}"\nfrom_left = {min(station, 2400)}\n'
        text += f"width = {size}\nbottom = {bottom}\ntop = {bottom + size}\nout = {deep + 5}\nback = {min(deep, 100)}\n"
    try:
        project = project_of(text)
        done = set_out(project)
    except TrimwrightError:
        return
    meshes = piece_meshes(done)
    ways = {way.name: way for way in obstacles(done.room, project.clearance)}
    lines: dict[tuple[str, str], Clearance] = {
        (line.piece, line.obstacle): line for line in clearances(done, meshes, project.clearance)
    }
    for piece in done.pieces:
        if piece.cuts:
            continue  # a slot makes it hollow
        for name, way in ways.items():
            distance, line = by_hulls(meshes[piece.id].vertices, way), lines.get((piece.id, name))
            if line is None:
                assert distance > NEAR - 0.01
            elif distance > 0.01:
                assert line.actual == pytest.approx(distance, abs=0.01)
            else:
                assert line.actual <= 0.01
