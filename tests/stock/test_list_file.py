"""The bare list: read, planned, shown; and what is said of a bad one."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest

from trimwright.errors import DoesNotFit, RoomFileError
from trimwright.stock.list_file import plan_json, plan_list, plan_report, plan_text, read_list

LIST = """
kerf = 3

[[piece]]
length = 1198.5
count = 4

[[piece]]
length = "2 m"
name = "over the door"

[[stock]]
length = "2.4m"
price = 14.20

[[stock]]
length = 2000
price = 0
quantity = 1
"""


@pytest.fixture
def list_of(tmp_path):
    def write(text):
        path = tmp_path / "list.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_data_of_a_plan_has_exactly_the_agreed_keys(list_of):
    data = plan_json(plan_list(read_list(list_of(LIST))))
    assert data == {
        "status": "optimal",
        "bound": 28.4,
        "cost": 28.4,
        "bars": [
            {"stock": 2400.0, "pieces": [1198.5, 1198.5], "waste": 0.0},
            {"stock": 2400.0, "pieces": [1198.5, 1198.5], "waste": 0.0},
            {"stock": 2000.0, "pieces": [2000.0], "waste": 0.0},
        ],
    }


def test_report_is_that_data_or_a_table(list_of):
    path = list_of(LIST)
    assert json.loads(plan_report(path, as_json=True)) == plan_json(plan_list(read_list(path)))
    text = plan_report(path)
    assert "over the door 2000" in text
    assert "3 bars, cost 28.40 (no plan costs less); waste 0 mm of 6800 mm" in text


def test_without_prices_the_sum_is_in_bars(list_of):
    path = list_of("[[piece]]\nlength = 700\ncount = 4\n[[stock]]\nlength = 2400\n")
    plan = plan_list(read_list(path))
    assert plan_json(plan)["cost"] == 2
    assert "2 bars to buy (no plan takes fewer)" in plan_text(plan, 3, 0)


def test_left_over_allows_for_the_parting_cut_and_the_trimmed_end(list_of):
    path = list_of("kerf = 4\nend_trim = 10\n[[piece]]\nlength = 1000\n[[stock]]\nlength = 2400\n")
    assert f"{2400 - 1000 - 4 - 10}" in plan_report(path)


def test_prices_are_read_as_written(list_of):
    assert read_list(list_of(LIST)).stock[0].price == Decimal("14.2")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (("kerf", "kref"), r"list\.toml: kref: unknown key; did you mean 'kerf'\?"),
        (("count = 4", "cuont = 4"), r"\[\[piece\]\] 1, cuont: unknown key; did you mean 'count'\?"),
        (("price = 14.20", "prize = 14.20"), r"\[\[stock\]\] 1, prize: unknown key; did you mean 'price'\?"),
        (("[[stock]]", "[[stok]]"), r"stok.*did you mean 'stock'"),
        (('"2.4m"', '"2.4 yards"'), r"\[\[stock\]\] 1, length: .*unknown unit 'yards'"),
        (("count = 4", 'count = "4"'), r"\[\[piece\]\] 1, count: .*a whole number.* \(it is '4'\)"),
        (("count = 4", "count = 0"), r"\[\[piece\]\] 1, count: .*greater than or equal to 1"),
        (("count = 4", "count = 1.5"), r"\[\[piece\]\] 1, count"),
        (("1198.5", "-5"), r"\[\[piece\]\] 1, length: .*greater than or equal to 0.01"),
        (("1198.5", "nan"), r"\[\[piece\]\] 1, length: nan is not a length"),
        (("price = 14.20", "price = -1"), r"\[\[stock\]\] 1, price"),
        (("kerf = 3", "kerf = "), r"not valid TOML"),
    ],
)
def test_faults_are_named_with_the_entry(list_of, change, message):
    with pytest.raises(RoomFileError, match=message):
        read_list(list_of(LIST.replace(*change)))


def test_no_pieces_and_no_file(list_of, tmp_path):
    with pytest.raises(RoomFileError, match="piece is missing"):
        read_list(list_of("kerf = 3\n[[stock]]\nlength = 2400\n"))
    with pytest.raises(RoomFileError, match="no such file"):
        read_list(tmp_path / "none.toml")


def test_a_piece_too_long_is_named(list_of):
    with pytest.raises(DoesNotFit, match="over the door: a piece of 2600 mm"):
        plan_list(read_list(list_of(LIST.replace('"2 m"', "2600"))))
