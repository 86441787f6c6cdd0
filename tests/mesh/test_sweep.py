from __future__ import annotations

import math

import pytest

from trimwright.mesh.sweep import prism, stencil_of, sweep
from trimwright.room import Frame

FRAME = Frame((100.0, -40.0), (math.cos(0.3), math.sin(0.3)))
SQUARE = stencil_of([(0, 0), (50, 0), (50, 20), (0, 20)])


def test_ends_lie_on_their_planes() -> None:
    body = sweep(SQUARE, [FRAME], [(10.0, 0.5)], [(900.0, -2.0)], ["x"])[0]
    assert body.volume == pytest.approx(20 * ((900 - 10) * 50 - 2.5 * 50**2 / 2))
    for x, y, _ in body.vertices:
        station, out = FRAME.locate((x, y))
        assert min(abs(station - 10 - 0.5 * out), abs(station - 900 + 2 * out)) < 1e-9


def test_a_return_that_is_nothing_long_at_its_back_is_a_closed_wedge() -> None:
    body = sweep(SQUARE, [FRAME], [(0.0, -1.0)], [(0.0, 0.0)], ["return"])[0]
    assert body.closed
    assert len(body.vertices) == 6
    assert body.areas.min() > 1
    assert body.volume == pytest.approx(50 * 50 / 2 * 20)


def test_a_return_with_points_between_on_its_back_is_closed_too() -> None:
    ribbed = stencil_of([(0, 0), (50, 0), (50, 20), (0, 20), (0, 13), (0, 7)])
    body = sweep(ribbed, [FRAME], [(0.0, -1.0)], [(0.0, 0.0)], ["return"])[0]
    assert body.closed
    assert body.volume == pytest.approx(50 * 50 / 2 * 20)


def test_planes_that_cross_name_the_body() -> None:
    with pytest.raises(ValueError, match=r"the two ends of rail R3 cross each other: it would be -40\.000 mm long"):
        sweep(SQUARE, [FRAME], [(0.0, 1.0)], [(10.0, 0.0)], ["rail R3"])


def test_prism_in_a_frame_turns_with_it() -> None:
    body = prism([(0, -50), (30, -50), (30, 0), (0, 0)], 5, 8, FRAME)
    places = [FRAME.locate((x, y)) for x, y, _ in body.vertices]
    assert max(out for _, out in places) == pytest.approx(50)
    assert min(out for _, out in places) == pytest.approx(0)
    assert body.volume == pytest.approx(30 * 50 * 3)
