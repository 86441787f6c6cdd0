from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimwright.profile.elements import ELEMENTS, Form, Shape
from trimwright.profile.outline import Arc, Line, Point, Segment

side = st.floats(1, 100)
sign = st.sampled_from([-1, 1])
CURVES = ["ovolo", "cavetto", "cyma_recta", "cyma_reversa", "torus", "bead", "scotia"]


def direction(segment: Segment, at_end: bool) -> float:
    """Angle of travel at an end, radians."""
    point = segment.end if at_end else segment.start
    if isinstance(segment, Line):
        return math.atan2(segment.end[1] - segment.start[1], segment.end[0] - segment.start[0])
    radius = (point[0] - segment.centre[0], point[1] - segment.centre[1])
    turn = -1 if segment.clockwise else 1
    return math.atan2(turn * radius[0], -turn * radius[1])


def swept(start: Point, end: Point, pieces: list[Segment]) -> float:
    """Area between the pieces and their chord, positive where they lie to the right of it (Green's theorem)."""
    area = 0.0
    for piece in pieces:
        (x0, y0), (x1, y1) = piece.start, piece.end
        area += (x0 * y1 - x1 * y0) / 2
        if isinstance(piece, Arc):
            area += piece.radius**2 * (piece.sweep - math.sin(piece.sweep)) / 2
    return area - (start[0] * end[1] - end[0] * start[1]) / 2


@pytest.mark.parametrize("name", CURVES)
@given(across=side, up=side, sx=sign, sy=sign, material=sign)
def test_curves_run_from_end_to_end_on_true_circles(
    name: str, across: float, up: float, sx: int, sy: int, material: int
) -> None:
    start, end = (3.0, -7.0), (3.0 + sx * across, -7.0 + sy * (up + (across if name == "scotia" else 0)))
    pieces = ELEMENTS[name](start, end, Shape(material=material))
    assert math.dist(pieces[0].start, start) < 1e-9
    assert math.dist(pieces[-1].end, end) < 1e-9
    for piece in pieces:
        if isinstance(piece, Arc):
            assert math.dist(piece.end, piece.centre) == pytest.approx(piece.radius, rel=1e-9)
    for one, two in pairwise(pieces):
        assert math.dist(one.end, two.start) < 1e-9
        assert math.cos(direction(one, True) - direction(two, False)) == pytest.approx(1, abs=1e-9), "one tangent"


@pytest.mark.parametrize("name", ["ovolo", "cavetto", "cyma_recta", "cyma_reversa"])
@pytest.mark.parametrize("form", list(Form))
@given(across=side, up=side, sx=sign, sy=sign, material=sign)
def test_quarter_curves_and_cymas_stay_in_their_box(
    name: str, form: Form, across: float, up: float, sx: int, sy: int, material: int
) -> None:
    end = (sx * across, sy * up)
    pieces = ELEMENTS[name]((0.0, 0.0), end, Shape(material=material, form=form))
    for x, y in (p for piece in pieces for p in piece.extremes()):
        assert min(0, end[0]) - 1e-6 <= x <= max(0, end[0]) + 1e-6
        assert min(0, end[1]) - 1e-6 <= y <= max(0, end[1]) + 1e-6


@given(across=side, up=side, sx=sign, sy=sign, material=sign)
def test_round_swells_and_hollow_eats(across: float, up: float, sx: int, sy: int, material: int) -> None:
    """With the material on the left, what lies right of the chord is added: positive for round, negative for hollow."""
    start, end = (0.0, 0.0), (sx * across, sy * up)
    for name, sense in (("ovolo", 1), ("torus", 1), ("bead", 1), ("cavetto", -1)):
        added = material * swept(start, end, ELEMENTS[name](start, end, Shape(material=material)))
        assert sense * added > 0, name
    for name in ("cyma_recta", "cyma_reversa"):
        assert swept(start, end, ELEMENTS[name](start, end, Shape(material=material))) == pytest.approx(0, abs=1e-6)


def test_straight_elements() -> None:
    assert ELEMENTS["line"]((0, 0), (3, 4), Shape()) == [Line((0, 0), (3, 4))]
    assert ELEMENTS["bevel"]((0, 0), (3, 4), Shape()) == [Line((0, 0), (3, 4))]
    for name in ("fillet", "fascia"):
        assert ELEMENTS[name]((0, 0), (0, 4), Shape()) == [Line((0, 0), (0, 4))]
        with pytest.raises(ValueError, match="runs square"):
            ELEMENTS[name]((0, 0), (3, 4), Shape())


def test_an_arc_passes_through_its_point_and_needs_one() -> None:
    (half,) = ELEMENTS["arc"]((0, 0), (0, 10), Shape(through=(5, 5)))
    assert isinstance(half, Arc)
    assert half.centre == pytest.approx((0, 5))
    assert ELEMENTS["arc"]((0, 0), (0, 10), Shape(through=(0, 5))) == [Line((0, 0), (0, 10))]
    with pytest.raises(ValueError, match="through"):
        ELEMENTS["arc"]((0, 0), (0, 10), Shape())


def test_a_quirk_is_sunk_into_the_material() -> None:
    """A face that climbs has its material on the left: a quirk 3 deep goes 3 back from it."""
    pieces = ELEMENTS["quirk"]((20, 5), (20, 9), Shape(material=1, depth=3))
    assert [piece.end for piece in pieces] == [(17, 5), (17, 9), (20, 9)]
    mirrored = ELEMENTS["quirk"]((20, 5), (20, 9), Shape(material=-1, depth=3))
    assert mirrored[0].end == (23, 5)
    assert ELEMENTS["quirk"]((20, 5), (20, 9), Shape()) == [Line((20, 5), (20, 9))]
    with pytest.raises(ValueError, match="negative"):
        ELEMENTS["quirk"]((20, 5), (20, 9), Shape(depth=-1))


def test_what_has_no_construction_is_refused() -> None:
    with pytest.raises(ValueError, match="must differ in projection"):
        ELEMENTS["cyma_recta"]((0, 0), (0, 10), Shape())
    with pytest.raises(ValueError, match="higher than its ends differ"):
        ELEMENTS["scotia"]((0, 0), (10, 10), Shape())
    assert ELEMENTS["ovolo"]((0, 0), (0, 10), Shape()) == [Line((0, 0), (0, 10))]
    assert ELEMENTS["cyma_recta"]((0, 0), (0, 0), Shape()) == []
