from __future__ import annotations

import math

import numpy as np
import pytest
from saw_bench import SPRINGS, crown, section_of

from trimwright.saw.holding import Method, ways_to_hold
from trimwright.saw.rests import across, face_side, flat_side, hull, rests_on


@pytest.mark.parametrize(
    "name", ["cove", "cyma-cornice", "stepped-cornice", "sprung-crown", "rail-ogee", "skirting-lined"]
)
def test_a_holding_turns_and_never_mirrors(name: str) -> None:
    """The wall's frame is left-handed and the saw's right-handed, so a rigid motion has determinant -1."""
    ways = ways_to_hold(section_of(name))
    assert len({(w.down, w.rear) for w in ways}) == len(ways)
    for way in ways:
        matrix = np.array(way.turn)
        assert matrix @ matrix.T == pytest.approx(np.eye(3))
        assert np.linalg.det(matrix) == pytest.approx(-1)


@pytest.mark.parametrize("spring", SPRINGS)
def test_a_sprung_crown_lies_at_its_spring(spring: float) -> None:
    section = crown(spring)
    down = flat_side(section)
    assert down == pytest.approx((-math.cos(math.radians(spring)), math.sin(math.radians(spring))))
    ways = ways_to_hold(section)
    assert ways[0].method is Method.NESTED
    assert (ways[0].height, ways[0].depth) == pytest.approx((section.drop, section.projection))
    lying = [w for w in ways if w.on_bed == "back"]
    assert {w.against_fence for w in lying} == {"wall edge", "ceiling edge"}
    # Flat, the depth on the bed is the distance along the back between the lines through wall and ceiling edge.
    assert lying[0].depth <= math.hypot(section.drop, section.projection) + 1e-9
    assert lying[0].height < section.drop
    assert not any(w.method is Method.STANDING for w in ways)


def test_a_hollow_face_lies_on_its_two_edges() -> None:
    """A cove of equal legs rests on the line between its lips, at 45 degrees."""
    cove = section_of("cove", drop=100, projection=100)
    assert face_side(cove) == pytest.approx((math.sqrt(0.5), -math.sqrt(0.5)))
    ways = ways_to_hold(cove)
    assert {(str(w.method), w.on_bed) for w in ways} == {
        ("nested", "ceiling edge"),
        ("flat", "back"),
        ("flat", "face"),
        ("standing", "wall edge"),
    }


def test_a_rail_stands_first() -> None:
    ways = ways_to_hold(section_of("rail-plain"))
    assert (ways[0].method, ways[0].on_bed, ways[0].against_fence) == (Method.STANDING, "bottom edge", "back")
    assert (ways[1].on_bed, ways[0].turned_round, ways[1].turned_round) == ("top edge", False, True)


def test_a_round_face_rocks() -> None:
    """A half round touches the bed on one line only."""
    assert not rests_on(section_of("astragal").outline, (1.0, 0.0))


def test_upper_and_lower_edge_at_the_fence() -> None:
    assert across((-1.0, 0.0)) == pytest.approx((0.0, 1.0))
    assert across((-1.0, 0.0), lower=True) == pytest.approx((0.0, -1.0))


def test_hull_against_shapely() -> None:
    import shapely

    points = section_of("cyma-cornice").outline.points()
    assert shapely.Polygon(hull(points)).equals(shapely.MultiPoint(points).convex_hull)
