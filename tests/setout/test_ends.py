"""End planes against plane geometry done another way: distances of points from the two walls of a corner."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from trimwright.profile.outline import Bounds
from trimwright.room import Corner, Frame
from trimwright.setout import ends

ANGLES = st.floats(30, 330).filter(lambda a: abs(a - 180) > 2)
EDGES = Bounds(back=0.0, bottom=0.0, front=60.0, top=80.0)


def corner(angle: float) -> Corner:
    return Corner(0, 1, angle, (0.0, 0.0))


def from_both_walls(angle: float, setback: ends.Setback, out: float) -> tuple[float, float]:
    """(out from wall A, out from wall B) of the point of A's right-hand end plane that is `out` from A.

    Wall A arrives at the corner (0, 0) along +x; wall B leaves it turned right by 180 - angle.
    """
    a = Frame((0.0, 0.0), (1.0, 0.0))
    turn = math.radians(angle - 180)
    b = Frame((0.0, 0.0), (math.cos(turn), math.sin(turn)))
    point = a.plan(-(setback.fixed + setback.per_out * out), out)
    return a.locate(point)[1], b.locate(point)[1]


@given(ANGLES, st.floats(0, 200))
def test_a_mitre_plane_is_as_far_from_one_wall_as_from_the_other(angle: float, out: float) -> None:
    ours, theirs = from_both_walls(angle, ends.mitre(corner(angle)), out)
    assert theirs == pytest.approx(ours, abs=1e-6)


@given(st.floats(30, 178))
def test_square_into_a_corner_clears_the_other_wall_and_just_touches(angle: float) -> None:
    setback = ends.square_into(corner(angle), EDGES)
    gaps = [from_both_walls(angle, setback, out)[1] for out in (EDGES.back, EDGES.front)]
    assert min(gaps) == pytest.approx(0, abs=1e-6)


def bars(angle: float, first: ends.Setback, second: ends.Setback) -> tuple[Polygon, Polygon]:
    """Plans of two square-ended pieces of two metres at a corner: of B, which is cut first, and of A butted to it."""
    turn = math.radians(angle - 180)
    b = Frame((0.0, 0.0), (math.cos(turn), math.sin(turn)))
    a = Frame((0.0, 0.0), (1.0, 0.0))
    stations = ((b, first.fixed, 2000.0), (a, -second.fixed, -2000.0))
    return tuple(  # type: ignore[return-value]
        Polygon([frame.plan(s, o) for s, o in ((low, 0), (high, 0), (high, EDGES.front), (low, EDGES.front))])
        for frame, low, high in stations
    )


@given(st.floats(30, 330).filter(lambda a: abs(a - 180) > 2))
def test_a_butt_just_touches_its_neighbour(angle: float) -> None:
    """Plane geometry by shapely."""
    bend = corner(angle)
    first = ends.square_into(bend, EDGES) if bend.internal else ends.lap_outside(bend, EDGES)
    one, other = bars(angle, first, ends.butt(bend, EDGES, first))
    assert one.intersection(other).area == pytest.approx(0, abs=1e-3)
    assert one.distance(other) == pytest.approx(0, abs=1e-6)


def test_square_pieces_round_an_external_right_angle() -> None:
    """One passes the corner by the other's thickness and the other stops at the wall line. Common practice."""
    lap = ends.lap_outside(corner(270), EDGES)
    assert lap.fixed == pytest.approx(-60)
    assert ends.butt(corner(270), EDGES, lap).fixed == pytest.approx(0, abs=1e-9)


def test_a_butt_in_a_square_corner_stops_at_the_front_of_its_neighbour() -> None:
    assert ends.butt(corner(90), EDGES, ends.square_into(corner(90), EDGES)).fixed == pytest.approx(EDGES.front)


def test_a_true_corner_takes_off_the_projection() -> None:
    """Common practice, no source: at 90 degrees a mitred piece is shorter in front by its projection at each end."""
    assert ends.mitre(corner(90)).per_out == pytest.approx(1)
    assert ends.mitre(corner(270)).per_out == pytest.approx(-1)
    assert ends.mitre(corner(180)).per_out == pytest.approx(0)


def test_a_scarf_crosses_its_station_at_the_middle_at_45_degrees() -> None:
    for in_front in (True, False):
        setback = ends.scarf(EDGES, in_front)
        assert setback.fixed + setback.per_out * 30 == pytest.approx(0)
        assert abs(setback.per_out) == 1
    assert ends.scarf(EDGES, True).per_out < 0  # longer at its front
