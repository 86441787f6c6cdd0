"""Bars between end planes: valid, closed, true cylinders, and the volume of the closed form."""

from __future__ import annotations

import math

import cadquery as cq
import pytest
from hand_rooms import bead, channel, cove, hollow, ogee, rectangle
from hypothesis import given, settings
from hypothesis import strategies as st
from OCP.BRep import BRep_Tool

from trimwright.errors import GeometryError
from trimwright.profile.outline import Arc, Outline
from trimwright.solid.bar import bar
from trimwright.solid.section import EndPlane

SECTIONS = {
    "cove": cove(90, 8),
    "hollow": hollow(60),
    "bead": bead(20),
    "ogee": ogee(),
    "batten": rectangle(30, 20),
    "channel": channel(120),
}


def assert_sound(solid: cq.Solid) -> None:
    assert solid.isValid()
    assert [BRep_Tool.IsClosed_s(shell.wrapped) for shell in solid.Shells()] == [True]


def expected(outline: Outline, left: EndPlane, right: EndPlane) -> float:
    """Area of the section times the length at its centroid (Pappus and Guldin)."""
    out = outline.centroid[0]
    return outline.area * (right.at(out) - left.at(out))


@pytest.mark.parametrize("name", SECTIONS)
@pytest.mark.parametrize(("left", "right"), [(0, 0), (1, -1), (-0.3, 0.7), (3.7, 3.7), (-1.7, 1.7)])
def test_volume_and_faces(name: str, left: float, right: float) -> None:
    outline = SECTIONS[name]
    planes = EndPlane(0.0, left), EndPlane(2000.0, right)
    solid = bar(outline, *planes)
    assert_sound(solid)
    assert solid.Volume() == pytest.approx(expected(outline, *planes), rel=1e-9)
    kinds = [face.geomType() for face in solid.Faces()]
    arcs = sum(isinstance(s, Arc) for s in outline.segments)
    assert kinds.count("CYLINDER") == arcs
    assert kinds.count("PLANE") == len(outline.segments) - arcs + 2


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    name=st.sampled_from(sorted(SECTIONS)),
    left=st.floats(-3.8, 3.8),
    right=st.floats(-3.8, 3.8),
    station=st.floats(-5e4, 5e4),
)
def test_any_two_planes_that_do_not_cross(name: str, left: float, right: float, station: float) -> None:
    """The whole range of corners from 30 to 330 degrees (slopes up to cot 15 = 3.73), anywhere along a wall."""
    outline = SECTIONS[name]
    planes = EndPlane(station, left), EndPlane(station + 1500.0, right)
    solid = bar(outline, *planes)
    assert_sound(solid)
    assert solid.Volume() == pytest.approx(expected(outline, *planes), rel=1e-8)


@pytest.mark.parametrize("name", ["cove", "hollow", "bead", "ogee", "batten"])
@pytest.mark.parametrize("slope", [0.4, 1.0, 2.5])
def test_planes_may_meet_at_the_back(name: str, slope: float) -> None:
    """A return has no length at the wall: a wedge, with one face less for each edge that lies there."""
    outline = SECTIONS[name]
    planes = EndPlane(0.0, -slope), EndPlane(0.0, 0.0)
    solid = bar(outline, *planes)
    assert_sound(solid)
    assert solid.Volume() == pytest.approx(expected(outline, *planes), rel=1e-8)
    at_wall = sum(not isinstance(s, Arc) and s.start[0] == s.end[0] == 0 for s in outline.segments)
    assert len(solid.Faces()) == len(outline.segments) + 2 - at_wall


def test_planes_may_meet_at_the_front() -> None:
    outline = rectangle(30, 20)
    solid = bar(outline, EndPlane(0.0, 1.0), EndPlane(30.0, 0.0))
    assert_sound(solid)
    assert solid.Volume() == pytest.approx(30 * 30 / 2 * 20)


def test_planes_that_cross_in_the_section_are_refused() -> None:
    with pytest.raises(GeometryError, match="cross each other"):
        bar(rectangle(30, 20), EndPlane(0.0, 1.0), EndPlane(20.0, 0.0))


def test_surface_of_a_square_bar() -> None:
    """Girth times length and two sections."""
    outline = bead(20)
    solid = bar(outline, EndPlane(0.0), EndPlane(500.0))
    girth = math.pi * 20 + 40
    assert solid.Area() == pytest.approx(girth * 500 + 2 * math.pi * 20**2 / 2, rel=1e-9)


def test_normals_point_out_of_the_material() -> None:
    solid = bar(cove(90, 8), EndPlane(0.0, 1.0), EndPlane(800.0, -0.5))
    for face in solid.Faces():
        place = face.Center() if face.geomType() == "PLANE" else face.positionAt(0.5, 0.5)
        outside = place + face.normalAt(place) * 0.01
        assert not solid.isInside(outside)
