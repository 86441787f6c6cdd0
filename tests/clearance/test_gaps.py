"""Gaps in rooms: what is measured, where, and what it is called. Expected values from the sizes in the room's text."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from box_rooms import box_room
from trimwright.clearance.clearance import Clearance
from trimwright.clearance.gaps import clearances
from trimwright.clearance.obstacles import Kind
from trimwright.mesh.piece import piece_meshes
from trimwright.project.project import Project
from trimwright.setout.set_out import set_out

ROOM = (
    box_room()
    + """[[trim]]
name = "rail"
profile = "batten"
size = { drop = 40, projection = 20 }
back = "wall"
bottom = 2000
"""
)


@pytest.fixture
def found(project_of: Callable[[str], Project]) -> Callable[[str], dict[tuple[str, str], Clearance]]:
    def measure(text: str) -> dict[tuple[str, str], Clearance]:
        project = project_of(ROOM + text)
        done = set_out(project)
        lines = clearances(done, piece_meshes(done), project.clearance)
        return {(c.piece, c.obstacle): c for c in lines}

    return measure


Measure = Callable[[str], dict[tuple[str, str], Clearance]]


def test_a_box_above(found: Measure) -> None:
    """Its bottom at 2065, the rail's top at 2040; the place is on the rail's top, below the box."""
    fitting = (
        '[[fitting]]\nwall = "north"\nname = "track"\nfrom_left = 900\nwidth = 600\nbottom = 2065\ntop = 2100\nout = 90'
    )
    line = found(fitting)["R1", "track"]
    assert (line.actual, line.ok, line.kind) == (pytest.approx(25), True, Kind.FITTING)
    assert line.at.height == pytest.approx(2040)
    assert line.to.height == pytest.approx(2065)
    assert 900 <= line.at.station <= 1500
    assert 0 <= line.at.out <= 20


def test_a_pipe_with_two_bends_is_nearest_at_its_elbow(found: Measure) -> None:
    """It comes along at 2090, 40 out: axis to the rail's front top arris hypot(20, 50), less the radius 11."""
    pipe = (
        '[[pipe]]\nwall = "north"\nname = "gas"\ndiameter = 22\n'
        "points = [[600, 40, 2390], [600, 40, 2090], [1400, 40, 2090], [1400, 40, 2390]]"
    )
    line = found(pipe)["R1", "pipe gas"]
    assert line.actual == pytest.approx((20**2 + 50**2) ** 0.5 - 11, abs=1e-4)


def test_the_leaf_of_a_door_sweeps_a_sector(found: Measure) -> None:
    """Hinged 80 short of the wall at its right it clears that wall's rail by 80 - 20; opened past square it sweeps
    over that rail and over the stub of its own wall."""
    door = (
        '[[opening]]\nwall = "east"\nkind = "door"\nfrom_left = 1620\nwidth = 700\nhead = 2030\nhinge = "left"\n'
        "architrave = 30\n"
    )
    assert all(c.ok for c in found(door).values())
    hung = door.replace('"left"', '"right"')
    near = found(hung)["R4", "door in east, opening"]
    assert (near.actual, near.ok) == (pytest.approx(2400 - 1620 - 700 - 20, abs=1e-6), True)
    clash = [c for c in found(hung + "swing = 150\n").values() if not c.ok]
    assert {c.piece for c in clash} == {"R3", "R4"}
    assert all(c.overlap and c.kind is Kind.LEAF for c in clash)


def test_a_grille_keeps_air_before_it(found: Measure) -> None:
    """300 x 200: its own area of air passes all round at 300 * 200 / (2 * 500) = 60 deep; the rail reaches into it."""
    grille = (
        '[[fitting]]\nwall = "north"\nname = "grille"\nfrom_left = 500\nwidth = 300\nbottom = 2041\ntop = 2241\n'
        'out = 4\nkind = "grille"'
    )
    lines = found(grille)
    assert lines["R1", "space before grille"].actual == pytest.approx(1)
    assert lines["R1", "space before grille"].ok
    low = found(grille.replace("2041", "2030").replace("out = 4", "out = 4\nfree = 10"))
    assert low["R1", "space before grille"].overlap


def test_a_detector_is_round_and_wants_room_for_a_hand(found: Measure) -> None:
    """A disc of 100 with its middle 85 out, above the rail's front: 85 - 50 - 20 = 15 out and 2360 - 2040 up: far."""
    text = (
        '[[fitting]]\nwall = "north"\nname = "alarm"\nfrom_left = 500\nwidth = 100\nbottom = 2010\ntop = 2400\n'
        'back = 35\nout = 135\nround = true\nkind = "detector"'
    )
    line = found(text)["R1", "alarm"]
    assert line.actual == pytest.approx(15, abs=1e-6)
    assert (line.wanted, line.ok) == (20, False)


def test_a_casing_may_be_touched_but_not_entered(found: Measure, project_of: Callable[[str], Project]) -> None:
    door = '[[opening]]\nwall = "north"\nkind = "door"\nfrom_left = 1000\nwidth = 800\nhead = 1930\narchitrave = 70\n'
    assert found(door)["R1", "casing of door in north"].actual == pytest.approx(0, abs=1e-9)
    assert found(door)["R1", "casing of door in north"].ok
    # In the corner the rail of the wall beside ends at the casing; one that was up before the door is in it.
    corner = door.replace("1000", "70").replace("1930", "2030")
    assert found(corner)["R4", "casing of door in north"].actual == pytest.approx(0, abs=1e-9)
    bare, hung = project_of(ROOM), project_of(ROOM + corner)
    before = replace(set_out(bare), room=hung.room)
    lines = clearances(before, piece_meshes(before), hung.clearance)
    entered = [c for c in lines if c.kind is Kind.CASING and not c.ok]
    assert [(c.piece, c.overlap, c.at.wall) for c in entered] == [("R1", True, 0)]
