from __future__ import annotations

import math
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimwright.errors import ProfileError
from trimwright.profile.expression import FUNCTIONS, evaluate

NAMES = {"drop": 100.0, "lip": 8.0}


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("3", 3),
        ("drop - 2 * lip", 84),
        ("-(drop + lip) / 2", -54),
        ("2 ** 2 ** 3 / 2", 128),
        (" sqrt(lip * 2) ", 4),
        ("sin(30) + cos(60) + tan(45)", 2),
        ("hypot(3, 4)", 5),
        ("max(drop, lip, 3) - min(drop, lip) + abs(-lip)", 100),
        (7, 7),
        (2.5, 2.5),
    ],
)
def test_arithmetic(text: str | float, value: float) -> None:
    assert evaluate(text, NAMES, "here") == pytest.approx(value, rel=1e-12)


@given(st.floats(-1e3, 1e3), st.floats(-1e3, 1e3))
def test_agrees_with_python(a: float, b: float) -> None:
    assert evaluate("a * b - (a - b) ** 2", {"a": a, "b": b}, "here") == pytest.approx(a * b - (a - b) ** 2)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("drop - lpi", r"p\.toml: step 1: in 'drop - lpi': unknown parameter 'lpi', perhaps 'lip'; known: drop, lip"),
        ("sqr(drop)", r"unknown function 'sqr', perhaps 'sqrt'; known: sqrt, hypot, sin"),
        ("drop / (lip - 8)", "division by zero"),
        ("drop +", "this is not arithmetic"),
        ("", "this is not arithmetic"),
        ("sqrt(-1)", "root of a negative number"),
        ("(0 - lip) ** 0.5", "root of a negative number"),
        ("drop ** 9", "a power above 8 is not allowed"),
        ("9 ** 8 ** 8", "a power above 8"),
        ("(((9.0 ** 8) ** 8) ** 8) ** 8", "too large"),
        ("1e308 * 10", "not a finite number"),
        ("'a' * 9", "'a' is not a number"),
        ("True", "True is not a number"),
        ("drop.real", "only numbers, names"),
        ("[1][0]", "only numbers, names"),
        ("lip if drop else 1", "only numbers, names"),
        ("drop % 3", "only numbers, names"),
        ("f'{drop}'", "only numbers, names"),
        ("sqrt(x=4)", "called by its name"),
        ("hypot(*(3, 4))", "only numbers, names"),
        ("sqrt(1, 2)", "argument"),
        ("sqrt", "unknown parameter 'sqrt'"),
        ("__import__('os')", "unknown function '__import__'"),
        ("drop" + " + 1" * 60, "longer than 200 characters"),
    ],
)
def test_refusals(text: str, message: str) -> None:
    with pytest.raises(ProfileError, match=message):
        evaluate(text, NAMES, "p.toml: step 1")


def test_nothing_takes_long() -> None:
    """The worst that the grammar allows in 200 characters: powers of powers and multiplied long integers."""
    start = time.perf_counter()
    for text in ("(" * 30 + "9" + "**8)" * 30, "9" * 95 + "*" + "9" * 95, "(" * 99 + "1" + ")" * 99, "-" * 190 + "1"):
        try:
            assert math.isfinite(evaluate(text, NAMES, "here"))
        except ProfileError:
            continue
    assert time.perf_counter() - start < 0.5


def test_every_function_is_named_in_the_message() -> None:
    with pytest.raises(ProfileError) as caught:
        evaluate("nothing(1)", NAMES, "here")
    assert all(name in str(caught.value) for name in FUNCTIONS)
