"""Housings for fittings that are let in: volumes against closed forms, and what is refused."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from box_rooms import four_walls
from trimwright.clearance.clearance import clashes
from trimwright.clearance.gaps import clearances
from trimwright.errors import RoomFileError
from trimwright.mesh.piece import piece_meshes
from trimwright.project.project import Project
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out
from trimwright.setout.volume import swept_volume
from trimwright.solid.bent import exact_volume
from trimwright.solid.build import piece_solid
from trimwright.tolerance import WEB

WALLS = four_walls()
BATTEN = (
    '[[trim]]\nname = "batten"\nprofile = "batten"\nsize = { drop = 100, projection = 60 }\n'
    'back = "wall"\nbottom = 2000\n'
)
BENT = 'curve = "bent"\nmaterial = "hardwood"\n'
MITRED = 'joints = { internal = "mitre" }\n'
GAP = 5


def track(left: float, width: float, bottom: float, top: float, out: float, let_in: str = "true") -> str:
    return (
        f'[[fitting]]\nwall = "north"\nname = "track"\nfrom_left = {left}\nwidth = {width}\nbottom = {bottom}\n'
        f"top = {top}\nout = {out}\nlet_in = {let_in}\n"
    )


def room(fitting: str, trim: str = BATTEN, walls: str = WALLS, ceiling: str = "2500") -> str:
    return f'format = 1\n[room]\nname = "Den"\nceiling = {ceiling}\n{walls}{fitting}{trim}'


def cut_away(done: SetOut, number: int = 0) -> tuple[float, float]:
    """What is missing of a piece, of its mesh and of its solid, mm³."""
    piece = done.pieces[number]
    whole = swept_volume(piece)
    return whole - piece_meshes(done)[piece.id].volume, whole - exact_volume(piece_solid(piece, done))


@pytest.mark.parametrize(
    ("bottom", "top", "high"),
    [
        (2030, 2060, 40),  # within the section
        (1980, 2020, 25),  # from below
        (2010, 2030, 35),  # 5 would be left below it: taken off to the edge
        (2070, 2090, 35),  # and above
        (1950, 2300, 100),  # right through
    ],
)
def test_a_box_is_let_in(set_out_of: Callable[[str], SetOut], bottom: float, top: float, high: float) -> None:
    """300 wide and 30 deep, with 5 all round it: 310 by 35 in plan, as high as lies in the section."""
    done = set_out_of(room(track(1000, 300, bottom, top, 30)))
    (housing,) = done.pieces[0].housings
    assert (housing.station, housing.width, housing.depth, housing.opens) == pytest.approx((1150, 310, 35, "back"))
    assert cut_away(done) == pytest.approx((310 * 35 * high, 310 * 35 * high), rel=1e-9)
    assert not done.notes


def test_a_box_in_the_corner(set_out_of: Callable[[str], SetOut]) -> None:
    """The piece on its wall begins on the mitre: of 305 by 35 it has all but the half square before it, which the tip
    of the next piece has."""
    done = set_out_of(room(track(0, 300, 2030, 2060, 30), BATTEN + MITRED))
    tip = 35**2 / 2 * 40
    assert cut_away(done) == pytest.approx((305 * 35 * 40 - tip,) * 2, rel=1e-9)
    assert cut_away(done, 3) == pytest.approx((tip, tip), rel=1e-6)
    (housing,) = done.pieces[3].housings
    assert (housing.opens, housing.depth) == ("right", pytest.approx(35))


def test_a_box_at_a_free_end_goes_through_the_return(set_out_of: Callable[[str], SetOut]) -> None:
    """The return is as long at each distance out as lies before the mitre: 60 less it."""
    ends = 'joints = { internal = "mitre", end = "return" }\nleave_out = [{ wall = "north", from = 1500, to = 2000 }]\n'
    done = set_out_of(room(track(1300, 300, 2030, 2060, 30), BATTEN + ends))
    (number,) = [k for k, piece in enumerate(done.pieces) if piece.is_return and piece.housings]
    expected = (60 * 35 - 35**2 / 2) * 40
    assert cut_away(done, number) == pytest.approx((expected, expected), rel=1e-6)


@pytest.mark.parametrize("bow", ["in", "out"])
def test_a_box_follows_a_bent_piece(set_out_of: Callable[[str], SetOut], bow: str) -> None:
    """Pappus and Guldin: its section times the way of the middle of it; the gap beside it is whole at its front too."""
    walls = WALLS.replace("length = 4000\n", f'length = 4000\nradius = 4000\nbow = "{bow}"\n', 1)
    done = set_out_of(room(track(1000, 900, 2030, 2060, 30), BATTEN + 'curve = "bent"\nmaterial = "hardwood"\n', walls))
    bend = done.pieces[0].bend
    assert bend is not None
    beside = GAP / min(1.0, bend.scale(30))
    expected = 40 * 35 * (900 + 2 * beside) * bend.scale(17.5)
    mesh, solid = cut_away(done)
    assert solid == pytest.approx(expected, rel=1e-6)
    assert mesh == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize(
    ("out", "said"),
    [(50, f"leave a web of 5.0 before it, and {WEB:g} is the least"), (70, "break its face")],
)
def test_what_would_show_is_refused(project_of: Callable[[str], Project], out: float, said: str) -> None:
    project = project_of(room(track(1000, 300, 2030, 2060, out)))
    done = set_out(project)
    assert done.notes == (f"batten on north: track is not let in, since that would {said}",)
    assert not done.pieces[0].housings
    assert clashes(clearances(done, piece_meshes(done), project.clearance))


def test_it_is_let_into_the_trims_named_alone(set_out_of: Callable[[str], SetOut]) -> None:
    second = BATTEN.replace('"batten"\np', '"upper"\np').replace("2000", "2100")
    done = set_out_of(room(track(1000, 300, 2080, 2120, 30, '["upper"]'), BATTEN + second))
    assert {piece.trim.name for piece in done.pieces if piece.housings} == {"upper"}


def test_an_unknown_trim_is_told_with_the_one_that_was_meant(project_of: Callable[[str], Project]) -> None:
    with pytest.raises(RoomFileError, match="'track', let_in: there is no trim 'baten'; did you mean 'batten'"):
        project_of(room(track(1000, 300, 2080, 2120, 30, '["baten"]')))


CASES = st.tuples(
    st.integers(0, 3700), st.integers(20, 300), st.integers(1900, 2090), st.integers(5, 250), st.integers(5, 47)
)


@settings(max_examples=25)
@given(
    CASES, st.sampled_from(["", MITRED, 'curve = "bent"\nmaterial = "hardwood"\n']), st.sampled_from(["", "in", "out"])
)
def test_what_is_let_in_is_clear(
    project_of: Callable[[str], Project], case: tuple[int, int, int, int, int], more: str, bow: str
) -> None:
    """Wherever a box that leaves a web lies, all trim keeps its gap; on the curve the segments stand off the wall."""
    left, width, bottom, height, out = case
    arc = f'length = 4000\nradius = 5000\nbow = "{bow}"\n'
    walls = WALLS.replace("length = 4000\n", arc, 1) if bow else WALLS
    project = project_of(room(track(left, width, bottom, bottom + height, min(out, 44)), BATTEN + more, walls))
    done = set_out(project)
    meshes = piece_meshes(done)
    assert not clashes(clearances(done, meshes, project.clearance))
    assert all(mesh.closed for mesh in meshes.values())
