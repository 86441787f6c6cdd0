from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimwright.profile.file import read_profile
from trimwright.profile.library import find_profile
from trimwright.profile.measures import face, legs_from_face, legs_from_label, measure
from trimwright.profile.outline import Arc, Line, Outline, Point
from trimwright.profile.section import Section


def section(name: str, **size: float) -> Section:
    return read_profile(find_profile(name, Path())).section(size)


def polygon(*points: Point) -> Outline:
    return Outline.of(Line(a, b) for a, b in pairwise([*points, points[0]]))


def test_girth_of_a_cove_is_a_quarter_circle_and_two_lips() -> None:
    measures = measure(section("cove", drop=115, projection=115, lip=8))
    assert measures.girth == pytest.approx(107 * math.pi / 2 + 2 * 8)
    assert measures.face_width == pytest.approx(115 * math.sqrt(2))
    assert measures.spring_angle is None


def test_girth_of_others() -> None:
    assert measure(section("batten", drop=45, projection=22)).girth == pytest.approx(45 + 2 * 22), "wall side covered"
    torus = measure(section("rail-torus", drop=60, projection=20))
    # Two edges of 8, the flats above and below the half round of radius 12, and its half circle.
    assert torus.girth == pytest.approx(2 * 8 + (60 - 24) + math.pi * 12)
    lined = measure(section("skirting-lined", drop=120, projection=18, round=5, line=4, depth=4))
    # Face to the round, twice the sunk line's depth, the quadrant, and the top that is left; floor and wall covered.
    assert lined.girth == pytest.approx(115 + 2 * 4 + 5 * math.pi / 2 + 13)


def test_face_against_each_surface() -> None:
    block = polygon((0, 0), (20, 0), (20, 30), (0, 30))
    bottom, front, top, back = block.segments
    assert face(block, 0, None) == ((bottom, front, top),)
    assert face(block, 0, 30) == ((bottom, front),)
    assert face(block, None, 30) == ((back, bottom, front),)
    assert face(block, 0, 30, 0) == ((front,),)
    assert face(block, 0, None, 0) == ((front, top),)
    assert face(block, None, None, 0) == ((front, top, back),)
    assert face(block, None, None) == (block.segments,)
    assert face(block, -5, 40) == (block.segments,), "touches neither"


def test_a_hollow_against_the_wall_is_shut_in() -> None:
    hollow = polygon((0, 0), (20, 0), (20, 30), (0, 30), (0, 20), (5, 20), (5, 10), (0, 10))
    (stretch,) = face(hollow, 0, None)
    assert [s.end for s in stretch] == [(20, 0), (20, 30), (0, 30)]


def test_a_round_touches_the_wall_at_one_point() -> None:
    """All of a pipe-like round is seen, from the point where it touches back to it."""
    ring = Outline.of([Arc((5, 0), (5, 10), (5, 5), clockwise=False), Arc((5, 10), (5, 0), (5, 5), clockwise=False)])
    (stretch,) = face(ring, 0, None)
    assert stretch[0].start == pytest.approx((0, 5))
    assert stretch[-1].end == pytest.approx((0, 5))
    assert sum(s.length for s in stretch) == pytest.approx(10 * math.pi)


@given(st.floats(10, 500), st.floats(0.2, 5))
def test_legs_from_face(face_width: float, ratio: float) -> None:
    legs = legs_from_face(face_width, ratio)
    assert math.hypot(legs.drop, legs.projection) == pytest.approx(face_width)
    assert legs.drop / legs.projection == pytest.approx(ratio)


def test_what_a_label_can_mean() -> None:
    """Unequal legs 80 down and 60 out have a face of 100; a label of 125 is one and a quarter of one of the four."""
    measures = measure(section("stepped-cornice", drop=80, projection=60))
    found = legs_from_label(125, measures)
    assert measures.girth == pytest.approx(140), "steps run round both legs"
    assert (found["drop"].drop, found["drop"].projection) == pytest.approx((125, 93.75))
    assert (found["projection"].drop, found["projection"].projection) == pytest.approx((125 * 80 / 60, 125))
    assert (found["face width"].drop, found["face width"].projection) == pytest.approx((100, 75))
    assert (found["girth"].drop, found["girth"].projection) == pytest.approx((125 * 80 / 140, 125 * 60 / 140))
