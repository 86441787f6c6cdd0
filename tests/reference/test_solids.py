"""Exact solids against theorems and tables that know nothing of this program.

Pappus and Guldin: the volume of a swept section is its area times the path of its centroid (Pappus, Collection VII;
Guldin 1640). Archimedes, The Method: two round bars of radius r that cross at right angles share 16 r³ / 3
(Steinmetz). The mitre of a quarter-round hollow is a quarter of an ellipse; its length is a complete elliptic
integral of the second kind (Legendre), here by scipy.special.ellipe(m), m = 1 - b²/a². Volumes from plain
half-space cuts come from CadQuery used directly.
"""

from __future__ import annotations

import math

import cadquery as cq
import pytest
from hand_rooms import (
    CEILING,
    WALL,
    bead,
    channel,
    coped_pair,
    cove,
    hollow,
    mitred_pair,
    mitred_ring,
    notched,
    ogee,
    rectangle,
)
from scipy.special import ellipe

from trimwright.profile.outline import Arc, Outline
from trimwright.room import Frame
from trimwright.setout.piece import Notch, Opens
from trimwright.solid.bar import bar
from trimwright.solid.build import frame_location, room_solids
from trimwright.solid.section import EndPlane

ANGLES = tuple(range(30, 180, 15)) + tuple(range(195, 345, 15))
SECTIONS = {"cove": cove(90, 8), "bead": bead(20), "ogee": ogee(), "channel": channel(120), "batten": rectangle(30, 20)}


def regular_room(walls: int, inradius: float) -> list[tuple[float, float]]:
    """Corners of a regular room, clockwise."""
    circumradius = inradius / math.cos(math.pi / walls)
    turns = (math.radians(90) - 2 * math.pi * k / walls for k in range(walls))
    return [(circumradius * math.cos(turn), circumradius * math.sin(turn)) for turn in turns]


@pytest.mark.parametrize("name", SECTIONS)
@pytest.mark.parametrize("walls", [3, 4, 6, 8, 12])
def test_pappus_round_a_regular_room(name: str, walls: int) -> None:
    """The centroid runs a polygon of inradius R - out: length 2 n tan(pi/n) (R - out)."""
    outline = SECTIONS[name]
    solids = room_solids(mitred_ring(outline, regular_room(walls, 1500.0)))
    path = 2 * walls * math.tan(math.pi / walls) * (1500.0 - outline.centroid[0])
    assert sum(s.Volume() for s in solids.values()) == pytest.approx(outline.area * path, rel=1e-9)


def test_pappus_with_the_centroid_of_the_handbook() -> None:
    """Quarter hollow of radius r: area (1 - pi/4) r², centroid r (10 - 3 pi) / (3 (4 - pi)) = 0.2234 r from each leg.

    The spandrel of a quarter circle, any table of plane areas.
    """
    r = 60.0
    centroid = r * (10 - 3 * math.pi) / (3 * (4 - math.pi))
    assert centroid / r == pytest.approx(0.2234, abs=5e-5)
    solids = room_solids(mitred_ring(hollow(r), [(0, 0), (3000, 0), (3000, -2000), (0, -2000)]))
    path = 2 * (3000 + 2000) - 8 * centroid
    assert sum(s.Volume() for s in solids.values()) == pytest.approx((1 - math.pi / 4) * r * r * path, rel=1e-9)


@pytest.mark.parametrize("angle", ANGLES)
def test_a_mitred_hollow_ends_in_a_quarter_ellipse(angle: float) -> None:
    """Semi-axes r and r / sin(C/2): r sqrt 2 at a right angle."""
    r = 80.0
    solid = room_solids(mitred_pair(hollow(r), angle))["C1"]
    long_axis = r / abs(math.sin(math.radians(angle / 2)))
    quarter = long_axis * ellipe(1 - (r / long_axis) ** 2)
    (edge,) = [edge for edge in solid.Edges() if edge.geomType() == "ELLIPSE"]
    # The kernel sums the length by Gauss points: 2e-8 off on the longest ellipse.
    assert edge.Length() == pytest.approx(quarter, rel=1e-7)


def test_the_quarter_ellipse_at_a_right_angle_by_its_number() -> None:
    """r sqrt 2 E(1/2) with E(1/2) = 1.35064 38810 (Abramowitz and Stegun, table 17.1)."""
    solid = room_solids(mitred_pair(hollow(100.0), 90.0))["C2"]
    (edge,) = [edge for edge in solid.Edges() if edge.geomType() == "ELLIPSE"]
    assert edge.Length() == pytest.approx(100 * math.sqrt(2) * 1.3506438810, rel=1e-9)


def crossing(outline: Outline, angle: float) -> tuple[cq.Solid, cq.Solid]:
    """Two long bars whose axes cross at an angle."""
    turn = math.radians(angle)
    frames = Frame((0.0, 0.0), (1.0, 0.0)), Frame((0.0, 0.0), (math.cos(turn), math.sin(turn)))
    ends = EndPlane(-500.0), EndPlane(500.0)
    first, second = (bar(outline, *ends).moved(frame_location(frame)) for frame in frames)
    return first, second


def test_two_round_bars_share_the_steinmetz_solid() -> None:
    r = 20.0
    rod = Outline.of([Arc((r, 0.0), (-r, 0.0), (0.0, 0.0), False), Arc((-r, 0.0), (r, 0.0), (0.0, 0.0), False)])
    first, second = crossing(rod, 90.0)
    assert first.intersect(second).Volume() == pytest.approx(16 * r**3 / 3, rel=1e-6)


def test_two_half_rounds_share_a_quarter_of_it() -> None:
    """Each half round is the half of a bar on one side of its axis, so one quadrant of four is left."""
    r = 20.0
    first, second = crossing(bead(r), 90.0)
    assert first.intersect(second).Volume() == pytest.approx(16 * r**3 / 3 / 4, rel=1e-6)


@pytest.mark.parametrize("coped", ["C1", "C2"])
def test_a_coped_half_round_loses_a_quarter_steinmetz(coped: str) -> None:
    """The piece would run square to the other wall; what its mate covers of it is the shared quarter, 4 r³ / 3."""
    r = 20.0
    solid = room_solids(coped_pair(bead(r), 90.0, coped))[coped]
    assert solid.Volume() == pytest.approx(math.pi * r * r / 2 * WALL - 4 * r**3 / 3, rel=1e-9)


@pytest.mark.parametrize("name", SECTIONS)
@pytest.mark.parametrize("angle", ANGLES)
def test_mitred_corners_close(name: str, angle: float) -> None:
    """The mitre faces are one face seen from both sides, of area section / sin(C/2); nothing is shared but it."""
    outline = SECTIONS[name]
    first, second = room_solids(mitred_pair(outline, angle)).values()
    faces = [max_face_at_corner(solid, angle) for solid in (first, second)]
    wanted = outline.area / abs(math.sin(math.radians(angle / 2)))
    for face in faces:
        assert face.Area() == pytest.approx(wanted, rel=1e-8)
    assert (faces[0].Center() - faces[1].Center()).Length < 1e-6
    half = math.radians(angle / 2)
    length = WALL - outline.centroid[0] / math.tan(half)
    assert first.Volume() == pytest.approx(outline.area * length, rel=1e-9)
    assert second.Volume() == pytest.approx(outline.area * length, rel=1e-9)
    assert first.intersect(second).Volume() < 1.0


def max_face_at_corner(solid: cq.Solid, angle: float) -> cq.Face:
    """The face whose normal lies across the mitre plane (which halves the corner angle)."""
    half = math.radians(angle / 2)
    across = cq.Vector(math.sin(half), -math.cos(half), 0)
    (face,) = [
        face
        for face in solid.Faces()
        if face.geomType() == "PLANE" and abs(face.normalAt(face.Center()).dot(across)) > 1 - 1e-9
    ]
    return face


@pytest.mark.parametrize("angle", [60.0, 90.0, 135.0, 270.0, 300.0])
def test_the_union_of_a_corner_is_one_closed_body(angle: float) -> None:
    first, second = room_solids(mitred_pair(cove(90, 8), angle)).values()
    (union,) = first.fuse(second).Solids()
    assert union.isValid()
    assert union.Volume() == pytest.approx(first.Volume() + second.Volume(), rel=1e-9)


@pytest.mark.parametrize("opening", ["back", "front"])
@pytest.mark.parametrize("radius", [4.0, 9.0, 15.0])
def test_notch_against_the_area_of_its_plan(opening: str, radius: float) -> None:
    """A rectangular section loses (2 r (d - r) + pi r² / 2) times its height."""
    width, height, depth = 60.0, 25.0, 32.0
    out = depth - radius if opening == "back" else width - depth + radius
    notch = Notch(
        pipe="flow",
        station=333.0,
        out=out,
        radius=radius,
        depth=depth,
        opens=Opens(opening),
        bottom=CEILING - height,
        top=CEILING,
    )
    solid = room_solids(notched(rectangle(width, height), [notch]))["C1"]
    lost = (2 * radius * (depth - radius) + math.pi * radius**2 / 2) * height
    assert solid.Volume() == pytest.approx(width * height * WALL - lost, rel=1e-10)


@pytest.mark.parametrize("slopes", [(1.0, -1.0), (0.3, 2.0), (-2.5, -0.4)])
def test_bars_are_what_half_space_cuts_make(slopes: tuple[float, float]) -> None:
    """The same piece by CadQuery alone: extruded, then cut by two blocks; the two cover the same space."""
    outline, diagonal = cove(90, 8), 82 * math.sqrt(0.5)
    ours = bar(outline, EndPlane(0.0, slopes[0]), EndPlane(700.0, slopes[1]))
    plain = (
        cq.Workplane("YZ", origin=(-400, 0, 0))
        .moveTo(0, CEILING)
        .lineTo(0, CEILING - 90)
        .lineTo(-8, CEILING - 90)
        .threePointArc((-90 + diagonal, CEILING - 90 + diagonal), (-90, CEILING - 8))
        .lineTo(-90, CEILING)
        .close()
        .extrude(1600)
        .val()
    )
    for station, slope, side in ((0.0, slopes[0], -1), (700.0, slopes[1], 1)):
        far, away = 1000.0, station + side * 4000.0
        corners = [(station - far * slope, far), (station + far * slope, -far), (away, -far), (away, far)]
        plain = plain.cut(cq.Workplane("XY").polyline(corners).close().extrude(3000).val())
    assert ours.Volume() == pytest.approx(plain.Volume(), rel=1e-8)
    assert ours.intersect(plain).Volume() == pytest.approx(plain.Volume(), rel=1e-8)
    assert ours.Area() == pytest.approx(plain.Area(), rel=1e-8)


@pytest.mark.parametrize("turn", [0.0, 17.3, 90.0, 211.9])
def test_turning_the_room_changes_no_volume(turn: float) -> None:
    """A law: a rigid motion keeps volumes, joints and all."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    corners = [(0, 0), (4000, 0), (4000, -3000), (2500, -3000), (2500, -1500), (0, -1500)]
    turned = [(1e4 + c * x - s * y, -5e3 + s * x + c * y) for x, y in corners]
    plain = [solid.Volume() for solid in room_solids(mitred_ring(ogee(), corners)).values()]
    moved = [solid.Volume() for solid in room_solids(mitred_ring(ogee(), turned)).values()]
    assert moved == pytest.approx(plain, rel=1e-8)
