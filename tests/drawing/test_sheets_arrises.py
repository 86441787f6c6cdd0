"""What shows of a section from the front and from above, against sections whose answer is plain to see."""

from __future__ import annotations

import math

import pytest
from drawn_rooms import cove, polygon, rail

from trimwright.drawing.arrises import arrises, face, front_at, inside, plan_lines, seen_arrises
from trimwright.drawing.spans import split, unlike


def test_cove_shows_its_lips_only():
    outline = cove(100, 8)
    heights = [height for _, height in seen_arrises(outline)]
    assert heights == pytest.approx([-100, -8, 0])
    assert seen_arrises(outline)[0] == pytest.approx((8, -100))


def test_front_of_a_cove_is_its_circle():
    # Quarter hollow of radius leg - lip round (leg, -leg): out = leg - sqrt(r^2 - (h + leg)^2).
    leg, lip = 100.0, 8.0
    outline = cove(leg, lip)
    for height in (-90.0, -60.0, -20.0):
        expected = leg - math.sqrt((leg - lip) ** 2 - (height + leg) ** 2)
        assert front_at(outline, height) == pytest.approx(expected, abs=0.05)
    assert front_at(outline, 5.0) is None


def test_undercut_arrises_are_hidden_from_the_front():
    # A channel open at the top: inner edges lie behind its front flange.
    channel = polygon((0, 0), (20, 0), (20, 15), (18, 15), (18, 2), (2, 2), (2, 15), (0, 15))
    assert seen_arrises(channel) == [(20, 0), (20, 15)]
    assert len(arrises(channel)) == 8


def test_plan_lines_say_what_is_seen_from_above():
    lines = plan_lines(rail())
    assert lines[0] == pytest.approx((0, True))
    assert lines[-1] == pytest.approx((22, True))
    seen = {round(out): flag for out, flag in lines}
    assert seen[16], "edge of the top face"
    assert not seen[8], "lower edge, under the rail"


def test_round_front_has_its_outermost_line():
    half_round = polygon(*[(10 * math.sin(k * math.pi / 24), -10 * math.cos(k * math.pi / 24)) for k in range(25)])
    assert max(out for out, _ in plan_lines(half_round)) == pytest.approx(10)
    assert [h for _, h in seen_arrises(half_round)] == pytest.approx([-10, 10])


def test_face_runs_from_bottom_to_top():
    heights = [height for _, height in face(rail())]
    assert heights == sorted(heights)
    assert (heights[0], heights[-1]) == (-55, 0)


def test_inside_lies_in_the_material_of_a_channel():
    channel = polygon((0, 0), (20, 0), (20, 15), (18, 15), (18, 2), (2, 2), (2, 15), (0, 15))
    out, height = inside(channel)
    assert 2 < height < 15
    assert 0 < out < 2 or 18 < out < 20


def test_split_by_covers():
    assert split((0, 10), [(2, 4), (3, 6), (9, 12)]) == ([(0, 2), (6, 9)], [(2, 4), (4, 6), (9, 10)])
    assert split((0, 10), []) == ([(0, 10)], [])
    assert split((0, 10), [(-5, 20)]) == ([], [(0, 10)])
    assert unlike([3, 1, 1.01, 3.2], 0.05) == [1, 3, 3.2]
