"""The buying list: plans by trim, quantities by closed form, prices never invented."""

from __future__ import annotations

import math
import subprocess
import sys
from dataclasses import replace
from decimal import Decimal

import pytest

from example_rooms import EXAMPLES
from trimwright.data import table
from trimwright.errors import DoesNotFit, RoomFileError
from trimwright.profile.measures import measure
from trimwright.project.project import read_project
from trimwright.setout.set_out import set_out
from trimwright.stock.buying import buying

# A room of 3000 x 2000 in which a batten 20 out, squared at every corner, is easily followed by hand.
ROOM = """
format = 1
[room]
name = "Store"
ceiling = 2400
[[wall]]
name = "a"
length = 3000
[[wall]]
name = "b"
length = 2000
[[wall]]
name = "c"
length = 3000
[[wall]]
name = "d"
length = 2000
[[trim]]
name = "rail"
profile = "batten"
size = { drop = 40, projection = 20 }
back = "wall"
bottom = 2000
material = "softwood"
joints = { internal = "mitre" }
stock = [{ length = 3000, price = 10.50 }, { length = 2000, price = 7.10 }]
"""


def bought(project):
    return buying(set_out(project), project)


def row(list_, item):
    (found,) = [r for r in list_.rows if r.item == item]
    return found


def test_lengths_of_a_plain_room(project_of):
    """Mitred pieces are as long as their walls: two bars of each length, 2 * 10.50 + 2 * 7.10."""
    bill = bought(project_of(ROOM))
    assert [(r.item, r.quantity, r.price) for r in bill.rows[:2]] == [
        ("rail 2000 mm", 2, Decimal("7.1")),
        ("rail 3000 mm", 2, Decimal("10.5")),
    ]
    assert bill.net == Decimal("35.20")
    assert bill.plans[0].plan.status == "optimal"


def test_every_piece_is_cut_once():
    """The plan takes each piece by its id, from stock at least as long."""
    for name in ("reading-room", "bay", "hall", "alcove"):
        project = read_project(EXAMPLES / f"{name}.toml")
        done = set_out(project)
        bill = buying(done, project)
        cut = [piece for bar in bill.stock_data() for piece in bar["pieces"]]
        assert sorted(cut) == sorted(p.id for t in done.trims if t.stock for p in done.of_trim(t))
        for bar in bill.stock_data():
            used = sum(done.piece(i).length for i in bar["pieces"]) + project.saw.kerf * (len(bar["pieces"]) - 1)
            # Pieces are rounded up to 0.1 mm.
            assert -1e-6 <= bar["length"] - used - bar["waste"] <= 0.1 * len(bar["pieces"])


def test_owned_offcuts_are_cut_first_and_not_bought(project_of):
    bill = bought(project_of(ROOM + '[[offcut]]\ntrim = "rail"\nlength = 2100\ncount = 2\n'))
    assert [r.item for r in bill.rows if r.unit == "length"] == ["rail 3000 mm"]
    assert sorted(bar["length"] for bar in bill.stock_data()) == [2100, 2100, 3000, 3000]


def test_unknown_prices_stay_unknown(project_of):
    bill = bought(project_of(ROOM.replace(", price = 10.50", "").replace(", price = 7.10", "")))
    lengths = [r for r in bill.rows if r.unit == "length"]
    assert lengths
    assert all(r.price is None and r.cost is None for r in lengths)
    assert {"price": None, "cost": None}.items() <= bill.rows_data()[0].items()
    assert bill.total_words() == "no prices"
    assert bill.unpriced == tuple(r.item for r in bill.rows)


def test_without_stock_running_metres_are_bought(project_of):
    text = "\n".join(line for line in ROOM.splitlines() if not line.startswith("stock"))
    bill = bought(project_of(text + "\n[prices]\nitems = { rail = 3.20 }\n"))
    metres = row(bill, "rail")
    assert (metres.quantity, metres.unit, metres.cost) == (10, "m", Decimal("32.00"))
    assert bill.plans == ()


def test_prices_by_name_and_tax(project_of):
    bill = bought(project_of(ROOM + '[prices]\ncurrency = "EUR"\ntax = 20\nitems = { adhesive = 6.05, screws = 4 }\n'))
    spent = Decimal("35.20") + row(bill, "adhesive").quantity * Decimal("6.05") + row(bill, "screws").quantity * 4
    assert bill.net == spent
    assert bill.total == (spent * Decimal("1.2")).quantize(Decimal("0.01"))
    assert bill.total_words() == f"{bill.total} EUR with 20 % tax"


def test_a_length_may_be_priced_in_the_list_of_prices(project_of):
    text = ROOM.replace(", price = 7.10", "") + '[prices]\nitems = { "rail 2000 mm" = 7.10 }\n'
    assert bought(project_of(text)).net == Decimal("35.20")


def test_a_price_for_nothing_is_a_slip(project_of):
    with pytest.raises(RoomFileError, match="nothing is called 'adhesiv'; did you mean 'adhesive'"):
        bought(project_of(ROOM + "[prices]\nitems = { adhesiv = 6 }\n"))


def test_quantities_follow_from_lengths(project_of):
    """Bead: area x length; pins: one 50 from each end, no gap over 500; paint: girth x length x coats / spread."""
    rates, spare = table("rates"), 1.1
    cove = ROOM.replace('profile = "batten"', 'profile = "cove"').replace(
        "{ drop = 40, projection = 20 }", "{ drop = 90, projection = 90 }"
    )
    project = project_of(cove.replace("bottom = 2000", 'top = "ceiling"'))
    bill = bought(project)
    kind = rates["kind"]["cornice"]
    run = 2 * (3000 + 2000)
    beads = kind["adhesive"] * run * rates["adhesive"]["bead"] / 1000 * spare
    assert row(bill, "adhesive").quantity == math.ceil(beads / rates["adhesive"]["pack"])
    pins = kind["pins"] * 2 * ((math.ceil(2900 / 500) + 1) + (math.ceil(1900 / 500) + 1))
    assert row(bill, "pins").quantity == math.ceil(pins / 100)
    assert row(bill, "pins").note.endswith(f": {pins} pins")
    girth = measure(project.trims[0].section).girth
    litres = girth * run / 1e6 * rates["paint"]["coats"] * spare / rates["paint"]["spread"]
    assert litres <= row(bill, "paint").quantity < litres + 0.1


def test_what_is_hidden_is_neither_filled_nor_painted(project_of):
    assert {"filler", "paint"}.isdisjoint(r.item for r in bought(project_of(ROOM)).rows)


def test_every_rate_has_a_source():
    rates = table("rates")
    tables = [t for name, t in rates.items() if name != "kind"] + list(rates["kind"].values())
    assert all(t["source"] for t in tables)


def test_a_piece_longer_than_its_stock_is_named(project_of):
    """A square-jointed wall may be cut up; a mitred one on a short offcut list may not."""
    project = project_of(ROOM)
    done = set_out(project)
    short = project_of(ROOM.replace("length = 3000, price", "length = 2500, price"))
    with pytest.raises(DoesNotFit, match=r"trim 'rail', stock: .*a piece of 3000 mm fits no bar"):
        buying(_with_stock(done, short), short)


def _with_stock(done, other):
    """The set-out of one file with the stock of another, as if the joints along walls had not been wanted."""
    stock = other.trims[0].stock
    trims = tuple(replace(t, stock=stock) for t in done.trims)
    return replace(done, trims=trims, pieces=tuple(replace(p, trim=trims[0]) for p in done.pieces))


def test_an_ordinary_room_needs_no_solver():
    """`buy` starts quickly: numpy, HiGHS and scipy stay out of it."""
    code = (
        "import sys; from pathlib import Path; from trimwright.project.project import read_project;"
        "from trimwright.setout.set_out import set_out; from trimwright.stock.buying import buying;"
        f"p = read_project(Path({str(EXAMPLES / 'reading-room.toml')!r})); buying(set_out(p), p);"
        "print([m for m in ('highspy', 'scipy', 'cadquery') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
