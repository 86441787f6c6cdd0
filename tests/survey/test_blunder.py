"""The reading that is wrong is pointed at, and nothing is when nothing is wrong."""

from __future__ import annotations

import numpy as np
import pytest
from survey_rooms import BAY, CHIMNEY_BREAST, L_SHAPE, RECTANGLE, exact, off_by, out_of_square, with_errors

from trimwright.survey.adjust import adjust
from trimwright.survey.reading import Kind


def test_a_wrong_diagonal_among_true_readings_is_out_by_exactly_its_slip():
    readings = exact(RECTANGLE, [(0, 2), (1, 3)])
    readings[8] = off_by(readings[8], 48)
    (suspect,) = adjust(readings).suspects
    assert suspect.reading == readings[8]
    assert suspect.excess == pytest.approx(48, abs=1e-4)
    assert suspect.expected == pytest.approx(np.hypot(4600, 3600), abs=1e-4)
    assert suspect.closes_to < 1e-4
    assert suspect.others == ()


def test_two_wrong_readings_are_found_one_after_the_other():
    readings = exact(L_SHAPE, [(0, 3), (1, 5), (0, 2), (3, 5)])
    for wrong, slip in ((0, 100), (13, -80)):
        readings[wrong] = off_by(readings[wrong], slip)
    suspects = adjust(readings).suspects
    assert {s.reading for s in suspects} == {readings[0], readings[13]}
    assert all(s.closes_to < 1e-3 for s in suspects)


def test_a_corner_that_is_not_square_is_told_from_a_wrong_reading():
    """Taken as square, truly 83°: the tape says so, and the corner is the suspect."""
    room = ((0, 0), (4600, 0), (4158, -3600), (0, -3600))
    readings = exact(room, [(0, 2), (1, 3)], angles=False)
    first = adjust(readings).suspects[0]
    assert first.reading.kind is Kind.ASSUMED
    assert first.reading.at in {(1,), (2,)}


def test_opposite_walls_of_a_room_without_diagonals_cannot_be_told_apart():
    """Only the closing shows a long wall; the wall opposite, too short by as much, would leave the same gap."""
    readings = exact(RECTANGLE)
    readings[0] = off_by(readings[0], 400)
    suspect = adjust(readings).suspects[0]
    assert {(r.kind, r.at) for r in (suspect.reading, *suspect.others)} >= {(Kind.LENGTH, (0,)), (Kind.LENGTH, (2,))}


@pytest.mark.parametrize(
    ("shape", "diagonals"), [(RECTANGLE, [(0, 2), (1, 3)]), (L_SHAPE, [(0, 3), (1, 5)]), (BAY, [(0, 6), (5, 7)])]
)
@pytest.mark.parametrize("wrong", [0, 3, -5, -1])
def test_a_slip_of_the_pen_is_found_however_it_distorts_the_room(shape, diagonals, wrong):
    """A nought too many in a length, a decimal point misplaced in an angle: the room is bent beyond recognition."""
    rng = np.random.default_rng(16)
    readings = with_errors(exact(out_of_square(shape, rng), diagonals), rng)
    readings[wrong] = off_by(readings[wrong], readings[wrong].value * (9 if readings[wrong].in_mm else -0.9))
    (suspect,) = adjust(readings).suspects
    assert readings[wrong] in (suspect.reading, *suspect.others)


def planted(shape, diagonals, trials, seed, slip):
    """How often a slip in one tape reading is named, and how many others are named as likely."""
    rng = np.random.default_rng(seed)
    named = 0
    rivals = []
    for _ in range(trials):
        readings = with_errors(exact(out_of_square(shape, rng), diagonals), rng)
        wrong = int(rng.choice([i for i, r in enumerate(readings) if r.in_mm]))
        size = slip(rng, adjust(readings).checks[wrong].detectable)
        readings[wrong] = off_by(readings[wrong], size * rng.choice([-1, 1]))
        suspects = adjust(readings).suspects
        named += any(readings[wrong] in (s.reading, *s.others) for s in suspects)
        rivals += [len(s.others) for s in suspects]
    return named / trials, np.mean(rivals)


def test_slips_of_30_mm_and_more_are_found_in_rooms_with_both_diagonals():
    found, rivals = planted(RECTANGLE, [(0, 2), (1, 3)], 400, 12, lambda rng, _: rng.uniform(30, 120))
    assert found >= 0.95
    assert rivals < 1


@pytest.mark.parametrize(
    ("shape", "diagonals"), [(L_SHAPE, [(0, 3), (1, 5)]), (CHIMNEY_BREAST, [(0, 6), (5, 7)]), (BAY, [(0, 6), (5, 7)])]
)
def test_slips_half_as_large_again_as_the_detectable_one_are_found(shape, diagonals):
    """`detectable` is found four times in five; at 1.5 times it the power of the test is above 99 %."""
    found, _ = planted(shape, diagonals, 120, 13, lambda _, detectable: 1.5 * detectable)
    assert found >= 0.95


def test_rooms_with_nothing_wrong_are_left_in_peace():
    """False alarms are set at 1 in 100 rooms; 500 rooms with 5 expected stay below 15."""
    rng = np.random.default_rng(14)
    alarms = sum(
        bool(adjust(with_errors(exact(out_of_square(RECTANGLE, rng), [(0, 2), (1, 3)]), rng)).suspects)
        for _ in range(500)
    )
    assert alarms < 15


def test_the_variance_factor_is_one_on_average():
    rng = np.random.default_rng(15)
    factors = [
        adjust(with_errors(exact(out_of_square(L_SHAPE, rng), [(0, 3), (1, 5)]), rng)).variance_factor
        for _ in range(400)
    ]
    freedom = 14 - 9
    assert np.mean(factors) == pytest.approx(1, abs=4 * np.sqrt(2 / freedom / 400))
