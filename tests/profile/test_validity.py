from __future__ import annotations

import math
import time
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LinearRing

from trimwright.profile.outline import Arc, Line, Outline, Point
from trimwright.profile.validity import fault

number = st.integers(-20, 20).map(float)


def polygon(*points: Point) -> Outline:
    return Outline.of(Line(a, b) for a, b in pairwise([*points, points[0]]))


@given(st.lists(st.tuples(number, number), min_size=3, max_size=9, unique=True))
def test_agrees_with_shapely(corners: list[Point]) -> None:
    """Random polygons on a grid, where touching, folding back and crossing are common."""
    outline = polygon(*corners)
    if outline.area >= 1:
        assert (fault(outline) is None) == LinearRing(corners).is_simple


@pytest.mark.parametrize(
    ("what", "outline", "message"),
    [
        ("no area", polygon((0, 0), (9, 0)), "encloses no area"),
        ("without end", polygon((0, 0), (math.inf, 0), (2, 5)), "a point of the outline is without end"),
        ("a bow tie", polygon((0, 0), (9, 0), (2, 5), (9, 9)), "crosses or touches itself near"),
        ("a spike", polygon((0, 0), (9, 0), (9, 5), (14, 5), (9, 5), (9, 9), (0, 9)), "near out 9.0, height 5.0"),
        ("a neck of no thickness", polygon((0, 0), (9, 0), (9, 9), (4, 0), (0, 9)), "near out 4.0, height 0.0"),
        ("a gap", Outline((Line((0, 0), (9, 0)), Line((9, 0), (9, 9)), Line((0, 8), (0, 0)))), "a gap at out 9.0"),
    ],
)
def test_faults_are_named_and_placed(what: str, outline: Outline, message: str) -> None:
    assert message in (fault(outline) or ""), what


def test_an_arc_that_bulges_through_the_back_is_found() -> None:
    def cove(web: float) -> Outline:
        """A hollow of radius 10 in a block whose back lies `web` behind the hollow's deepest point."""
        hollow = Arc((10 + web, 20), (10 + web, 0), (10 + web, 10), clockwise=False)
        corners = [(10 + web, 0.0), (10 + web, -5.0), (0.0, -5.0), (0.0, 25.0), (10 + web, 25.0), (10 + web, 20.0)]
        return Outline.of([hollow, *(Line(a, b) for a, b in pairwise(corners))])

    assert fault(cove(0.5)) is None
    assert "crosses or touches" in (fault(cove(-0.5)) or "")


def test_many_edges_are_tried_in_reasonable_time() -> None:
    """Two thousand edges, the most that a trace may have, with one crossing among the last."""
    ring = [(100 * math.cos(math.tau * k / 2000), 100 * math.sin(math.tau * k / 2000)) for k in range(2000)]
    start = time.perf_counter()
    assert fault(polygon(*ring)) is None
    ring[1990], ring[1995] = ring[1995], ring[1990]
    assert fault(polygon(*ring)) is not None
    assert time.perf_counter() - start < 15, "on a busy machine"
