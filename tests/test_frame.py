"""Straight and curved frames: the same questions, the same laws."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimwright.frame import Bend, Frame, corner_angle

RADII = st.floats(600, 20_000)
PARTS = st.floats(0.05, 0.99)
INWARD = st.booleans()


def bend_over(radius: float, part: float, inward: bool) -> tuple[Bend, float]:
    """An arc from the origin over a chord of `part` of its diameter, and the chord."""
    chord = 2 * radius * part
    turn = math.radians(23)
    return Bend.between((0.0, 0.0), (chord * math.cos(turn), chord * math.sin(turn)), radius, inward), chord


@given(RADII, PARTS, INWARD)
def test_an_arc_runs_from_end_to_end_of_its_chord(radius: float, part: float, inward: bool) -> None:
    bend, chord = bend_over(radius, part, inward)
    length = 2 * math.asin(chord / (2 * radius)) * radius
    assert bend.plan(0.0) == pytest.approx((0.0, 0.0), abs=1e-6)
    assert math.dist(bend.plan(length), bend.plan(0.0)) == pytest.approx(chord)
    # Its rise over the chord: r - sqrt(r^2 - (c/2)^2), to the right of the chord (into the room) if it bows inward.
    line = Frame((0.0, 0.0), (math.cos(math.radians(23)), math.sin(math.radians(23))))
    rise = radius - math.sqrt(radius**2 - (chord / 2) ** 2)
    station, out = line.locate(bend.plan(length / 2))
    assert station == pytest.approx(chord / 2)
    assert out == pytest.approx(rise if inward else -rise, abs=1e-6)


@given(RADII, PARTS, INWARD, st.floats(0, 1), st.floats(0, 400))
def test_places_are_found_again(radius: float, part: float, inward: bool, along: float, out: float) -> None:
    bend, chord = bend_over(radius, part, inward)
    station = along * 2 * math.asin(chord / (2 * radius)) * radius
    assert bend.locate(bend.plan(station, out)) == pytest.approx((station, out), abs=1e-6)
    # `out` leads off square to the face, and the tangent runs along it.
    face = bend.tangent(station)
    assert bend.plan(station, out) == pytest.approx(face.plan(0.0, out), abs=1e-6)
    step = 1e-3
    ahead = bend.plan(station + step, out)
    assert face.locate(ahead)[0] / step == pytest.approx(bend.scale(out), rel=1e-5)


def test_a_straight_frame_answers_the_same_questions() -> None:
    frame = Frame((10.0, 20.0), (0.6, 0.8))
    assert frame.scale(75.0) == 1.0
    assert frame.tangent(30.0).plan(5.0, 7.0) == pytest.approx(frame.plan(35.0, 7.0))


def test_a_radius_too_short_for_its_chord() -> None:
    with pytest.raises(ValueError, match="cannot span"):
        Bend.between((0.0, 0.0), (1000.0, 0.0), 499.0, inward=False)


def test_the_corner_of_two_faces() -> None:
    east, south = Frame((0.0, 0.0), (1.0, 0.0)), Frame((0.0, 0.0), (0.0, -1.0))
    assert corner_angle(east, south) == pytest.approx(90)
    assert corner_angle(south, east) == pytest.approx(270)
    assert corner_angle(east, east) == pytest.approx(180)
