"""Pieces of two trims that lie in each other: how deep, where, and what is done about it.

Expected values from the sizes in the room's text, from the geometry of a circle, and from shapely.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from manifold3d import Manifold
from shapely import Polygon
from shapely.affinity import rotate, translate

from box_rooms import box_room
from trimwright.clearance.bite import bite
from trimwright.clearance.clearance import Clearance
from trimwright.clearance.gaps import clearances
from trimwright.clearance.obstacles import Kind
from trimwright.clearance.open_joints import open_joints
from trimwright.clearance.section import cut_through
from trimwright.clearance.ways.offer import ways_out
from trimwright.clearance.ways.way import Effort
from trimwright.cli import main
from trimwright.mesh.piece import piece_meshes
from trimwright.project.project import Project
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out
from trimwright.tolerance import BITE

CROWN = (
    box_room(2500, 'date = "2026-10-12"\n')
    + """[[trim]]
name = "crown"
profile = "sprung-crown"
walls = ["north"]
leave_out = [{ wall = "north", from = 0, to = 400 }, { wall = "north", from = 2600, to = 3000 }]
back = "wall"
top = "ceiling"
material = "softwood"
[[trim]]
name = "channel"
profile = "channel-surface"
size = { drop = 8, projection = 17 }
back = "wall"
top = "ceiling"
"""
)
"""The crown's hollow has room for the channel; its returns, which turn back to the wall, do not."""

BOW = """format = 1
[room]
name = "Bow"
ceiling = 2500
closed = false
[[wall]]
name = "bow"
length = 3000
radius = 2400
bow = "out"
[[trim]]
name = "rail"
profile = "batten"
size = { drop = 60, projection = 20 }
back = "wall"
bottom = 2100
material = "mdf"
curve = "segments"
[[trim]]
name = "strip"
profile = "batten"
size = { drop = 20, projection = 10 }
back = "rail.front"
bottom = "rail.bottom"
material = "softwood"
curve = "bent"
"""


@pytest.fixture
def lying(project_of: Callable[[str], Project]) -> Callable[[str], tuple[SetOut, list[Clearance]]]:
    def measure(text: str) -> tuple[SetOut, list[Clearance]]:
        project = project_of(text)
        done = set_out(project)
        lines = clearances(done, piece_meshes(done), project.clearance)
        return done, [line for line in lines if line.kind is Kind.TRIM]

    return measure


Lying = Callable[[str], tuple[SetOut, list[Clearance]]]


def test_returns_run_into_what_the_hollow_holds(lying: Lying) -> None:
    """Both returns take all of the channel's 8 of height; the long piece, whose hollow holds it, touches nothing."""
    done, lines = lying(CROWN)
    assert [(line.piece, line.other, line.obstacle) for line in lines] == [
        ("C1", "H1", "H1 channel"),
        ("C3", "H1", "H1 channel"),
    ]
    for line, end in zip(lines, (400, 2600), strict=True):
        assert (line.overlap, line.ok, line.wanted) == (True, False, 0)
        assert line.actual == pytest.approx(-8, abs=1e-6)
        assert done.room.walls[line.at.wall].name == "north"
        assert abs(line.at.station - end) < 30
        assert 0 <= line.at.out <= 17
        assert sorted((line.at.height, line.to.height)) == pytest.approx([2492, 2500], abs=1e-6)


def test_a_hollow_that_is_large_enough_is_no_clash(lying: Lying) -> None:
    assert (
        lying(CROWN.replace('profile = "sprung-crown"', 'profile = "sprung-crown"\njoints = { end = "square" }'))[1]
        == []
    )


@pytest.mark.parametrize("bow", ["in", "out"])
def test_segments_stand_off_what_is_bent(lying: Lying, bow: str) -> None:
    """A wall 3000 across and of radius R = 2400 turns 2 asin(1500 / R). In n chords of it the wall is
    s = R (1 - cos(turn / 2 n)) off the middle of each, which stands proud by as much where the wall bows out. Where it
    bows in, segments are tangents, which stand off at their ends.
    """
    done, lines = lying(BOW.replace('bow = "out"', f'bow = "{bow}"'))
    segments = [p for p in done.pieces if p.trim.name == "rail" and not p.is_return]
    if bow == "out":
        sagitta = 2400 * (1 - math.cos(math.asin(1500 / 2400) / len(segments)))
        assert len(lines) == len(segments)
        assert {line.other for line in lines} == {"S1"}
        assert [-line.actual for line in lines] == [pytest.approx(sagitta, abs=0.06)] * len(lines)
    else:
        assert lines
        assert all(BITE < -line.actual < 3.2 for line in lines)


def test_alike_round_a_curve_they_only_touch(lying: Lying) -> None:
    for curve in ("bent", "segments"):
        same = BOW.replace('curve = "segments"', f'curve = "{curve}"').replace('curve = "bent"', f'curve = "{curve}"')
        assert lying(same)[1] == []


def test_ways_out_of_a_return(tmp_path: Path) -> None:
    """The channel belongs on the ceiling, and no smaller one lies clear: it ends before each return."""
    path = tmp_path / "room.toml"
    path.write_text(CROWN)
    ((pair, ways),) = ways_out(path).items()
    assert pair == ("crown", "channel", True)
    (end,) = [way for way in ways if way.effort is Effort.END]
    stretches = end.edits[0].value
    assert [(s["wall"], s["from"] <= 401, s["to"] >= 2599) for s in stretches] == [
        ("north", True, False),
        ("north", False, True),
    ]


def test_ways_out_along_a_curve(tmp_path: Path) -> None:
    path = tmp_path / "room.toml"
    path.write_text(BOW)
    ((_, ways),) = ways_out(path).items()
    assert {(e.index, e.key, e.value) for way in ways for e in way.edits if way.effort is Effort.ALIKE} == {
        (0, "curve", "bent"),
        (1, "curve", "segments"),
    }


def test_raised_past_the_other(tmp_path: Path) -> None:
    """Segments of 60 from 2100 up, a bent strip of 20 before them that is set by a number: 20 down or 60 up."""
    path = tmp_path / "room.toml"
    path.write_text(BOW.replace('bottom = "rail.bottom"', "bottom = 2100"))
    ((_, ways),) = ways_out(path).items()
    shifts = {(e.index, e.value) for way in ways for e in way.edits if way.effort is Effort.SHIFT}
    assert shifts == {(1, 2160.0), (1, 2080.0), (0, 2120.0), (0, 2040.0)}


@pytest.mark.parametrize("command", ["check", "cuts"])
def test_it_is_a_clash_without_the_kernel(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    monkeypatch.setitem(__import__("sys").modules, "cadquery", None)
    path = tmp_path / "room.toml"
    path.write_text(CROWN)
    assert main([command, str(path)]) == 1
    said = capsys.readouterr().out
    assert said.count("CLASH") == 2
    assert "H1 channel" in said
    assert main([command, str(path), "--json"]) == 1
    data = json.loads(capsys.readouterr().out)
    found = [c for c in data["clearances" if command == "check" else "clashes"] if not c["ok"]]
    assert [(c["trim"], c["piece"], c["obstacle"], c["wanted"], c["actual"]) for c in found] == [
        ("crown", "C1", "H1 channel", 0, -8),
        ("crown", "C3", "H1 channel", 0, -8),
    ]
    assert found[0]["at"]["wall"] == "north"


def test_the_cut_shows_both_and_what_they_share(lying: Lying) -> None:
    """Upright across the channel, which the return crosses; the red is a part of the channel's section of 8 x 17."""
    done, lines = lying(CROWN)
    meshes = piece_meshes(done)
    cut = cut_through(done, meshes, lines[0], None)
    assert cut.upright
    assert {"C1", "H1"} <= {name for name, _ in cut.trims}
    red = np.array([point for loop in cut.shared for point in loop])
    assert red.min(axis=0) == pytest.approx([0, 2492], abs=0.01)
    assert (red.max(axis=0) <= [17.01, 2500.01]).all()
    assert abs(cut.at[1] - cut.to[1]) == pytest.approx(8, abs=1e-6)


size = st.floats(5, 80)


@given(size, size, st.floats(0, 90), st.tuples(st.floats(-60, 60), st.floats(-60, 60)), st.floats(-30, 30))
def test_what_two_boards_share_against_shapely(
    long: float, wide: float, turn: float, at: tuple[float, float], up: float
) -> None:
    """Upright boards 20 high: V = A h and S = 2 A + P h, A and P those of what their plans share by shapely."""
    plan = translate(rotate(Polygon([(0, 0), (long, 0), (long, wide), (0, wide)]), turn), *at)
    other = Polygon([(-25, -15), (25, -15), (25, 15), (-25, 15)])
    first, second = (
        Manifold.hull_points([(x, y, z + low) for x, y in p.exterior.coords for z in (0.0, 20.0)])
        for p, low in ((plan, up), (other, 0.0))
    )
    common, height = plan.intersection(other), max(0.0, 20 - abs(up))
    surface = 2 * common.area + common.length * height
    thick = 2 * common.area * height / surface if surface > 0 and height > 0 else 0.0
    if abs(thick - BITE) > 1e-3:
        assert (bite(first, second) is not None) == (thick > BITE)


def test_a_joint_that_is_cut_short_is_open(set_out_of: Callable[[str], SetOut]) -> None:
    """A piece of the ring moved 0.8 along its wall: one mitre opens by as much, the other overlaps."""
    text = CROWN[: CROWN.index("[[trim]]")] + (
        '[[trim]]\nname = "rail"\nprofile = "rail-ogee"\nback = "wall"\nbottom = 2100\n'
        'joints = { internal = "mitre" }\n'
    )
    done = set_out_of(text)
    assert open_joints(done, piece_meshes(done)) == ()
    first, *rest = done.pieces
    short = replace(first, right=replace(first.right, station=first.right.station - 0.8))
    moved = replace(done, pieces=(short, *rest))
    (joint,) = open_joints(moved, piece_meshes(moved))
    assert (joint.first, joint.second, joint.gap) == ("R1", "R2", pytest.approx(0.8))
    coped = set_out_of(text.replace('"mitre" }', '"cope" }'))
    assert open_joints(coped, piece_meshes(coped)) == ()
    meshes = piece_meshes(coped)
    meshes["R2"] = replace(meshes["R2"], vertices=meshes["R2"].vertices + np.array([0, 0, 200.0]))
    assert {frozenset((j.first, j.second)) for j in open_joints(coped, meshes)} == {
        frozenset({"R1", "R2"}),
        frozenset({"R2", "R3"}),
    }
