"""Bent pieces against Pappus and Guldin's second theorem and the torus.

The volume swept by a plane figure turned about an axis outside it is its area times the way of its centroid (Pappus,
Collection VII; Guldin, Centrobaryca, 1641). Of a circle of radius a at R from the axis, turned by t: pi a^2 R t.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from curved_rooms import CURVE, curved_room, trim
from trimwright.frame import Bend
from trimwright.mesh.bend import bent_sweep
from trimwright.mesh.piece import piece_mesh
from trimwright.mesh.sweep import stencil
from trimwright.profile.outline import Arc, Line, Outline
from trimwright.setout.piece import Piece, SetOut, Side
from trimwright.setout.volume import swept_volume
from trimwright.solid.bent import bent_bar, exact_volume, turned
from trimwright.solid.build import room_solids
from trimwright.solid.joints import joint_faults

SetOutOf = Callable[[str], SetOut]


def ring(radius: float, out: float, height: float) -> Outline:
    """A round rod."""
    east, west = (out + radius, height), (out - radius, height)
    return Outline.of([Arc(east, west, (out, height), False), Arc(west, east, (out, height), False)])


def batten(back: float, front: float, bottom: float, top: float) -> Outline:
    """A rectangle."""
    points = [(back, bottom), (front, bottom), (front, top), (back, top)]
    return Outline.of([Line(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True)])


@settings(max_examples=20, deadline=None)
@given(
    radius=st.floats(400, 9000),
    inward=st.booleans(),
    rod=st.floats(5, 40),
    out=st.floats(50, 200),
    turn=st.floats(0.05, 2.9),
)
def test_a_round_rod_along_an_arc_is_part_of_a_torus(
    radius: float, inward: bool, rod: float, out: float, turn: float
) -> None:
    bend = Bend((120.0, -340.0), radius, 0.4, inward)
    length = turn * radius
    expected = math.pi * rod**2 * (radius + (out if inward else -out)) * turn
    solid = turned(ring(rod, out, 2000.0), bend, 0.0, length)
    assert solid.isValid()
    assert solid.Volume() == pytest.approx(expected, rel=1e-9)
    shape = stencil(ring(rod, out, 2000.0))
    count = len(shape.points)
    mesh = bent_sweep(shape, bend, [0.0] * count, [length] * count, "rod", 0.002)
    assert mesh.closed
    # Chords on the circles of the way: each is short of its arc by t^2 / 24 of itself, t the angle it spans.
    assert mesh.volume == pytest.approx(expected, rel=4 * 0.002 / bend.radius_at(out) + 1e-6)


@settings(max_examples=20, deadline=None)
@given(radius=st.floats(400, 9000), inward=st.booleans(), turn=st.floats(0.05, 2.9), width=st.floats(10, 150))
def test_a_batten_along_an_arc_is_part_of_a_ring(radius: float, inward: bool, turn: float, width: float) -> None:
    """Sector of an annulus: t (R2^2 - R1^2) / 2, times its height."""
    bend = Bend((0.0, 0.0), radius, -1.0, inward)
    inner, outer = sorted((radius, bend.radius_at(width)))
    expected = turn * (outer**2 - inner**2) / 2 * 40.0
    solid = turned(batten(0.0, width, 2400.0, 2440.0), bend, 0.0, turn * radius)
    assert solid.Volume() == pytest.approx(expected, rel=1e-9)


def bent_pieces(done: SetOut) -> list[Piece]:
    return [p for p in done.pieces if p.bend is not None]


RAIL = 'curve = "bent"\nmaterial = "pu foam"'


@pytest.mark.parametrize("bow", ["out", "in"])
def test_slanting_ends_against_kernel_and_mesh(set_out_of: SetOutOf, bow: str) -> None:
    """Mitred ends have no closed form: the sum over the section, the exact kernel and a fine mesh agree."""
    done = set_out_of(curved_room(trim(RAIL), radius=4000, bow=bow))
    (piece,) = bent_pieces(done)
    volume = swept_volume(piece)
    assert exact_volume(bent_bar(piece, _bend(piece))) == pytest.approx(volume, rel=5e-7)
    assert piece_mesh(piece, done, 0.001).volume == pytest.approx(volume, rel=5e-6)


def test_square_ends_by_the_theorem(set_out_of: SetOutOf) -> None:
    joints = 'internal = "mitre", end = "square"'
    done = set_out_of(curved_room(trim(RAIL + f'\nwalls = ["{CURVE}"]', joints=joints), radius=4000))
    (piece,) = bent_pieces(done)
    outline, bend = piece.trim.outline, _bend(piece)
    turn = (piece.right.at(0) - piece.left.at(0)) / bend.radius
    expected = outline.area * (bend.radius - outline.centroid[0]) * turn
    assert swept_volume(piece) == pytest.approx(expected, rel=1e-12)
    assert room_solids(done)[piece.id].Volume() == pytest.approx(expected, rel=1e-8)


def test_the_sum_over_a_section_with_both_ends_on_radii_is_the_theorem(set_out_of: SetOutOf) -> None:
    """An end that slants by next to nothing goes the long way round and must come to the same."""
    (piece,) = bent_pieces(set_out_of(curved_room(trim(RAIL), radius=4000)))
    square = replace(
        piece, left=replace(piece.left, station=0.0, slope=1e-9), right=replace(piece.right, station=900.0, slope=0.0)
    )
    outline, bend = piece.trim.outline, _bend(piece)
    expected = outline.area * (bend.radius - outline.centroid[0]) * 900 / bend.radius
    assert swept_volume(square) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("bow", ["out", "in"])
@pytest.mark.parametrize("curve", ["segments", "bent"])
def test_no_two_pieces_share_space_and_no_joint_gapes(set_out_of: SetOutOf, bow: str, curve: str) -> None:
    size = 'size = { drop = 60, projection = 50 }\nmaterial = "pu foam"'
    done = set_out_of(curved_room(trim(f'curve = "{curve}"\n{size}'), radius=4000, bow=bow))
    solids = room_solids(done)
    assert [str(fault) for fault in joint_faults(done, solids)] == []
    first, second = done.pieces[0], done.piece(str(done.pieces[0].right.mate))
    assert solids[first.id].intersect(solids[second.id]).Volume() < 1.0


def test_a_notch_in_a_bent_piece(set_out_of: SetOutOf) -> None:
    """A slot right through from the back takes (2 r d + pi r^2 / 2) in plan, d from back to the pipe's axis, off a
    section as high as the rail: what is taken from a rectangle is known, but for the wall's own bow across the slot.
    """
    pipe = f'[[pipe]]\nwall = "{CURVE}"\nname = "riser"\nfrom_left = 1400\nout = 20\ndiameter = 15\n'
    rail = trim('curve = "bent"\nmaterial = "pu foam"\nsize = { drop = 40, projection = 60 }', "batten")
    done = set_out_of(curved_room(pipe, rail, radius=4000))
    (piece,) = bent_pieces(done)
    (notch,) = piece.notches
    taken = (2 * notch.radius * notch.out + math.pi * notch.radius**2 / 2) * 40
    bow = (2 * notch.radius) ** 3 / (12 * 4000) * 40  # area between chord and arc is about c^3 / 12 r
    solid = room_solids(done)[piece.id]
    assert swept_volume(piece) - exact_volume(solid) == pytest.approx(taken, abs=bow + 0.01 * taken / 100)
    assert piece_mesh(piece, done).volume == pytest.approx(exact_volume(solid), rel=1e-4)


def test_every_vertex_of_a_bent_mesh_lies_on_its_circle(set_out_of: SetOutOf) -> None:
    done = set_out_of(curved_room(trim(RAIL), radius=4000))
    (piece,) = bent_pieces(done)
    bend, mesh = _bend(piece), piece_mesh(piece, done)
    outs = {round(out, 6) for out, _ in stencil(piece.trim.outline).points.tolist()}
    reach = np.hypot(mesh.vertices[:, 0] - bend.centre[0], mesh.vertices[:, 1] - bend.centre[1])
    assert {round(4000 - r, 6) for r in reach.tolist()} <= outs
    ends = [piece.end(side).at(0.0) for side in Side]
    stations = [bend.locate((x, y))[0] for x, y, _ in mesh.vertices]
    assert min(stations) >= min(ends) - 1e-6 - 100


def _bend(piece: Piece) -> Bend:
    assert piece.bend is not None
    return piece.bend
