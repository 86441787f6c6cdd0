"""The bill to the cent, what is spared and kept, labels that do not fit, and what other choices would cost."""

from __future__ import annotations

import csv
import io
import re
import tomllib
from datetime import date
from decimal import Decimal

import pytest

from trimwright.cli import main
from trimwright.drawing.marks import Text
from trimwright.errors import RoomFileError
from trimwright.pack.bill_tables import buying_table, compare_table, sums_table, weight_table
from trimwright.pack.job import job_of
from trimwright.pack.printing import drawing_set
from trimwright.pack.table import csv_text
from trimwright.setout.set_out import set_out
from trimwright.stock.buying import buying
from trimwright.stock.compare import AS_WRITTEN, compare
from trimwright.stock.joints import set_out_to_stock
from trimwright.stock.offcuts import offcuts_text, trim_words
from trimwright.stock.quantities import Category, Quantity
from trimwright.stock.spare import hardest, sold_trims

# Two trims in a closet of 3000 x 2000: a rail coped inside, a batten squared.
ROOM = """
format = 1
[room]
name = "Closet"
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
name = "batten"
profile = "batten"
size = { drop = 40, projection = 20 }
back = "wall"
top = "ceiling"
material = "softwood"
stock = [{ length = 3000, price = 3.33 }, { length = 2400, price = 2.75 }]
[[trim]]
name = "rail"
profile = "rail-plain"
back = "wall"
bottom = 2000
material = "softwood"
joints = { internal = "cope" }
stock = [{ length = 3600, price = 17.99 }, { length = 2400, price = 12.49 }]
"""

PRICES = """
[prices]
currency = "EUR"
tax = 19
items = { adhesive = 6.05, pins = 4.19, screws = 3.99, filler = 5.55, paint = 21.90, primer = 18.75, abrasive = 0.85 }
"""


def bill(project):
    return buying(set_out_to_stock(project), project)


def test_sums_agree_to_the_cent(project_of) -> None:
    """Each line rounded, then added; tax on the sum, rounded half up; both ways of summing come to the same."""
    found = bill(project_of(ROOM + PRICES))
    lines = [(r.price * r.quantity).quantize(Decimal("0.01")) for r in found.rows if r.price is not None]
    assert found.net == sum(lines)
    assert found.tax_due == (found.net * Decimal("0.19") + Decimal("0.005")).quantize(Decimal("0.01"), "ROUND_FLOOR")
    assert found.total == found.net + found.tax_due
    for sums in (found.by_category, found.by_trim):
        assert sum(s.cost for s in sums if s.cost is not None) == found.net
        assert sum(s.unpriced for s in sums) == len(found.unpriced) == 1
    assert found.unpriced == ("corner glue",)


def test_what_comes_from_elsewhere_is_priced_and_summed(project_of) -> None:
    """Such as the strip of a light: a line like any other; its trim's own screws are then not counted twice."""
    project = project_of(ROOM + "[prices]\nitems = { strip = 20 }\n")
    done = set_out_to_stock(project)
    strip = Quantity(item="strip", quantity=Decimal(2), unit="reel", why="4 m", category=Category.LIGHT, trim="rail")
    found = buying(done, project, extra=[strip], fixed=["batten"])
    assert found.net == bill(project_of(ROOM)).net + 40
    assert next(s.cost for s in found.by_category if s.name == "light") == 40
    assert found.holes == ()
    assert "screws" not in [r.item for r in found.rows]


def test_what_has_no_price_is_never_nothing(project_of) -> None:
    found = bill(project_of(ROOM))
    fixing = next(s for s in found.by_category if s.name == "fixing")
    assert (fixing.cost, fixing.unpriced) == (None, 4)
    assert "0.00" not in csv_text(sums_table(found))
    bare = bill(project_of(re.sub(r", price = [\d.]+", "", ROOM)))
    last = buying_table(bare).rows[-1]
    assert (last[0], last[4]) == ("total", "not known")
    assert "0.00" not in csv_text(buying_table(bare))


def test_terminal_csv_page_and_paper_say_the_same(project_of, tmp_path, capsys) -> None:
    project = project_of(ROOM + PRICES)
    job = job_of(project)
    table = buying_table(job.buying)
    costs = [str(row[4]) for row in table.rows]
    assert costs[-1] == f"{job.buying.total} EUR"
    read = list(csv.DictReader(io.StringIO(csv_text(table))))
    assert [row["cost"] for row in read] == costs
    known = [Decimal(row["cost"]) for row in read[:-3] if row["cost"] != "not known"]
    assert sum(known) + Decimal(read[-2]["cost"]) == job.buying.total
    assert main(["buy", str(tmp_path / "room.toml")]) == 0
    said = capsys.readouterr().out
    assert all(cost in said for cost in costs)
    sheets = [s for s in drawing_set(job, date(2026, 11, 25)) if s.name.startswith("buying")]
    drawn = {mark.text for sheet in sheets for mark in sheet.marks if isinstance(mark, Text)}
    assert set(costs) <= drawn


def test_one_more_of_the_hardest(project_of) -> None:
    """The coped rail, in the shortest length that any of its pieces can be cut from again: 3000 needs 3600."""
    project = project_of(ROOM + '[prices]\nspare = "hardest"\n')
    assert hardest(sold_trims(set_out(project), {})).name == "rail"
    (spare,) = [r for r in bill(project).rows if r.item.endswith("spare")]
    assert (spare.item, spare.quantity, spare.cost) == ("rail 3600 mm, spare", 1, Decimal("17.99"))


def test_a_part_of_everything_to_spare(project_of) -> None:
    """A fifth of 10 m of batten, less its laps, is one length of 3000; the same of rail is one of 3600."""
    spare = {r.item: r.quantity for r in bill(project_of(ROOM + "[prices]\nspare = 20\n")).rows if "spare" in r.item}
    assert spare == {"batten 3000 mm, spare": 1, "rail 3600 mm, spare": 1}
    more = {r.item: r.quantity for r in bill(project_of(ROOM + "[prices]\nspare = 40\n")).rows if "spare" in r.item}
    assert more == {"batten 3000 mm, spare": 2, "rail 3600 mm, spare": 2}


@pytest.mark.parametrize("spare", ['"some"', "-5", "101"])
def test_another_rule_to_spare_is_refused(project_of, spare) -> None:
    with pytest.raises(RoomFileError, match=r"\[prices\], spare"):
        project_of(ROOM + f"[prices]\nspare = {spare}\n")


def test_offcuts_of_one_room_are_stock_of_the_next(project_of) -> None:
    """What is kept is the waste less a kerf, in whole mm; the text is TOML that a room file takes as it stands."""
    project = project_of(ROOM + "[saw]\nkerf = 3\nleast_offcut = 200\n")
    first = bill(project)
    wastes = [bar.waste for plan in first.plans for bar in plan.plan.bars]
    assert sorted(o.length for o in first.offcuts) == sorted(int(w - 3) for w in wastes if w - 3 >= 200)
    text = offcuts_text(first.offcuts, "Store", trim_words(set_out(project).trims))
    kept = tomllib.loads(text)["offcut"]
    assert [(o["trim"], o["length"]) for o in kept] == [(o.trim, o.length) for o in first.offcuts]
    second = bill(project_of(ROOM + text))
    owned = [bar for plan in second.plans for bar in plan.plan.bars if bar.stock.owned]
    assert second.net <= first.net
    assert all(bar.stock.length in {o.length for o in first.offcuts} for bar in owned)


def test_a_trim_named_with_quotes_keeps_its_name_in_the_list(project_of) -> None:
    project = project_of(ROOM.replace('name = "rail"', "name = 'a \"rail\" \\ x'"))
    found = bill(project)
    names = {
        o["trim"]
        for o in tomllib.loads(offcuts_text(found.offcuts, "Store", trim_words(set_out(project).trims)))["offcut"]
    }
    assert names == {o.trim for o in found.offcuts}


@pytest.mark.parametrize(
    ("size", "fits"), [("100", True), ("141", True), ("[100, 100]", True), ("90", False), ("[90, 100]", False)]
)
def test_a_label_that_is_no_size_of_the_profile_is_told(project_of, size, fits) -> None:
    """A cove of 100 x 100 has a face width of 100 sqrt 2 = 141.4, and no size near 90."""
    text = ROOM.replace('profile = "rail-plain"', 'profile = "cove"\nsize = { drop = 100, projection = 100 }')
    project = project_of(text.replace("{ length = 3600,", f"{{ length = 3600, size = {size},"))
    told = [note for note in project.notes if "is labelled" in note]
    assert bool(told) is not fits
    assert all("face width of 141.4" in note for note in told)


def test_what_if_is_what_the_file_changed_by_hand_costs(project_of) -> None:
    outcomes = {o.change: o for o in compare(project_of(ROOM + PRICES))}
    assert outcomes[AS_WRITTEN].cost == bill(project_of(ROOM + PRICES)).net
    mitred = bill(project_of(ROOM.replace('internal = "cope"', 'internal = "mitre"') + PRICES))
    assert outcomes["rail: internal corners mitred"].cost == mitred.net
    assert outcomes["rail: internal corners mitred"].copes == 0
    assert outcomes[AS_WRITTEN].copes == 4
    only = bill(project_of(ROOM.replace(", { length = 2400, price = 12.49 }", "") + PRICES))
    assert outcomes["rail: 3600 mm lengths only"].cost == only.net


def test_what_if_is_ranked_by_cost(project_of) -> None:
    outcomes = compare(project_of(ROOM + PRICES))
    costs = [o.cost for o in outcomes if not o.fault]
    assert costs == sorted(costs)
    assert len({o.change for o in outcomes}) == len(outcomes) >= 6
    table = compare_table(outcomes, "EUR")
    assert [row[0] for row in table.rows] == [o.change for o in outcomes]


def test_limited_lengths_that_do_not_suffice_are_told_last(project_of) -> None:
    outcomes = compare(project_of(ROOM.replace("price = 17.99", "price = 17.99, quantity = 2")))
    assert outcomes[-1].change == "rail: 3600 mm lengths only"
    assert "quantity = 4 in place of 2 for the length 3600 would do" in outcomes[-1].fault


def test_weights_add_up(project_of) -> None:
    """Pieces to trims, trims to the whole; each piece its section x length of its middle x 460, of softwood."""
    job = job_of(project_of(ROOM))
    table = weight_table(job)
    *trims, whole = table.rows
    assert whole[2] == pytest.approx(sum(row[2] for row in trims), abs=0.101)
    for row in trims:
        each = dict(re.findall(r"(\w+) ([\d.]+)", row[5]))
        assert row[2] == pytest.approx(sum(map(float, each.values())), abs=0.05 * len(each) + 0.05)
    batten = dict(re.findall(r"(\w+) ([\d.]+)", trims[0][5]))
    for piece in job.set_out.pieces:
        if piece.trim.name == "batten":
            by_hand = 0.04 * 0.02 * piece.length_at(10) / 1000 * 460
            assert float(batten[piece.id]) == pytest.approx(by_hand, abs=0.051)
