"""The walk round a room, its gap, and the compass rule."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest
from survey_rooms import BAY, L_SHAPE, RECTANGLE, true_angle, true_length

from trimwright.survey.closing import closing_gap, on_first_wall, shared_out, walk


@pytest.mark.parametrize("room", [RECTANGLE, L_SHAPE, BAY])
def test_the_walk_of_true_readings_returns_to_every_corner(room):
    n = len(room)
    lengths = [true_length(room, i, i + 1) for i in range(n)]
    angles = [true_angle(room, (i + 1) % n) for i in range(n)]
    points = walk(lengths, angles)
    for found, true in zip(points, [*on_first_wall(room), (0, 0)], strict=True):
        assert found == pytest.approx(true, abs=1e-8)
    gap = closing_gap(lengths, angles)
    assert gap.size < 1e-8
    assert gap.angle_error == pytest.approx(0, abs=1e-9)
    assert gap.direction == "none"


def test_the_first_room_corner_turns_clockwise():
    assert walk([3000, 2000], [90])[2] == pytest.approx((3000, -2000))
    assert walk([3000, 2000], [270])[2] == pytest.approx((3000, 2000))


def test_a_missing_angle_counts_as_square():
    assert walk([3000, 2000, 1000], [None, None, None]) == walk([3000, 2000, 1000], [90, 90, 90])


@pytest.mark.parametrize(
    ("lengths", "expected", "words"),
    [
        ([4000, 3000, 4012, 3000], (-12, 0), "12.0 mm to the left along wall 1"),
        ([4000, 3000, 3990, 3000], (10, 0), "10.0 mm to the right along wall 1"),
        ([4000, 3000, 4000, 3007], (0, 7), "7.0 mm behind wall 1"),
        ([4000, 3000, 4003, 2996], (-3, -4), "3.0 mm to the left along wall 1 and 4.0 mm into the room"),
    ],
)
def test_the_gap_of_a_square_room_is_the_difference_of_its_walls(lengths, expected, words):
    gap = closing_gap(lengths, [90] * 4)
    assert (gap.dx, gap.dy) == pytest.approx(expected, abs=1e-9)
    assert gap.size == pytest.approx(math.hypot(*expected))
    assert gap.direction == words


def test_the_angle_sum_is_compared_with_that_of_a_polygon():
    assert closing_gap([4000, 3000, 4000, 3000], [90.2, 90, 90, 90.1]).angle_error == pytest.approx(0.3)


def test_each_wall_takes_its_share_of_the_gap_by_length():
    lengths = [4000.0, 3000.0, 4012.0, 3000.0]
    points = walk(lengths, [90] * 4)
    closed = shared_out(points)
    assert closed[0] == points[0]
    assert closed[-1] == pytest.approx(points[0], abs=1e-9)
    perimeter = sum(lengths)
    for i, length in enumerate(lengths):
        before = (points[i + 1][0] - points[i][0], points[i + 1][1] - points[i][1])
        after = (closed[i + 1][0] - closed[i][0], closed[i + 1][1] - closed[i][1])
        assert after[0] - before[0] == pytest.approx(12 * length / perimeter)
        assert after[1] - before[1] == pytest.approx(0, abs=1e-9)


def test_a_run_between_known_ends_is_shared_out_to_the_far_one():
    shared = shared_out([(0, 0), (10, 0), (10, -10)], end=(12, -10))
    assert shared == ((0, 0), pytest.approx((11, 0)), (12, -10))


def test_on_first_wall_keeps_the_shape():
    turned = [(5 + x * 0.6 - y * 0.8, 7 + x * 0.8 + y * 0.6) for x, y in L_SHAPE]
    for found, true in zip(on_first_wall(turned), L_SHAPE, strict=True):
        assert found == pytest.approx(true, abs=1e-9)


def test_reading_a_room_needs_no_numpy():
    code = "import sys, trimwright.survey.closing, trimwright.survey.mending; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
