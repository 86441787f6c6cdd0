"""Grooves for pipes that lie or slant: volumes against closed forms and quadrature, in the mesh and in the solid."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy.integrate import quad

from trimwright.clearance.gaps import clashes, clearances
from trimwright.mesh.piece import piece_meshes
from trimwright.project.project import Project
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out
from trimwright.setout.volume import swept_volume
from trimwright.solid.build import piece_solid

WALLS = "".join(
    f'[[wall]]\nname = "{name}"\nlength = {length}\ninternal = 90\n'
    for name, length in (("north", 4000), ("east", 3000), ("south", 4000), ("west", 3000))
)
BATTEN = (
    '[[trim]]\nname = "batten"\nprofile = "batten"\nsize = { drop = 100, projection = 60 }\n'
    'back = "wall"\nbottom = 2000\n'
)
RADIUS = 7.5 + 3
"""Of a pipe of 15 and 3 all round it."""


def room(pipe: str) -> str:
    head = 'format = 1\n[room]\nname = "Den"\nceiling = 2500\n'
    return f'{head}{WALLS}[[pipe]]\nwall = "north"\nname = "gas"\ndiameter = 15\n{pipe}\n{BATTEN}'


def cut_away(done: SetOut) -> tuple[float, float]:
    piece = done.pieces[0]
    whole = swept_volume(piece)
    return whole - piece_meshes(done)[piece.id].volume, whole - piece_solid(piece, done).Volume()


def test_a_pipe_along_the_trim(set_out_of: Callable[[str], SetOut]) -> None:
    """Level, 20 out, 800 long: the groove runs a radius past each end; its section is 2 r a + pi r²/2."""
    done = set_out_of(room('direction = "horizontal"\nheight = 2050\nout = 20\nfrom = 1000\nto = 1800'))
    (groove,) = done.pieces[0].grooves
    assert groove.depth == pytest.approx(20 + RADIUS)
    expected = (2 * RADIUS * 20 + math.pi * RADIUS**2 / 2) * (800 + 2 * RADIUS)
    mesh, solid = cut_away(done)
    assert solid == pytest.approx(expected, rel=1e-6)
    assert mesh == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("across", [30, 90])
def test_a_pipe_that_slants_across(set_out_of: Callable[[str], SetOut], across: float) -> None:
    """A level cut through a slot in the plane of the wall is a U as wide as 1 / sin of its slope makes it: its area
    by quadrature over the distance out (scipy), the same at every height."""
    rise = 600.0
    run = rise * across / 100
    done = set_out_of(room(f"points = [[1000, 20, 1750], [{1000 + run}, 20, {1750 + rise}]]"))
    slope = math.atan2(rise, run)
    area = quad(lambda out: 2 * math.sqrt(max(0.0, RADIUS**2 - max(0.0, out - 20) ** 2)), 0, 20 + RADIUS)[0]
    mesh, solid = cut_away(done)
    assert solid == pytest.approx(area / math.sin(slope) * 100, rel=1e-6)
    assert mesh == pytest.approx(area / math.sin(slope) * 100, rel=1e-3)


@pytest.mark.parametrize(
    "pipe",
    [
        'direction = "horizontal"\nheight = 2050\nout = 20\nfrom = 1000\nto = 1800',
        "points = [[1000, 20, 1750], [1300, 20, 2350]]",
        "points = [[600, 25, 2500], [600, 25, 2050], [1400, 25, 2050], [1400, 30, 1500]]",
    ],
)
def test_what_is_grooved_is_clear(project_of: Callable[[str], Project], pipe: str) -> None:
    project = project_of(room(pipe))
    done = set_out(project)
    found = clearances(done, piece_meshes(done), project.clearance)
    assert found
    assert not clashes(found)
    assert min(line.actual for line in found) == pytest.approx(3, abs=0.05)


def test_a_face_is_not_broken_through(set_out_of: Callable[[str], SetOut]) -> None:
    """45 out and 10.5 round it would leave 4.5 of 60: less than a web."""
    done = set_out_of(room('direction = "horizontal"\nheight = 2050\nout = 45'))
    assert not done.pieces[0].grooves
