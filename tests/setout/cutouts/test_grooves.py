"""Grooves for pipes that lie or slant: volumes against closed forms and quadrature, in the mesh and in the solid."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy.integrate import dblquad, quad

from box_rooms import four_walls
from trimwright.clearance.clearance import clashes
from trimwright.clearance.gaps import clearances
from trimwright.mesh.piece import piece_meshes
from trimwright.project.project import Project
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out
from trimwright.setout.volume import swept_volume
from trimwright.solid.bent import exact_volume
from trimwright.solid.build import piece_solid

WALLS = four_walls()
BATTEN = (
    '[[trim]]\nname = "batten"\nprofile = "batten"\nsize = { drop = 100, projection = 60 }\n'
    'back = "wall"\nbottom = 2000\n'
)
RADIUS = 7.5 + 3
"""Of a pipe of 15 and 3 all round it."""


SECTION = 2 * RADIUS * 20 + math.pi * RADIUS**2 / 2
"""Area of a groove 20 out: a half circle carried straight to the wall."""

ROUND = 20 * RADIUS**2 / 2 + RADIUS**3 / 3
"""Of its round end, for each radian that it is turned: the quarter of a ball carried to the wall over a sector."""

ALONG = 'direction = "horizontal"\nheight = 2050\nout = 20\n'
MITRED = 'joints = { internal = "mitre" }\n'


def room(pipe: str, walls: str = WALLS, ceiling: str = "2500", trim: str = BATTEN) -> str:
    head = f'format = 1\n[room]\nname = "Den"\nceiling = {ceiling}\n'
    return f'{head}{walls}[[pipe]]\nwall = "north"\nname = "gas"\ndiameter = 15\n{pipe}\n{trim}'


def cut_away(done: SetOut, number: int = 0) -> tuple[float, float]:
    """What is missing of a piece, of its mesh and of its solid, mm³."""
    piece = done.pieces[number]
    whole = swept_volume(piece)
    return whole - piece_meshes(done)[piece.id].volume, whole - exact_volume(piece_solid(piece, done))


def test_a_pipe_along_the_trim(set_out_of: Callable[[str], SetOut]) -> None:
    """Level, 20 out, 800 long, and a half turn of the round end at both ends."""
    done = set_out_of(room(f"{ALONG}from = 1000\nto = 1800"))
    (groove,) = done.pieces[0].grooves
    assert (groove.depth, groove.station) == pytest.approx((20 + RADIUS, 1400))
    expected = SECTION * 800 + 2 * math.pi * ROUND
    mesh, solid = cut_away(done)
    assert solid == pytest.approx(expected, rel=1e-6)
    assert mesh == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("turn", [20, 50, 85])
def test_a_pipe_that_bends_within_the_trim(set_out_of: Callable[[str], SetOut], turn: int) -> None:
    """On the outer side of a bend by an angle t the round end is turned by t. On the inner side two bars share
    (r² a + 2 r³ / 3) tan(t / 2): twice the integral of a + sqrt(r² - u²) over half a kite, u from one of the axes."""
    along, rise = (200 * f(math.radians(turn)) for f in (math.cos, math.sin))
    points = [[1000, 20, 2015], [1300, 20, 2015], [1300 + along, 20, 2015 + rise]]
    tall = BATTEN.replace("drop = 100", "drop = 300")
    done = set_out_of(room(f"points = {points}", trim=tall))
    (groove,) = done.pieces[0].grooves
    assert len(groove.axis) == 3
    shared = (20 * RADIUS**2 + 2 * RADIUS**3 / 3) * math.tan(math.radians(turn) / 2)
    expected = SECTION * 500 + (2 * math.pi + math.radians(turn)) * ROUND - shared
    mesh, solid = cut_away(done)
    assert solid == pytest.approx(expected, rel=1e-6)
    assert mesh == pytest.approx(expected, rel=1e-3)


def test_pieces_round_the_corner_are_cut_where_their_tips_reach_over(set_out_of: Callable[[str], SetOut]) -> None:
    """The tip of a mitred piece of the next wall lies before the pipe as far as it is out: over half a square,
    (a + sqrt(r² - h²))² / 2, which summed over the heights h is a² r + a pi r² / 2 + 2 r³ / 3."""
    done = set_out_of(room(ALONG, trim=BATTEN + MITRED))
    expected = 400 * RADIUS + 20 * math.pi * RADIUS**2 / 2 + 2 * RADIUS**3 / 3
    for number, side in ((1, "left"), (3, "right")):
        (groove,) = done.pieces[number].grooves
        assert (groove.opens, groove.depth) == (side, pytest.approx(20 + RADIUS))
        mesh, solid = cut_away(done, number)
        assert solid == pytest.approx(expected, rel=1e-5)
        assert mesh == pytest.approx(expected, rel=1e-3)
    assert not done.pieces[2].grooves


def test_a_return_is_cut_with_the_piece_it_closes(set_out_of: Callable[[str], SetOut]) -> None:
    """From its mitre to its face the groove goes through a return: its length there is what is before the mitre,
    60 less the distance out, so that its volume is that of the wall's groove less the tip of one round a corner."""
    ends = 'joints = { internal = "mitre", end = "return" }\nleave_out = [{ wall = "north", from = 1500, to = 2000 }]\n'
    done = set_out_of(room(ALONG, trim=BATTEN + ends))
    returns = [k for k, piece in enumerate(done.pieces) if piece.is_return]
    tip = 400 * RADIUS + 20 * math.pi * RADIUS**2 / 2 + 2 * RADIUS**3 / 3
    assert [done.pieces[k].grooves[0].opens for k in returns] == ["right", "left"]
    for k in returns:
        mesh, solid = cut_away(done, k)
        assert solid == pytest.approx(60 * SECTION - tip, rel=1e-5)
        assert mesh == pytest.approx(60 * SECTION - tip, rel=1e-3)


def test_a_level_pipe_in_a_trim_that_follows_a_slope(set_out_of: Callable[[str], SetOut]) -> None:
    """Its back is upright all the same: what is cut from it is as in a level one."""
    under = BATTEN.replace("bottom = 2000", 'top = "ceiling"\nfollow = "ceiling"\njoints = { internal = "square" }')
    pipe = ALONG.replace("2050", "2470")
    done = set_out_of(room(f"{pipe}from = 1500\nto = 2300", ceiling="[2500, 2560, 2540, 2500]", trim=under))
    assert done.pieces[0].incline is not None
    expected = SECTION * 800 + 2 * math.pi * ROUND
    mesh, solid = cut_away(done)
    assert solid == pytest.approx(expected, rel=1e-6)
    assert mesh == pytest.approx(expected, rel=1e-3)


CURVED = WALLS.replace("length = 4000\n", 'length = 4000\nradius = 4000\nbow = "BOW"\n', 1)
BENT = 'curve = "bent"\nmaterial = "hardwood"\n'


@pytest.mark.parametrize("bow", ["in", "out"])
def test_a_pipe_follows_a_bent_piece(set_out_of: Callable[[str], SetOut], bow: str) -> None:
    """Pappus and Guldin: the section of the groove times the way of its centroid, which lies between the wall and the
    axis and 4 r / 3 pi beyond it; the round ends as on a straight wall, to their width over the radius."""
    done = set_out_of(room(f"{ALONG}from = 1000\nto = 3000", walls=CURVED.replace("BOW", bow), trim=BATTEN + BENT))
    middle = (2 * RADIUS * 20 * 10 + math.pi * RADIUS**2 / 2 * (20 + 4 * RADIUS / 3 / math.pi)) / SECTION
    bend = done.pieces[0].bend
    assert bend is not None
    expected = SECTION * 2000 * bend.scale(middle) + 2 * math.pi * ROUND
    mesh, solid = cut_away(done)
    assert solid == pytest.approx(expected, rel=2e-5)
    assert mesh == pytest.approx(expected, rel=2e-3)


def test_a_pipe_follows_a_wall_of_straight_segments(set_out_of: Callable[[str], SetOut]) -> None:
    """What the ring takes from a segment, by quadrature over its section (scipy): at each (out, height) all that is
    farther from the centre than the bottom of the groove, up to the mitres."""
    done = set_out_of(room(f"{ALONG}from = 1500\nto = 2500", walls=CURVED.replace("BOW", "out"), trim=BATTEN))
    number = 6
    piece, bend = done.pieces[number], done.room.walls[0].bend
    assert bend is not None
    assert (piece.bend, piece.left.seam, piece.right.seam) == (None, True, True)
    station, centre = piece.frame.locate(bend.centre)

    def lost(out: float, height: float) -> float:
        inner = bend.radius - 20 - math.sqrt(RADIUS**2 - (height - 2050) ** 2)
        half = math.sqrt(max(0.0, inner**2 - (centre - out) ** 2))
        left, right = station - piece.left.at(out), piece.right.at(out) - station
        return max(0.0, left - half) + max(0.0, right - half)

    deepest = piece.grooves[0].depth
    expected = dblquad(lost, 2050 - RADIUS, 2050 + RADIUS, 0, deepest, epsrel=1e-6)[0]
    mesh, solid = cut_away(done, number)
    assert solid == pytest.approx(expected, rel=1e-4)
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


PIPES = [
    f"{ALONG}from = 1000\nto = 1800",
    ALONG,
    "points = [[1000, 20, 1750], [1300, 20, 2350]]",
    "points = [[600, 25, 2500], [600, 25, 2050], [1400, 25, 2050], [1400, 30, 1500]]",
    "points = [[600, 20, 2060], [1500, 25, 2040]]",
]
BAY = "".join(
    f'[[wall]]\nname = "{name}"\nlength = {length}\ninternal = {corner}\n'
    for name, length, corner in (("north", 3000, 135), ("a", 1500, 135), ("b", 3000, 90), ("c", 4060.66, 90))
)
BAY += '[[wall]]\nname = "d"\nlength = 4060.66\ninternal = 90\n'


@pytest.mark.parametrize("pipe", PIPES)
@pytest.mark.parametrize(
    ("walls", "trim"),
    [
        (WALLS, BATTEN),
        (WALLS, BATTEN + 'joints = { internal = "cope" }\n'),
        (BAY, BATTEN + MITRED),
        (CURVED.replace("BOW", "in"), BATTEN),
        (CURVED.replace("BOW", "out"), BATTEN + BENT),
    ],
)
def test_what_is_grooved_is_clear(project_of: Callable[[str], Project], pipe: str, walls: str, trim: str) -> None:
    project = project_of(room(pipe, walls=walls, trim=trim))
    done = set_out(project)
    meshes = piece_meshes(done)
    found = clearances(done, meshes, project.clearance)
    assert not clashes(found)
    assert min(line.actual for line in found) == pytest.approx(3, abs=0.05)
    assert all(meshes[piece.id].closed for piece in done.pieces)


def test_a_face_is_not_broken_through(set_out_of: Callable[[str], SetOut]) -> None:
    """45 out and 10.5 round it would leave 4.5 of 60: less than a web."""
    done = set_out_of(room('direction = "horizontal"\nheight = 2050\nout = 45'))
    assert not any(piece.grooves for piece in done.pieces)


def test_a_piece_that_nothing_covers_is_not_cut_across(set_out_of: Callable[[str], SetOut]) -> None:
    """A trim on the next wall alone: the pipe would come out through its face."""
    done = set_out_of(room(ALONG, trim=BATTEN + 'walls = ["east"]\n'))
    assert not any(piece.grooves for piece in done.pieces)
