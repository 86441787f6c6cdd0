"""The survey in words and rows."""

from __future__ import annotations

import math

import pytest
from survey_rooms import L_SHAPE, RECTANGLE, exact, off_by

from trimwright.survey.adjust import adjust
from trimwright.survey.reading import Kind, assumed, length, parallel
from trimwright.survey.report import rows, sentences


def wrong_diagonal():
    readings = exact(RECTANGLE, [(0, 2), (1, 3)])
    readings[8] = off_by(readings[8], 48)
    return adjust(readings)


def test_the_wrong_reading_is_named_first_with_what_everything_else_makes_it():
    said = sentences(wrong_diagonal())
    assert said[0] == "The diagonal 1-3 is 48 mm longer than everything else allows (5841 mm): measure it again."
    assert said[1] == "With it left out the room closes to 0.0 mm."


def test_the_table_has_a_row_a_reading_and_marks_the_wrong_one():
    survey = wrong_diagonal()
    table = rows(survey, ["door wall"])
    assert len(table) == 10
    assert [r.verdict == "measure again" for r in table] == [i == 8 for i in range(10)]
    assert table[0].reading == "The length of wall 1 (door wall)"
    assert table[0].measured == "4600.0 mm"
    assert table[8].measured == f"{(4600**2 + 3600**2) ** 0.5 + 48:.1f} mm"
    assert table[8].difference.startswith("+")
    assert table[4].measured == "90.0°"
    assert "would show" in table[4].checked


def test_corners_taken_as_square_are_said_to_be_so():
    survey = adjust([length(i, v) for i, v in enumerate((4600, 3600, 4600, 3600))])
    table = rows(survey)
    assert [r.checked for r in table[:4]] == ["nothing checks it"] * 4
    assert [r.verdict for r in table[:4]] == ["unchecked"] * 4
    assert [(r.measured, r.checked, r.verdict) for r in table[4:]] == [("as square", "not measured", "assumed")] * 4
    (weak,) = (s for s in sentences(survey) if s.startswith("Only the corners"))
    assert weak in {
        f"Only the corners taken as square hold the room's shape: measure the diagonal {d} to fix it."
        for d in ("1-3", "2-4")
    }


def test_many_that_may_as_well_be_at_fault_are_counted():
    """Walls and diagonals alone check each other just once: a misfit shows, but not whose it is."""
    readings = [
        off_by(r, 60) if r.kind is Kind.DIAGONAL and r.at == (0, 2) else r for r in exact(RECTANGLE, [(0, 2), (1, 3)])
    ]
    survey = adjust([r for r in readings if r.in_mm])
    said = sentences(survey)[0]
    assert said.endswith("5 others may as well be at fault, and one more diagonal would tell.")
    assert [r.verdict for r in rows(survey)].count("or this one") == 5


def test_a_corner_far_from_square():
    readings = exact(((0, 0), (4600, 0), (4158, -3600), (0, -3600)), [(0, 2), (1, 3)], angles=False)
    first = sentences(adjust(readings))[0]
    assert "was taken as 90.0°, yet everything else makes it" in first


def test_walls_that_are_not_parallel():
    said = sentences(adjust([*exact(((0, 0), (4600, 0), (4600, -3600), (0, -3900)), [(0, 2), (1, 3)]), parallel(0, 2)]))
    assert said[0].startswith("Wall 1 parallel to wall 3 cannot be: everything else makes them 3.7° out of parallel")


def test_a_gap_that_such_readings_leave_is_no_reason_to_worry():
    readings = [off_by(r, 0.2) if r.kind is Kind.ANGLE and r.at == (1,) else r for r in exact(RECTANGLE)]
    (walked,) = (s for s in sentences(adjust(readings)) if s.startswith("Walked round"))
    assert walked.endswith("no more than such readings leave.")
    assert f"{4600 * math.radians(0.2):.0f} mm" in walked


def test_the_last_sentence_tells_how_sure_the_room_is():
    survey = adjust(exact(L_SHAPE))
    worst = max(survey.ellipses, key=lambda e: e.major)
    assert f"within {worst.major:.0f} mm with 95 % certainty" in sentences(survey)[-1]


def test_readings_worse_than_they_say_with_none_to_blame():
    """Every wall read with a tape that is off: misfits everywhere, no single one outstanding."""
    slips = (6, -6, -6, 6, 0.45, -0.45, 0.45, -0.45, 9, -9)
    readings = [off_by(r, s) for r, s in zip(exact(RECTANGLE, [(0, 2), (1, 3)]), slips, strict=True)]
    survey = adjust(readings)
    assert survey.chance < 0.05
    assert survey.suspects == ()
    assert "times as much as they should" in sentences(survey)[0]


@pytest.mark.parametrize("value", [90.0, 135.0])
def test_an_assumed_angle_is_shown_as_it_was_assumed(value):
    survey = adjust([length(0, 3000), length(1, 2000), assumed(1, value)], closed=False)
    assert rows(survey)[2].measured == ("as square" if value == 90 else "135.0°")
