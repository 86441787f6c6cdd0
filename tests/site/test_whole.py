"""One plan and one bill for a site: the laws of cutting hold, sums are those of the rooms, copies count."""

from __future__ import annotations

import math
import re
from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest
from sites import COVE, write_room, write_site

from cutting_laws import check_laws
from trimwright.errors import DoesNotFit
from trimwright.pack.job import job_of
from trimwright.project.models import RoomFile
from trimwright.project.project import project_of
from trimwright.project.read import validate
from trimwright.site import whole as module
from trimwright.site.lists import cutting_table
from trimwright.site.room import record_of, task_of
from trimwright.site.site import Site, read_site
from trimwright.site.whole import Built, Whole, whole_of


def built(site: Site) -> list[Built]:
    found = []
    for room in site.rooms:
        task = task_of(site, room, Path("out"), "none", False)
        project = project_of(validate(RoomFile, task.tables, task.file), task.file, task.shared_prices)
        found.append(Built(room, record_of(job_of(project))))
    return found


def whole(path: Path) -> Whole:
    site = read_site(path)
    return whole_of(site, built(site))


def test_each_piece_of_each_copy_is_cut_once_and_every_bar_adds_up(tmp_path: Path) -> None:
    """Stock = pieces + kerfs + waste, no piece twice or never: the laws in `cutting_laws.py`."""
    path = write_site(tmp_path, "a*3 b c*2", COVE + "[saw]\nkerf = 2.8\nend_trim = 4\n")
    made = whole(path)
    (trim,), (plan,) = made.trims, made.plans
    assert len(trim.blanks) == 6 * 4
    wanted = Counter(blank.name for blank in trim.blanks)
    assert wanted == Counter(part.label for bar in plan.plan.bars for part in bar.pieces)
    assert {"1.1 C1", "1.3 C4", "2 C1", "3.2 C2"} <= set(wanted)
    pieces = [(blank.length, 1) for blank in trim.blanks]
    check_laws(plan.plan, pieces, list(trim.lengths), 2.8, 4)


def test_cut_together_costs_no_more_than_room_by_room(tmp_path: Path) -> None:
    site = read_site(write_site(tmp_path, "a*4 b*3", COVE.replace("length = 3000", "length = 5400")))
    rooms = built(site)
    made = whole_of(site, rooms)
    alone = sum(
        (
            plan.plan.cost * one.room.count
            for one in rooms
            for plan in whole_of(site, [Built(type(one.room)(**{**fields(one.room), "count": 1}), one.record)]).plans
        ),
        Decimal(0),
    )
    assert sum((plan.plan.cost for plan in made.plans), Decimal(0)) <= alone


def fields(room: object) -> dict[str, object]:
    return {name: getattr(room, name) for name in room.__slots__}  # type: ignore[attr-defined]


def test_packs_are_rounded_once_for_the_site(tmp_path: Path) -> None:
    """Adhesive by hand: beads of 28.3 mm², two along every mm of cornice, a tenth lost, cartridges of 310 ml.

    Area of the bead and the allowance are those of data/rates.toml, whose sources stand there.
    """
    made = whole(write_site(tmp_path, "a*7"))
    run = sum(blank.length for blank in made.trims[0].blanks)
    (row,) = [row for row in made.rows if row.item == "adhesive"]
    assert row.quantity == math.ceil(2 * run * 28.3 / 1000 * 1.1 / 310)
    one = whole(write_site(tmp_path, "a"))
    filler, alone = ([row.quantity for row in of.rows if row.item == "filler"] for of in (made, one))
    assert filler < [7 * quantity for quantity in alone]


def test_what_differs_in_size_or_stock_is_planned_by_itself(tmp_path: Path) -> None:
    write_room(tmp_path, "b", more=COVE.replace("price = 12", "price = 13"))
    write_room(tmp_path, "c", more=COVE + "size = { drop = 70, projection = 70 }\n")
    write_room(tmp_path, "d", more=COVE.replace('"cornice"', '"upper moulding"'))
    path = write_site(tmp_path, "a b c d")
    path.write_text(path.read_text().replace('"d.toml"', '"d.toml"\nwithout = ["cornice"]'))
    made = whole(path)
    assert [(trim.name, trim.names, len(trim.blanks)) for trim in made.trims] == [
        ("cornice", ("cornice", "upper moulding"), 8),
        ("cornice (2)", ("cornice",), 4),
        ("cornice (3)", ("cornice",), 4),
    ]


def test_offcuts_are_cut_first_and_those_of_a_room_once(tmp_path: Path) -> None:
    """One that the site owns and one in the room's file, which has three copies: two owned bars, not four."""
    write_room(tmp_path, "a", more='[[offcut]]\ntrim = "cornice"\nlength = 2750\n')
    made = whole(write_site(tmp_path, "a*3", COVE + '[[offcut]]\ntrim = "cornice"\nlength = 2760\n'))
    owned = [bar.stock.length for bar in made.plans[0].plan.bars if bar.stock.owned]
    assert sorted(owned) == [2750, 2760]
    bought = [row for row in made.rows if row.unit == "length"]
    assert sum(row.quantity for row in bought) == len(made.plans[0].plan.bars) - 2


def test_a_shop_that_has_too_few_is_said_with_the_trim(tmp_path: Path) -> None:
    stock = COVE.replace("price = 10 }", "price = 10, quantity = 3 }").replace(
        "price = 12 }", "price = 12, quantity = 4 }"
    )
    made = whole(write_site(tmp_path, "a*2", stock))
    assert len(made.faults) == 1
    fault = made.faults[0]
    assert "trim 'cornice', stock: no way was found to cut the 8 pieces" in fault
    assert re.search(r"no length is left for (1\.[12] C\d \(\d+(\.\d)?\)(, | and |; ))+", fault), fault
    assert fault.endswith("; 1 is a"), fault
    assert made.plans == ()


def test_a_price_for_nothing_is_a_note_with_the_nearest(tmp_path: Path) -> None:
    made = whole(write_site(tmp_path, "a", COVE + "[prices]\nitems = { adhesiv = 2, pins = 3 }\n"))
    assert len(made.notes) == 1
    assert "nothing on this site is called 'adhesiv'; did you mean 'adhesive'?" in made.notes[0]


def test_too_many_pieces_are_refused_with_the_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_SITE_PIECES", 7)
    with pytest.raises(DoesNotFit, match="8 pieces; a site of more than 7 is to be divided"):
        whole(write_site(tmp_path, "a*2"))


def test_the_list_of_bars_says_room_copy_and_piece(tmp_path: Path) -> None:
    made = whole(write_site(tmp_path, "a*2"))
    table = cutting_table(made)
    assert table.rows[0][0] == "cornice 1"
    said = ", ".join(str(row[3]) for row in table.rows)
    assert sorted(said.split(", ")) == sorted(f"1.{copy} C{k}" for copy in (1, 2) for k in (1, 2, 3, 4))
