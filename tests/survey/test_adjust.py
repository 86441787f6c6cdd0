"""The most probable room: exact where readings are exact, lawful where they are not, and as sure as it says."""

from __future__ import annotations

import math

import numpy as np
import pytest
from survey_rooms import (
    BAY,
    CHIMNEY_BREAST,
    L_SHAPE,
    RECTANGLE,
    exact,
    off_by,
    out_of_square,
    true_angle,
    true_length,
    with_errors,
)

from trimwright.errors import RoomFileError
from trimwright.survey.adjust import adjust
from trimwright.survey.reading import (
    USUAL,
    Accuracy,
    Kind,
    Reading,
    angle,
    assumed,
    diagonal,
    length,
    parallel,
    room_readings,
)

ROOMS = {"rectangle": RECTANGLE, "L": L_SHAPE, "chimney breast": CHIMNEY_BREAST, "bay": BAY}


@pytest.mark.parametrize("shape", ROOMS.values(), ids=ROOMS.keys())
def test_readings_without_error_give_the_room_itself(shape):
    room = out_of_square(shape, np.random.default_rng(5))
    survey = adjust(exact(room, [(0, 2)]))
    assert survey.points == pytest.approx(np.array(room), abs=1e-5)
    assert survey.lengths == pytest.approx([true_length(room, i, i + 1) for i in range(len(room))], abs=1e-5)
    assert survey.angles == pytest.approx([true_angle(room, k) for k in range(len(room))], abs=1e-6)
    assert survey.chi_square == pytest.approx(0, abs=1e-6)
    assert survey.suspects == ()
    assert not survey.weak


def test_walls_and_diagonals_alone_fix_a_room():
    """Every triangle of the L hangs on three tape readings; what is assumed of its corners is then true by itself."""
    readings = exact(L_SHAPE, [(0, 2), (0, 3), (3, 5), (2, 5), (0, 4)], angles=False)
    survey = adjust([*readings, assumed(3, 270)])
    assert survey.points == pytest.approx(np.array(L_SHAPE), abs=1e-5)
    assert not survey.weak


def test_a_wall_behind_a_cupboard_may_be_left_out():
    room = out_of_square(L_SHAPE, np.random.default_rng(6))
    readings = [r for r in exact(room, [(0, 3)]) if r.at != (4,) or r.kind is not Kind.LENGTH]
    survey = adjust(readings)
    assert survey.points == pytest.approx(np.array(room), abs=1e-5)
    assert survey.gap is None


def test_an_open_run_is_the_walk_along_it():
    survey = adjust([length(0, 3000), length(1, 2000), angle(1, 88)], closed=False)
    end = (3000 - 2000 * math.cos(math.radians(88)), -2000 * math.sin(math.radians(88)))
    assert survey.points[2] == pytest.approx(end, abs=1e-6)
    assert survey.angles == (None, pytest.approx(88), None)
    assert survey.freedom == 0
    assert survey.variance_factor == 0


@pytest.mark.parametrize("shape", ROOMS.values(), ids=ROOMS.keys())
def test_sums_that_must_hold(shape):
    readings = with_errors(exact(out_of_square(shape, np.random.default_rng(7)), [(0, 2)]), np.random.default_rng(8))
    survey = adjust(readings)
    n = len(shape)
    assert survey.points[0] == (0, 0)
    assert survey.points[1][1] == 0
    assert sum(a for a in survey.angles if a) == pytest.approx(180 * (n - 2))
    assert survey.freedom == len(readings) - (2 * n - 3)
    assert sum(c.redundancy for c in survey.checks) == pytest.approx(survey.freedom)
    assert survey.chi_square == pytest.approx(sum((c.difference / c.reading.sd) ** 2 for c in survey.checks))
    for check in survey.checks:
        assert check.reading.value - check.difference == pytest.approx(check.adjusted)


def test_it_does_not_matter_which_wall_is_listed_first():
    """Lengths, angles and their deviations are the room's own; only the frame and its ellipses move with the datum."""
    readings = with_errors(exact(L_SHAPE, [(0, 3), (1, 5)]), np.random.default_rng(9))
    first = adjust(readings)
    moved = [Reading(kind=r.kind, at=tuple((i + 2) % 6 for i in r.at), value=r.value, sd=r.sd) for r in readings]
    second = adjust(moved)
    assert np.roll(second.lengths, -2) == pytest.approx(np.array(first.lengths), abs=1e-5)
    assert np.roll(second.angles, -2) == pytest.approx(np.array(first.angles), abs=1e-6)
    assert np.roll(second.length_sds, -2) == pytest.approx(np.array(first.length_sds), rel=1e-5)
    assert np.roll(second.angle_sds, -2) == pytest.approx(np.array(first.angle_sds), rel=1e-5)
    assert second.chi_square == pytest.approx(first.chi_square)


def test_a_reading_taken_twice_is_their_mean():
    survey = adjust([length(0, 3000, 2), length(0, 3004, 2), length(1, 2000), angle(1, 90)], closed=False)
    assert survey.lengths[0] == pytest.approx(3002)
    assert survey.length_sds[0] == pytest.approx(2 / math.sqrt(2))


def test_better_readings_count_for_more():
    """Weights are 1/sd²: 3000 ± 1 and 3005 ± 2 make 3001."""
    survey = adjust([length(0, 3000, 1), length(0, 3005, 2), length(1, 2000), angle(1, 90)], closed=False)
    assert survey.lengths[0] == pytest.approx(3001)


def test_parallel_walls():
    """A run of three walls whose last corner was not measured: the first and last known to be parallel."""
    walls = [length(0, 2000), length(1, 3000), length(2, 2000)]
    survey = adjust([*walls, angle(1, 88, 0.01), parallel(0, 2, 0.01)], closed=False)
    assert survey.angles[2] == pytest.approx(92, abs=0.01)
    assert not survey.weak


def test_corners_taken_as_square_hold_a_room_but_weakly():
    survey = adjust([length(i, v) for i, v in enumerate((4600, 3600, 4600, 3600))])
    assert survey.weak
    assert survey.next_reading is not None
    assert survey.next_reading.kind is Kind.DIAGONAL
    firmer = adjust([*(c.reading for c in survey.checks), survey.next_reading])
    assert not firmer.weak
    worst, better = (max(e.major for e in s.ellipses) for s in (survey, firmer))
    assert better < worst / 5


def test_the_wanted_diagonal_stays_inside_the_room():
    """From corner 2 nothing beyond the re-entrant corner 4 of an L can be seen; 3-5 would cross the missing quarter."""
    survey = adjust([*exact(L_SHAPE, angles=False), assumed(3, 270)])
    assert survey.next_reading is not None
    assert survey.next_reading.at not in {(2, 4), (1, 4)}


def test_too_few_readings_name_the_one_that_is_wanted():
    with pytest.raises(RoomFileError, match=r"do not fix the room: measure (the length of wall|the diagonal)"):
        adjust([length(0, 4600)], walls=4)


@pytest.mark.parametrize(
    ("readings", "message"),
    [
        ([length(0, -5), length(1, 5), length(2, 5)], r"length of wall 1 is -5 mm; it must be a length above 0"),
        ([length(0, 5), length(1, 5), length(2, 5), angle(3, 90)], r"corner 4: there is no such corner; .* 1 to 3"),
        ([length(0, 5), length(1, 5), length(2, 5), angle(1, 400)], r"corner 2 is 400°; it must lie between 0 and 360"),
        ([length(0, 5), length(1, 5), length(2, 5), diagonal(1, 1, 9)], r"diagonal 2-2: it needs two different corner"),
        ([length(0, 5), length(1, 5), length(2, 5, 0.0)], r"wall 3: its standard deviation is 0; it must be above 0"),
        ([length(0, float("nan")), length(1, 5), length(2, 5)], r"length of wall 1 is nan mm"),
        ([length(0, 5), length(1, 5), length(2, float("inf"), 1.0)], r"length of wall 3 is inf mm"),
        ([length(0, 5), length(1, 5)], r"a closed room needs at least 3 walls: 2 given"),
    ],
)
def test_readings_that_cannot_be(readings, message):
    with pytest.raises(RoomFileError, match=message):
        adjust(readings)


def test_a_corner_read_from_the_wrong_side_is_named():
    readings = [off_by(r, -180) if r.kind is Kind.ANGLE and r.at == (3,) else r for r in exact(L_SHAPE)]
    with pytest.raises(RoomFileError, match=r"corner 4 \(read as 90\.0°\) must be external, about 270\.0° in the room"):
        adjust(readings)


def test_an_external_corner_left_out_is_named():
    with pytest.raises(RoomFileError, match=r"corner 4 \(taken as 90\.0°, not measured\) must be external"):
        adjust(exact(L_SHAPE, angles=False))


def test_internal_and_external_interchanged_throughout():
    turned = [angle(k, 360 - true_angle(L_SHAPE, k)) for k in range(6)]
    with pytest.raises(RoomFileError, match="interchanged at every corner, or the walls are listed from right to left"):
        adjust([*exact(L_SHAPE, angles=False), *turned])


def test_the_readings_of_a_room_file():
    """There each corner stands with the wall on its left: the last wall's is corner 1."""
    closed = room_readings([5, 6, 7, 8], [91.0, None, 89.0, 90.5], [(0, 2, 9)], [(1, 3)])
    assert closed == (
        *(length(i, v) for i, v in enumerate((5, 6, 7, 8))),
        *(angle(1, 91.0), angle(3, 89.0), angle(0, 90.5)),
        assumed(2),
        diagonal(0, 2, 9),
        parallel(1, 3),
    )
    assert room_readings([5, 6], [91.0, None], closed=False) == (length(0, 5), length(1, 6), angle(1, 91.0))
    assert room_readings([5, 6, 7], [None] * 3) == (length(0, 5), length(1, 6), length(2, 7))
    n = len(L_SHAPE)
    lengths = [true_length(L_SHAPE, i, i + 1) for i in range(n)]
    angles = [true_angle(L_SHAPE, (i + 1) % n) for i in range(n)]
    assert adjust(room_readings(lengths, angles)).points == pytest.approx(np.array(L_SHAPE), abs=1e-5)


def test_the_accuracy_of_readings():
    """1.5 mm and 0.3 mm a metre, 0.3°, square to 1.5° unless told (common practice, no source)."""
    assert USUAL.tape(4000) == pytest.approx(1.5 + 4 * 0.3)
    assert length(0, 4000).sd == diagonal(0, 1, 4000).sd == USUAL.tape(4000)
    laser = Accuracy(length=1, length_per_metre=0, angle=0.1, square=2, parallel=0.2)
    readings = room_readings([4000, 3000], [89.0, None], [(0, 2, 5000)], [(0, 1)], closed=False, accuracy=laser)
    assert [r.sd for r in readings] == [1, 1, 0.1, 1, 0.2]


def test_ellipses_hold_19_corners_in_20():
    """2,000 surveys of one room: 93 to 97 % of the corners found lie within the 95 % ellipse about the true one."""
    room = out_of_square(RECTANGLE, np.random.default_rng(10))
    rng = np.random.default_rng(11)
    readings = exact(room, [(0, 2), (1, 3)])
    ellipses = adjust(readings).ellipses
    trials = 2000
    found = np.array([adjust(with_errors(readings, rng)).points for _ in range(trials)])
    for corner in (2, 3):
        ellipse = ellipses[corner]
        c, s = math.cos(math.radians(ellipse.direction)), math.sin(math.radians(ellipse.direction))
        dx, dy = (found[:, corner] - np.array(room[corner])).T
        inside = ((dx * c + dy * s) / ellipse.major) ** 2 + ((dy * c - dx * s) / ellipse.minor) ** 2 <= 1
        assert 0.93 <= inside.mean() <= 0.97
    along = np.abs(found[:, 1, 0] - room[1][0]) <= 1.95996 * adjust(readings).length_sds[0]
    assert 0.93 <= along.mean() <= 0.97
    assert ellipses[0].major == 0
