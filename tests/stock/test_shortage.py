"""Which pieces lack a length where stock is limited, and that what is said to do does."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimwright.errors import DoesNotFit
from trimwright.stock.parts import Part, StockLength
from trimwright.stock.plan import OutOfStock, cut_plan


def said(parts: list[Part], *stock: StockLength, kerf: float = 3.0) -> str:
    with pytest.raises(OutOfStock) as error:
        cut_plan(parts, stock, kerf)
    return str(error.value).partition(": ")[2]


def test_pieces_and_lengths_are_named() -> None:
    """Two of 3000 and one of 2000: each gives one of the four pieces of 1900; the fourth and what is left over lack."""
    parts = [*(Part(1900, 1, f"C{k}") for k in range(1, 5)), Part(1000, 1, "C5")]
    stock = StockLength(3000, Decimal(9), 2), StockLength(2000, Decimal(6), 1)
    assert said(parts, *stock) == (
        "no length is left for C4 (1900); quantity = 2 in place of 1 for the length 2000 would do, or add a stock"
        " length"
    )


def test_three_are_named_and_the_rest_counted() -> None:
    parts = [Part(1000 + k, 1, f"R{k}") for k in range(9)]
    assert said(parts, StockLength(2100, Decimal(6), 2)) == (
        "no length is left for R4 (1004), R3 (1003), R2 (1002) and 2 more; quantity = 5 in place of 2 for the length"
        " 2100 would do, or add a stock length"
    )


def test_a_bare_list_has_counts() -> None:
    assert said([Part(1500, 60)], StockLength(3100, Decimal(5), 20)) == (
        "no length is left for 20 of 1500; quantity = 30 in place of 20 for the length 3100 would do, or add a stock"
        " length"
    )


def test_what_is_owned_cannot_be_bought() -> None:
    """The owned bar alone is long enough for the second piece."""
    stock = StockLength(2500, Decimal(0), 1), StockLength(1000, Decimal(3), 5)
    assert said([Part(2400, 2, "C1")], *stock) == (
        "no length is left for C1 (2400); raise a quantity or add a stock length of 2400 or more"
    )


@given(
    st.lists(st.integers(200, 2900), min_size=1, max_size=25),
    st.lists(st.tuples(st.sampled_from((2400, 3000, 3600)), st.integers(0, 3)), min_size=1, max_size=3),
)
def test_what_is_said_to_do_does(lengths: list[int], had: list[tuple[int, int]]) -> None:
    parts = [Part(length, 1, f"P{k}") for k, length in enumerate(lengths)]
    stock = [StockLength(float(length), None, count) for length, count in dict(had).items()]
    try:
        cut_plan(parts, stock, 3.0, time_limit=None)
    except OutOfStock as error:
        new, old, length = re.findall(r"quantity = (\d+) in place of (\d+) for the length (\d+)", str(error))[0]
        k = next(k for k, s in enumerate(stock) if s.length == float(length))
        assert stock[k].quantity == int(old)
        stock[k] = StockLength(float(length), None, int(new))
        cut_plan(parts, stock, 3.0, time_limit=None)
    except DoesNotFit:
        assert max(lengths) > max((s.length for s in stock if s.quantity), default=0)
