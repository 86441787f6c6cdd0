"""Joints along a long wall and what is cut out of its trim: where they keep clear, and what is said where they cannot.

How far they keep clear is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from trimwright.project.project import Project
from trimwright.setout.piece import SetOut
from trimwright.setout.scarfs import CLEAR_OF_CUTOUT
from trimwright.setout.set_out import set_out
from trimwright.stock.joints import set_out_to_stock
from trimwright.tolerance import WEB

WALL = """
format = 1
[room]
name = "Passage"
ceiling = 2400
closed = false
[[wall]]
name = "long"
length = 5000
[clearance]
pipe = 3
fitting = 5
[[trim]]
name = "batten"
profile = "batten"
size = { drop = 100, projection = 60 }
back = "wall"
bottom = 2000
joints = { end = "square", length = "scarf" }
stock = [{ length = 3000, price = 10 }, { length = 2100, price = 7 }]
"""
LAP = 30
"""Half of what a scarf at 45 degrees takes along the wall: half the projection."""


def track(left: float, right: float) -> str:
    return (
        f'[[fitting]]\nwall = "long"\nname = "track"\nfrom_left = {left}\nwidth = {right - left}\nbottom = 2030\n'
        "top = 2060\nout = 30\nlet_in = true\n"
    )


def lying(left: float, right: float) -> str:
    return (
        f'[[pipe]]\nwall = "long"\nname = "feed"\ndirection = "horizontal"\nfrom = {left}\nto = {right}\n'
        "height = 2050\nout = 20\ndiameter = 22\n"
    )


def upright(at: float) -> str:
    return f'[[pipe]]\nwall = "long"\nname = "riser"\nfrom_left = {at}\nout = 16\ndiameter = 22\n'


def joint(done: SetOut) -> float:
    """The station of the one joint, at the middle of the projection."""
    left, right = done.pieces
    assert left.right.at(30) == pytest.approx(right.left.at(30))
    return left.right.at(30)


@pytest.mark.parametrize("planned", [set_out, set_out_to_stock])
@pytest.mark.parametrize(
    ("cut", "low", "high"),
    [
        (track(2300, 2600), 2295, 2605),
        (lying(2300, 2600), 2286, 2614),
        (upright(2500), 2486, 2514),
        (upright(2250) + track(2350, 2500), 2236, 2505),
    ],
)
def test_a_joint_keeps_clear_of_what_is_cut_out(
    project_of: Callable[[str], Project], planned: Callable[[Project], SetOut], cut: str, low: float, high: float
) -> None:
    """A gap of 5 round the track, 3 round a pipe of 22; lengths of 3000 are joined between 2030 and 2970."""
    done = planned(project_of(WALL + cut))
    assert not low - CLEAR_OF_CUTOUT + 1e-6 < joint(done) < high + CLEAR_OF_CUTOUT - 1e-6
    assert not done.notes


@pytest.mark.parametrize("planned", [set_out, set_out_to_stock])
def test_just_beside_it_where_there_is_no_more_room(
    project_of: Callable[[str], Project], planned: Callable[[Project], SetOut]
) -> None:
    done = planned(project_of(WALL + track(2200, 2800)))
    at = joint(done)
    assert at + LAP <= 2195 - WEB + 1e-6 or at - LAP >= 2805 + WEB - 1e-6
    assert not done.notes


def test_a_groove_all_along_the_wall_is_joined_over_and_said(project_of: Callable[[str], Project]) -> None:
    """The other rules are still kept, and the joint is still moved to where it saves stock."""
    done, free = (set_out_to_stock(project_of(WALL + cut)) for cut in (lying(0, 5000), ""))
    assert joint(done) == pytest.approx(joint(free))
    assert done.notes == (
        "batten on long: joined over the groove for feed, since its lengths reach no place clear of that; buy a longer"
        " length to avoid it",
    )


def test_a_slope_is_followed(project_of: Callable[[str], Project]) -> None:
    """What lies at the level of the section at one end alone is cut out there alone."""
    sloping = (
        WALL.replace("ceiling = 2400", "ceiling = [2400, 2900]")
        .replace("bottom = 2000", 'top = "ceiling"\nfollow = "ceiling"')
        .replace("length = 3000", "length = 3100")
    )
    over = '[[fitting]]\nwall = "long"\nname = "beam"\nfrom_left = 2450\nwidth = 50\nbottom = {}\ntop = {}\nout = 30\n'
    met = set_out(project_of(sloping + over.format(2580, 2610) + "let_in = true\n"))
    assert any(piece.housings for piece in met.pieces)
    assert abs(joint(met) - 2475) > CLEAR_OF_CUTOUT
    missed = set_out(project_of(sloping + over.format(2330, 2360) + "let_in = true\n"))
    assert not any(piece.housings for piece in missed.pieces)
    assert joint(missed) == pytest.approx(2500)
