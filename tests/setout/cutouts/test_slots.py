"""Slots for one pipe or two: what is cut away against closed forms, in the mesh and in the solid alike."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, box, unary_union

from box_rooms import four_walls
from trimwright.mesh.piece import piece_meshes
from trimwright.setout.piece import SetOut
from trimwright.setout.volume import swept_volume
from trimwright.solid.bent import exact_volume
from trimwright.solid.build import piece_solid

WALLS = four_walls()
BATTEN = (
    '[[trim]]\nname = "batten"\nprofile = "batten"\nsize = { drop = 50, projection = 90 }\n'
    'back = "wall"\nbottom = 2000\n'
)


def pipe(name: str, left: float, out: float = 40, diameter: float = 22, more: str = "") -> str:
    return (
        f'[[pipe]]\nwall = "north"\nname = "{name}"\nfrom_left = {left}\nout = {out}\ndiameter = {diameter}\n{more}\n'
    )


def room(*pipes: str, trim: str = BATTEN) -> str:
    return f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{WALLS}{"".join(pipes)}{trim}'


def cut_away(done: SetOut) -> tuple[float, float]:
    """Volume that the notches take from the first piece: of its mesh, and of its solid."""
    piece = done.pieces[0]
    whole = swept_volume(piece)
    return whole - piece_meshes(done)[piece.id].volume, whole - piece_solid(piece, done).Volume()


@settings(max_examples=10)
@given(st.integers(30, 200), st.integers(15, 55), st.integers(12, 40))
def test_pipes_close_together_share_a_slot(
    set_out_of: Callable[[str], SetOut], apart: int, out: int, diameter: int
) -> None:
    """A tongue of less than 12 would break off. One slot: w a + pi r²/2 + s r, for its width w, the distance a from the
    back to the centres, their spread s and radius r = d/2 + 3; two slots: the same twice with no spread."""
    if out < diameter / 2:
        return
    done = set_out_of(room(pipe("a", 1000, out, diameter), pipe("b", 1000 + apart, out, diameter)))
    r = diameter / 2 + 3
    if out + r > 90 - 8 or apart < diameter:
        return
    notches = done.pieces[0].notches
    if apart - 2 * r < 12:
        (notch,) = notches
        assert (notch.pipes, notch.width, notch.station) == (("a", "b"), 2 * r + apart, 1000 + apart / 2)
        area = notch.width * out + math.pi * r * r / 2 + apart * r
    else:
        assert [n.pipes for n in notches] == [("a",), ("b",)]
        area = 2 * (2 * r * out + math.pi * r * r / 2)
    mesh, solid = cut_away(done)
    assert solid == pytest.approx(area * 50, rel=1e-6)
    assert mesh == pytest.approx(area * 50, rel=1e-3)


def test_a_shared_slot_holds_the_larger_and_the_deeper_pipe(set_out_of: Callable[[str], SetOut]) -> None:
    """Radii 14 and 9 with 3 round each, the thinner one 10 further out: both circles lie in the one slot."""
    (notch,) = set_out_of(room(pipe("a", 1000, 40, 22), pipe("b", 1032, 50, 12))).pieces[0].notches
    for station, out, radius in ((1000, 40, 14), (1032, 50, 9)):
        left, right = notch.sides
        assert left <= station - radius
        assert right >= station + radius
        assert notch.depth >= out + radius
        centre = min(
            (notch.station - notch.spread / 2, notch.station + notch.spread / 2), key=lambda s: abs(s - station)
        )
        if out > notch.out:
            assert math.dist((centre, notch.out), (station, out)) + radius <= notch.radius + 1e-9


def test_no_joint_falls_at_a_pipe(set_out_of: Callable[[str], SetOut]) -> None:
    """An even division of 4000 in stock of 2400 would join at 2000, where the pipe is: 300 are kept."""
    stock = BATTEN + "stock = [{ length = 2400 }]\n"
    at = set_out_of(room(trim=stock)).pieces[0].right.station
    done = set_out_of(room(pipe("a", at), trim=stock))
    moved = done.pieces[0].right.station
    assert abs(moved - at) >= 300 - 1e-9
    assert len(done.pieces[0].notches) + len(done.pieces[1].notches) == 1


@pytest.mark.parametrize("bow", ["in", "out"])
def test_a_wide_slot_in_a_bent_piece_leaves_no_sliver_behind(set_out_of: Callable[[str], SetOut], bow: str) -> None:
    """Over the 188 that three pipes share, a back of radius 2000 falls back by 94²/4000, 2.2: that is cut away too.

    The area in plan is shapely's, of the U and the ring between the radii of back and front.
    """
    pipes = "".join(
        f'[[pipe]]\nwall = "w"\nname = "p{at}"\nfrom_left = {at}\nout = 28\ndiameter = 50\n' for at in (600, 666, 732)
    )
    done = set_out_of(
        'format = 1\n[room]\nname = "Den"\nceiling = 2500\nclosed = false\n[[wall]]\nname = "w"\nlength = 1500\n'
        f'radius = 2000\nbow = "{bow}"\n{pipes}[[trim]]\nname = "board"\nprofile = "batten"\n'
        'size = { drop = 45, projection = 90 }\nback = "wall"\nbottom = 1900\ncurve = "bent"\nmaterial = "pu foam"\n'
        'joints = { end = "square" }\n'
    )
    (piece,) = done.pieces
    (notch,) = piece.notches
    r, half = notch.radius, notch.spread / 2
    middle = LineString([(-half, notch.out), (half, notch.out)])
    slot = unary_union([middle.buffer(r, quad_segs=2000), box(-half - r, -9, half + r, notch.out)])
    centre = Point(0, -2000 if bow == "in" else 2000)
    near, far = (2000, 2090) if bow == "in" else (1910, 2000)
    ring = centre.buffer(far, quad_segs=20_000) - centre.buffer(near, quad_segs=20_000)
    cut = swept_volume(piece) - slot.intersection(ring).area * 45
    assert exact_volume(piece_solid(piece, done)) == pytest.approx(cut, rel=2e-6)
    assert piece_meshes(done)[piece.id].volume == pytest.approx(cut, rel=4e-5)
