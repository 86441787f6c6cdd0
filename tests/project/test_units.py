from __future__ import annotations

import math

import pytest

from trimwright.units import length


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
    ["", "abc", "2 furlongs", "3in 2ft", "1/0 in", "2 2 2", "1e3", True, None, [], math.nan, math.inf, "9" * 60],
)
def test_what_is_not_a_length_is_refused_in_words(written: object) -> None:
    with pytest.raises(ValueError, match=r"length|unit|divides|larger"):
        length(written)
