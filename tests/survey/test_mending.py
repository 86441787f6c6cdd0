"""Corners nobody measured, and corners read from the wrong side."""

from __future__ import annotations

import numpy as np
import pytest
from survey_rooms import BAY, CHIMNEY_BREAST, L_SHAPE, RECTANGLE, out_of_square, true_angle, true_length

from trimwright.survey.closing import closing_gap
from trimwright.survey.mending import filled_in, misread_corners


def readings_of(room):
    n = len(room)
    return [true_length(room, i, i + 1) for i in range(n)], [true_angle(room, (i + 1) % n) for i in range(n)]


@pytest.mark.parametrize("missing", [(0,), (1,), (5,), (0, 3), (2, 5)])
def test_one_or_two_missing_corners_are_as_good_as_measured(missing):
    """Three conditions fix them; what the belief in squareness leaves is far below what an angle finder reads."""
    room = out_of_square(L_SHAPE, np.random.default_rng(4))
    lengths, true = readings_of(room)
    about = [a if a < 180 else a - 180 for a in true]
    given = [None if i in missing and a < 180 else a for i, a in enumerate(true)]
    found = filled_in(lengths, given)
    assert found == pytest.approx(true, abs=0.03)
    assert closing_gap(lengths, found).size < 0.1
    assert max(abs(a - 90) for a in about) > 0.2


def test_known_corners_are_left_alone():
    lengths, angles = readings_of(L_SHAPE)
    assert filled_in(lengths, angles) == tuple(angles)
    given = [91.0, None, 89.0, None]
    found = filled_in([4600, 3600, 4600, 3600], given)
    assert found[0] == 91.0
    assert found[2] == 89.0


def test_with_no_angle_at_all_the_room_is_closed_by_small_turns():
    lengths = [4600.0, 3590.0, 4612.0, 3601.0]
    found = filled_in(lengths, [None] * 4)
    assert closing_gap(lengths, [None] * 4).size > 16
    assert closing_gap(lengths, found).size < 16
    assert all(abs(a - 90) < 0.5 for a in found)


@pytest.mark.parametrize("room", [RECTANGLE, L_SHAPE, CHIMNEY_BREAST, BAY])
def test_a_room_as_it_is_has_no_misread_corner(room):
    lengths, angles = readings_of(out_of_square(room, np.random.default_rng(1)))
    assert misread_corners(lengths, angles) == ()


@pytest.mark.parametrize("room", [RECTANGLE, L_SHAPE, CHIMNEY_BREAST, BAY])
def test_every_single_corner_read_from_the_wrong_side_is_found(room):
    lengths, angles = readings_of(out_of_square(room, np.random.default_rng(2)))
    for wrong in range(len(angles)):
        swapped = [360 - a if i == wrong else a for i, a in enumerate(angles)]
        assert misread_corners(lengths, swapped) == (wrong,)


def test_two_corners_and_all_corners():
    lengths, angles = readings_of(out_of_square(L_SHAPE, np.random.default_rng(3)))
    swapped = [360 - a if i in (1, 3) else a for i, a in enumerate(angles)]
    assert misread_corners(lengths, swapped) == (1, 3)
    assert misread_corners(lengths, [360 - a for a in angles]) == tuple(range(6))


def test_an_unmeasured_external_corner_is_found():
    lengths, angles = readings_of(L_SHAPE)
    unmeasured = [None if a > 180 else a for a in angles]
    assert misread_corners(lengths, unmeasured) == (angles.index(max(angles)),)


def test_two_corners_interchanged_with_each_other_add_up_and_look_like_a_wrong_wall():
    lengths, angles = readings_of(L_SHAPE)
    swapped = [360 - a if i in (1, 2) else a for i, a in enumerate(angles)]
    assert sum(swapped) == pytest.approx(sum(angles))
    assert misread_corners(lengths, swapped) == ()


def test_a_wrong_wall_is_not_blamed_on_a_corner():
    lengths, angles = readings_of(L_SHAPE)
    lengths[1] += 900
    assert misread_corners(lengths, angles) == ()


def test_the_mirror_image_closes_as_well():
    """Why a list from right to left cannot be told by arithmetic: its walls and angles are those of another room."""
    lengths, angles = readings_of(L_SHAPE)
    mirrored = lengths[::-1]
    turned = [*angles[-2::-1], angles[-1]]
    assert closing_gap(mirrored, turned).size < 1e-8
    assert misread_corners(mirrored, turned) == ()
