"""Cards of pieces that follow a sloping ceiling: their ends stay plumb, so every cut leans on the saw."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from box_rooms import four_walls
from trimwright.mesh.piece import piece_meshes
from trimwright.project.models import SawTable
from trimwright.saw.plane import plane_of
from trimwright.saw.proof import prove, prove_all
from trimwright.saw.settings import settings, ways
from trimwright.setout.piece import SetOut, Side

WALLS = four_walls()


def sloping(ceiling: str, walls: str, joint: str = "mitre") -> str:
    return (
        f'format = 1\n[room]\nname = "Loft"\nceiling = {ceiling}\n{WALLS}'
        f'[[trim]]\nname = "cornice"\nprofile = "cove"\nback = "wall"\ntop = "ceiling"\nfollow = "ceiling"\n'
        f'walls = {walls}\njoints = {{ internal = "{joint}" }}\n'
    )


@pytest.mark.parametrize(
    ("ceiling", "walls"), [("[2400, 2400, 3000, 3000]", '["east"]'), ("[2400, 2400, 2412, 2409]", '"all"')]
)
def test_the_body_turned_level_ends_on_the_planes(
    ceiling: str, walls: str, set_out_of: Callable[[str], SetOut]
) -> None:
    """Independent of the formula: every corner of the body, turned back by the slope, lies on one of the two planes."""
    done = set_out_of(sloping(ceiling, walls))
    meshes = piece_meshes(done)
    sloped = [piece for piece in done.pieces if piece.incline is not None]
    assert sloped
    for piece in sloped:
        assert piece.incline is not None
        angle = math.atan(piece.incline.rise)
        pivot, lift = piece.incline.pivot, piece.incline.lift
        left, right = plane_of(piece, Side.LEFT), plane_of(piece, Side.RIGHT)
        for x, y, z in meshes[piece.id].vertices:
            station, out = piece.frame.locate((float(x), float(y)))
            up = float(z) - pivot - lift
            along = station * math.cos(angle) + up * math.sin(angle)
            point = (out, pivot + up * math.cos(angle) - station * math.sin(angle))
            assert min(abs(along - left.at(point)), abs(along - right.at(point))) < 1e-6


def test_every_way_is_proven(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(sloping("[2400, 2400, 2460, 2460]", '["east"]'))
    prove_all(done.pieces, settings(done.pieces, SawTable()))
    for piece in done.pieces:
        for side in Side:
            for setting in ways(piece, side):
                assert prove(piece, setting).difference < 1e-6


def test_a_plumb_square_end_leans_by_the_slope(set_out_of: Callable[[str], SetOut]) -> None:
    """Closed form: nested, a square end on a slope t is cut with the arm square and the blade leaning t."""
    done = set_out_of(sloping("[2400, 2400, 3000, 3000]", '["east"]'))
    (east,) = done.pieces
    for side in Side:
        nested = ways(east, side)[0]
        assert nested.mitre == pytest.approx(0, abs=1e-9)
        assert nested.bevel == pytest.approx(math.degrees(math.atan(600 / 3000)))
        assert nested.long == pytest.approx(east.length)
