"""What is too short for its joints beside a casing is left out, and the trim on the next wall ends at the casing."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from box_rooms import four_walls
from trimwright.clearance.clearance import clashes
from trimwright.clearance.gaps import clearances
from trimwright.mesh.piece import piece_meshes
from trimwright.profile.outline import Bounds
from trimwright.project.project import Project
from trimwright.room import Corner
from trimwright.setout.ends import square_to_casing
from trimwright.setout.piece import Piece, SetOut
from trimwright.setout.set_out import set_out


def room(openings: str, joints: str, corner: float = 90) -> str:
    return (
        f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{four_walls(internal=corner)}{openings}[[trim]]\n'
        'name = "rail"\nprofile = "batten"\nsize = { drop = 45, projection = 20 }\nback = "wall"\nbottom = 1900\n'
        f"joints = {{ {joints} }}\n"
    )


def door(casing_from: float, name: str = "door", width: float = 800, wall: str = "north") -> str:
    return (
        f'[[opening]]\nwall = "{wall}"\nkind = "door"\nname = "{name}"\nfrom_left = {casing_from + 70}\n'
        f"width = {width}\nsill = 0\nhead = 2000\narchitrave = 70\ncasing = 15\n"
    )


def on(done: SetOut, wall: int) -> list[Piece]:
    return [p for p in done.pieces if p.wall == wall and not p.is_return]


@pytest.mark.parametrize("casing", [0, 0.5, 5, 14, 19.9, 20, 22.9, 23.1, 30, 39, 41, 43.1, 60])
@pytest.mark.parametrize("internal", ["cope", "mitre", "square"])
@pytest.mark.parametrize("end", ["return", "square"])
def test_a_casing_near_a_corner(project_of: Callable[[str], Project], casing: float, internal: str, end: str) -> None:
    """A stub takes a mate of 20 and a return of 20, a mitred one with a return no more than 20, and 3 to hold on to.

    Where there is none the rail on the next wall runs up to the casing if that stands before its end.
    """
    project = project_of(room(door(casing), f'internal = "{internal}", end = "{end}"'))
    done = set_out(project)
    least = 23 if internal == "mitre" or end == "square" else 43
    stubs = [p for p in on(done, 0) if p.right.station < 1000]
    assert len(stubs) == (casing >= least)
    (beside,) = on(done, 3)
    ends_at = 15 if casing < 20 else 0
    if not stubs:
        assert beside.right.at(0) == beside.right.at(20) == pytest.approx(3000 - ends_at)
    said = () if stubs or not casing else (f"rail on north: left out between the corner and door: {casing:g} wide,",)
    assert len(done.notes) == len(said)
    assert all(note.startswith(start) for note, start in zip(done.notes, said, strict=True))
    assert not clashes(clearances(done, piece_meshes(done), project.clearance))


@pytest.mark.parametrize("corner", [70, 110])
@pytest.mark.parametrize("casing", [1, 10, 18, 22, 26, 35, 45, 60])
@pytest.mark.parametrize("internal", ["cope", "mitre", "square"])
def test_in_a_corner_out_of_square(
    project_of: Callable[[str], Project], casing: float, corner: float, internal: str
) -> None:
    """Whatever the corner: nothing is refused, and nothing lies in the casing."""
    project = project_of(room(door(casing), f'internal = "{internal}", end = "return"', corner))
    done = set_out(project)
    assert not clashes(clearances(done, piece_meshes(done), project.clearance))


@pytest.mark.parametrize("here", [0, 10, 30, 42])
@pytest.mark.parametrize("there", [0, 10, 30, 42, 60])
@pytest.mark.parametrize("internal", ["cope", "mitre"])
def test_two_casings_in_one_corner(
    project_of: Callable[[str], Project], here: float, there: float, internal: str
) -> None:
    """Where one stub is left out the other has no mate: it stops at the casing beside it or is left out."""
    doors = door(here) + door(3000 - 940 - there, "other", wall="west")
    project = project_of(room(doors, f'internal = "{internal}", end = "return"'))
    done = set_out(project)
    assert not clashes(clearances(done, piece_meshes(done), project.clearance))
    north, west = (
        [p for p in on(done, wall) if low < p.left.station < high]
        for wall, low, high in ((0, -1, 100), (3, 2900, 3001))
    )
    assert not north or here >= 23
    assert not west or there >= 23
    assert all(p.length >= 23 for p in (*north, *west))


@pytest.mark.parametrize(("apart", "pieces"), [(0, 0), (10, 0), (42, 0), (44, 1)])
def test_between_two_casings(set_out_of: Callable[[str], SetOut], apart: float, pieces: int) -> None:
    """Two returns of 20 and 3 between them."""
    two = door(1000, "door") + door(1000 + 940 + apart, "hatch")
    done = set_out_of(room(two, 'internal = "cope", end = "return"'))
    assert len([p for p in on(done, 0) if 1900 < p.left.station < 2000]) == pieces
    said = "rail on north: left out between door and hatch"
    assert [note for note in done.notes if note.startswith(said)] == (
        [f"{said}: {apart:g} wide, and its joints take 43"] if apart and not pieces else []
    )


@pytest.mark.parametrize("corner", [91, 100, 120, 135, 150, 170, 178])
@pytest.mark.parametrize("away", [0, 3, 10, 25])
def test_square_into_a_blunt_corner_with_a_casing(corner: float, away: float) -> None:
    """The cut nearest the corner whose face stays out of the casing; both drawn in plan with shapely."""
    from shapely import Polygon, affinity, box

    front, casing = 20.0, 15.0
    met = affinity.rotate(box(away, 0, 200, casing), 180 - corner, origin=(0, 0))  # the other wall bears away upwards
    edges = Bounds(back=0, bottom=0, front=front, top=45)
    stop = square_to_casing(Corner(left=0, right=1, angle=corner, plan=(0, 0)), edges, away, casing).fixed

    def shared(setback: float) -> float:
        return float(Polygon([(-300, 0), (-setback, 0), (-setback, front), (-300, front)]).intersection(met).area)

    assert 0 <= stop <= casing
    assert shared(stop) < 1e-6
    assert stop == 0 or shared(stop - 0.1) > 1e-5
