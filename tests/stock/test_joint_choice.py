"""Joints along long walls chosen with the cutting plan: fewest joints, the rules of joints, then the least cost."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

from cutting_laws import independent_optimum
from example_rooms import EXAMPLE_NAMES, EXAMPLES
from trimwright.project.project import read_project
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out
from trimwright.stock.buying import buying
from trimwright.stock.joints import least_spent, set_out_to_stock
from trimwright.stock.trim_plan import parts_of

# An open run of two walls: 5000 must be joined, 1500 need not be; a batten squared at every end.
RUN = """
format = 1
[room]
name = "Passage"
ceiling = 2400
closed = false
[[wall]]
name = "long"
length = 5000
[[wall]]
name = "short"
length = 1500
[[trim]]
name = "rail"
profile = "batten"
size = { drop = 40, projection = 20 }
back = "wall"
bottom = 2000
joints = { internal = "square", end = "square", length = "square" }
stock = [{ length = 4200, price = 14 }, { length = 2400, price = 9 }]
"""


def along(done: SetOut) -> list[tuple[str, int, float]]:
    """Trim, wall and station of every joint along a wall, at the middle of the projection."""
    return [
        (p.trim.name, p.wall, p.right.at((p.trim.edges.back + p.trim.edges.front) / 2))
        for p in done.pieces
        if p.right.corner is None and p.right.mate is not None and not p.is_return
    ]


def test_a_joint_moves_to_where_it_saves_a_length(project_of) -> None:
    """Even: 2500 + 2500 + 1480 take 4200 and 2 more; 3500 + 1500 with 1480: two bars, 4200 and 4200 or less."""
    project = project_of(RUN)
    even, chosen = set_out(project), set_out_to_stock(project)
    assert buying(chosen, project).net < buying(even, project).net
    assert len(along(chosen)) == len(along(even)) == 1


@pytest.mark.parametrize(("first", "second"), [(4200, 2400), (3600, 3000), (3000, 2400), (4800, 1800)])
def test_no_place_on_a_grid_is_cheaper(project_of, first, second) -> None:
    """Against every place on a 50 mm grid that the rules allow, each planned by a second solver (scipy's milp)."""
    project = project_of(
        RUN.replace("4200, price = 14", f"{first}, price = 14").replace("2400, price = 9", f"{second}, price = 9")
    )
    done = set_out_to_stock(project)
    (stretch,) = done.long["rail"]
    others = [p.length for p in done.pieces if p.wall == 1]
    stock = [(first, 14, None), (second, 9, None)]
    spent = []
    for station in range(350, 4700, 50):
        lengths = [math.ceil(x) for x in (station - stretch.low, stretch.high - station, *others)]
        found = independent_optimum([(x, lengths.count(x)) for x in sorted(set(lengths))], stock, 3)
        spent += [] if found is None else [found[0]]
    assert buying(done, project).plans[0].plan.cost <= min(spent)
    assert least_spent(done.trims[0], parts_of(done.pieces), done.long["rail"], project) <= min(spent)


@pytest.mark.parametrize("name", EXAMPLE_NAMES)
def test_chosen_joints_cost_no_more_and_are_no_more(name) -> None:
    project = read_project(EXAMPLES / f"{name}.toml")
    even, chosen = set_out(project), set_out_to_stock(project)
    bills = {"even": buying(even, project), "chosen": buying(chosen, project)}
    for a, b in zip(bills["chosen"].plans, bills["even"].plans, strict=True):
        assert a.least <= a.plan.cost <= b.plan.cost
    assert [(t, w) for t, w, _ in along(chosen)] == [(t, w) for t, w, _ in along(even)]
    assert [p.id for p in chosen.pieces] == [p.id for p in even.pieces]


def test_there_are_as_few_joints_as_the_longest_stock_allows() -> None:
    """A wall of n lengths has n - 1 joints: n pieces of the longest stock, less a lap at each joint, must reach."""
    project = read_project(EXAMPLES / "hall.toml")
    for name, stretches in set_out_to_stock(project).long.items():
        longest = max(s.length for t in project.trims if t.name == name for s in t.stock)
        for s in stretches:
            joints = len(s.division.stations)
            assert joints * longest - 2 * (joints - 1) * s.lap < s.high - s.low


@pytest.mark.parametrize("name", EXAMPLE_NAMES)
def test_lengths_of_a_stretch_are_those_of_its_pieces(name) -> None:
    done = set_out_to_stock(read_project(EXAMPLES / f"{name}.toml"))
    for trim, stretches in done.long.items():
        cut = sorted(round(p.length, 6) for p in done.pieces if p.trim.name == trim)
        for s in stretches:
            for length in s.lengths(s.division.stations):
                assert any(abs(length - c) < 1e-5 for c in cut), (trim, s.wall)


@pytest.mark.parametrize("name", ["reading-room", "hall"])
def test_rules_of_joints_are_kept(name) -> None:
    """Not within 300 of a corner, 150 of the middle of an opening, 300 of a joint in a trim placed before it."""
    done = set_out_to_stock(read_project(EXAMPLES / f"{name}.toml"))
    before: list[tuple[int, float]] = []
    joints = along(done)
    assert joints
    for trim in done.trims:
        for _, wall, station in (j for j in joints if j[0] == trim.name):
            middles = [o.station + o.width / 2 for o in done.room.openings if o.wall == wall]
            assert 300 <= station <= done.room.walls[wall].length - 300
            assert all(abs(station - m) >= 150 - 1e-6 for m in middles)
            assert all(abs(station - s) >= 300 - 1e-6 for w, s in before if w == wall)
        before += [(w, s) for t, w, s in joints if t == trim.name]


def test_where_even_is_as_cheap_joints_stay_even(project_of) -> None:
    """With one length there is nothing to save: 5000 in two of 4000, and 1480, are three bars or two at any place."""
    project = project_of(
        RUN.replace("{ length = 4200, price = 14 }, { length = 2400, price = 9 }", "{ length = 3000, price = 9 }")
    )
    assert along(set_out_to_stock(project)) == along(set_out(project))


def test_stations_against_the_rules_are_not_taken(project_of) -> None:
    project = project_of(RUN)
    (stretch,) = set_out(project).long["rail"]
    even = along(set_out(project))

    def joined_at(station: float) -> list[tuple[str, int, float]]:
        return along(set_out(project, lambda _trim, _cut: {stretch.key: (station,)}))

    assert all(joined_at(station) == even for station in (100.0, 4900.0, 700.0))
    assert joined_at(3000.0) == [("rail", 0, 3000.0)]


def test_trimmed_ends_shorten_what_a_bar_gives(project_of) -> None:
    """2400 trimmed by 50 at each end gives 2300: 4780 then need three lengths, not two."""
    short = RUN.replace("{ length = 4200, price = 14 }, ", "").replace("length = 5000", "length = 4780")
    assert len(along(set_out_to_stock(project_of(short)))) == 1
    trimmed = project_of(short + "[saw]\nend_trim = 50\n")
    done = set_out_to_stock(trimmed)
    assert len(along(done)) == 2
    assert all(p.length <= 2300 for p in done.pieces)
    assert all(bar.waste >= 100 for bar in buying(done, trimmed).plans[0].plan.bars)


def test_limited_stock_is_not_overdrawn(project_of) -> None:
    project = project_of(RUN.replace("price = 14 }", "price = 14, quantity = 1 }"))
    done = set_out_to_stock(project)
    bought = {row.item: row.quantity for row in buying(done, project).rows}
    assert bought.get("rail 4200 mm", Decimal(0)) <= 1
    assert sum(p.length for p in done.pieces) == pytest.approx(sum(p.length for p in set_out(project).pieces))


def test_scarfs_lap() -> None:
    """Both pieces of a scarf are a lap longer: together the stretch and two laps, each half the projection."""
    done = set_out_to_stock(read_project(EXAMPLES / "reading-room.toml"))
    trim = next(t for t in done.trims if t.name == "cornice")
    for s in done.long["cornice"]:
        assert s.lap == pytest.approx((trim.edges.front - trim.edges.back) / 2)
        assert sum(s.lengths(s.division.stations)) == pytest.approx(s.high - s.low + 2 * s.lap)
