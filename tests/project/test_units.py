from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimwright.units import MILLIMETRES, Units, feet_inches, length, value


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        (2400, 2400.0),
        (38.5, 38.5),
        ("2400", 2400.0),
        ("2.4 m", 2400.0),
        ("2.4m", 2400.0),
        ("240 cm", 2400.0),
        ("-3 mm", -3.0),
        # Yard and pound agreement of 1959: one inch is 25.4 mm exactly.
        ("1in", 25.4),
        ("7ft 10 1/2in", (7 * 12 + 10.5) * 25.4),
        ("7' 10 1/2\"", (7 * 12 + 10.5) * 25.4),
        ("7’ 10 1/2”", (7 * 12 + 10.5) * 25.4),
        ("3/4 in", 0.75 * 25.4),
        ("2 feet 1 inch", 25 * 25.4),
    ],
)
def test_lengths_as_people_write_them(written: object, mm: float) -> None:
    assert length(written) == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    "written",
    [
        "",
        "abc",
        "2 furlongs",
        "3in 2ft",
        "1/0 in",
        "2 2 2",
        "7' 10",
        "1e3",
        True,
        None,
        [],
        math.nan,
        math.inf,
        "9" * 60,
    ],
)
def test_what_is_not_a_length_is_refused_in_words(written: object) -> None:
    with pytest.raises(ValueError, match=r"length|unit|divides|larger"):
        length(written)


@pytest.mark.parametrize(
    ("mm", "written"),
    [
        # Worked by hand from 25.4 mm to the inch, 1.5875 mm to the sixteenth.
        (0.0, '0"'),
        (25.4, '1"'),
        (12.7, '1/2"'),
        (4.7625, '3/16"'),
        (22.225, '7/8"'),
        (304.8, "1' 0\""),
        (317.5, "1' 0 1/2\""),
        (2400.3, "7' 10 1/2\""),
        (4620.0, "15' 1 7/8\""),  # 4620 / 25.4 = 181.89 in: 1' x 15 + 1.89, and 0.89 is nearest 14/16
        (303.2125, '11 15/16"'),
        (304.1, "1' 0\""),  # 11.972 in is nearer to 12 than to 11 15/16
        (303.9, '11 15/16"'),
        (-304.1, "-1' 0\""),
        (-9.525, '-3/8"'),
        (0.79375, '1/16"'),  # half a sixteenth goes up
        (-0.79375, '-1/16"'),
        (0.79, '0"'),
        (-0.79, '0"'),
        (304.00625, "1' 0\""),  # half a sixteenth, carried through inch and foot
    ],
)
def test_feet_inches_and_sixteenths(mm: float, written: str) -> None:
    assert feet_inches(mm) == written


@given(st.floats(-100_000, 100_000))
def test_feet_and_inches_read_back_within_half_a_sixteenth(mm: float) -> None:
    back = length(feet_inches(mm))
    assert abs(back - mm) <= MILLIMETRES["in"] / 32 + 1e-9
    assert feet_inches(back) == feet_inches(mm)


def test_both_units_side_by_side() -> None:
    assert Units.MM.written(2400.34) == "2400.3"
    assert Units.INCHES.written(2400.3) == "2400.3 [7' 10 1/2\"]"
    assert Units.INCHES.read(2400.3) == "7' 10 1/2\""
    assert [value(v) for v in (4620.0, 90.34, 0.96, -0.01, 2565.04)] == ["4620", "90.3", "1", "0", "2565"]
