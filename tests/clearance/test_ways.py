"""Ways out: the amounts against the sizes in the file, and every way offered clears when the room is built with it."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from box_rooms import box_room
from trimwright.clearance.clearance import clashes
from trimwright.clearance.ways import trims
from trimwright.clearance.ways.offer import proposal, ways_out
from trimwright.clearance.ways.trial import trial
from trimwright.clearance.ways.trims import least_amount
from trimwright.clearance.ways.way import Effort, Way
from trimwright.clearance.ways.words import write_proposal
from trimwright.cli import main
from trimwright.errors import RoomFileError, TrimwrightError
from trimwright.project.edit import Edit, applied, edited_text, toml_value

ROOM = (
    box_room()
    + """[[trim]]
name = "rail"
profile = "rail-ogee"
size = { drop = 60, projection = 20 } # as the old one
back = "wall"
bottom = 2000 # to the line of the doors
"""
)

TRACK = """[[fitting]]
wall = "east"
name = "track"
from_left = 500
width = 1200
bottom = 2045
top = 2080
out = 90
"""


def ways_of(path: Path, text: str) -> Mapping[Effort, list[Way]]:
    path.write_text(text)
    found: dict[Effort, list[Way]] = {}
    for ways in ways_out(path).values():
        for way in ways:
            found.setdefault(way.effort, []).append(way)
    return found


def test_amounts_are_the_least(tmp_path: Path) -> None:
    """Rail 2000 to 2060, track 2045 to 2080, 5 wanted: the track goes up 20 or down 85; the rail goes down 20 or up 85;
    a drop of 40 leaves 5; the run ends 5 before 500 and begins 5 behind 1700."""
    found = ways_of(tmp_path / "room.toml", ROOM + TRACK)
    assert [way.amount for way in found[Effort.MOVE]] == [20, 85]
    assert [way.edits[0] for way in found[Effort.SHIFT]] == [
        Edit("trim", 0, "bottom", 1980.0),
        Edit("trim", 0, "bottom", 2085.0),
    ]
    assert [way.edits[0].value for way in found[Effort.SMALLER]] == [{"drop": 40.0, "projection": 20}]
    assert [way.edits[0].value for way in found[Effort.END]] == [[{"wall": "east", "from": 495, "to": 1705.0}]]
    assert all(way.gap == pytest.approx(5, abs=0.06) for ways in found.values() for way in ways)


def test_a_door_is_stopped(tmp_path: Path) -> None:
    """A leaf of 700 hinged 60 from a wall whose rail stands out 20: past square by asin((60 - 20 - 3) / 700) it is
    stopped, in whole degrees; the rail of its own wall begins behind the casing."""
    door = (
        '[[opening]]\nwall = "east"\nkind = "door"\nfrom_left = 1640\nwidth = 700\nhead = 2030\narchitrave = 60\n'
        'hinge = "right"\nswing = 110\n'
    )
    found = ways_of(tmp_path / "room.toml", ROOM + door)
    assert [way.edits for way in found[Effort.STOP]] == [(Edit("opening", 0, "swing", 93),)]


def test_a_cornice_stays_on_the_ceiling(tmp_path: Path) -> None:
    cornice = ROOM.replace("bottom = 2000", 'top = "ceiling"').replace("rail-ogee", "cove")
    cornice = cornice.replace("drop = 60, projection = 20", "drop = 90, projection = 90")
    lamp = TRACK.replace("bottom = 2045\ntop = 2080\nout = 90", "bottom = 2340\ntop = 2400\nback = 70\nout = 150")
    found = ways_of(tmp_path / "room.toml", cornice + lamp)
    assert set(found) == {Effort.MOVE, Effort.SMALLER, Effort.END}
    assert [way.amount for way in found[Effort.MOVE]] == [25]
    assert [way.edits[0].value for way in found[Effort.SMALLER]][-1] == {"drop": 90, "projection": 65.0}


BATTEN = ROOM.replace("rail-ogee", "batten").replace("drop = 60, projection = 20", "drop = 100, projection = 60")
HUNG = BATTEN.replace("bottom = 2000 # to the line of the doors", 'top = "ceiling"')
PIPE = '[[pipe]]\nwall = "east"\nname = "gas"\ndiameter = 15\ndirection = "horizontal"\n'


def test_a_fitting_is_let_in(tmp_path: Path) -> None:
    """A track 40 deep, and 5 before it, leaves 15 of a batten of 60; one of 50 would leave 5, less than a web."""
    track = TRACK.replace("out = 90", "out = 40")
    found = ways_of(tmp_path / "room.toml", BATTEN + track)
    assert [(way.amount, way.edits) for way in found[Effort.LET_IN]] == [(45, (Edit("fitting", 0, "let_in", True),))]
    assert found[Effort.LET_IN][0].gap == pytest.approx(5, abs=0.06)
    deeper = ways_of(tmp_path / "room.toml", BATTEN + TRACK.replace("out = 90", "out = 50"))
    assert Effort.LET_IN not in deeper
    detector = track + 'kind = "detector"\n'
    assert Effort.LET_IN not in ways_of(tmp_path / "room.toml", BATTEN + detector)


def test_a_pipe_asks_for_a_larger_section_or_a_batten(tmp_path: Path) -> None:
    """A pipe of 15, 45 out, with 3 round it reaches 55.5 out, and a web is 8: a projection of 63.5 would do, or 3.5
    more behind one of 60; in whole millimetres."""
    found = ways_of(tmp_path / "room.toml", HUNG + PIPE + "height = 2350\nout = 45\n")
    assert [way.edits[0].value for way in found[Effort.LARGER]] == [{"drop": 100, "projection": 64}]
    assert [way.edits[0] for way in found[Effort.OFF]] == [Edit("trim", 0, "back", "wall + 4")]


def test_a_proposal_lets_a_cupboard_in_where_nothing_can_be_moved(tmp_path: Path) -> None:
    path = tmp_path / "room.toml"
    top = TRACK.replace("2045", "2340").replace("2080", "2400").replace("out = 90", 'out = 40\nkind = "cupboard"')
    path.write_text(HUNG + top)
    made = proposal(path)
    assert [way.effort for way in made.taken] == [Effort.LET_IN]
    place = write_proposal(path, made)
    assert tomllib.loads(place.read_text())["fitting"][0]["let_in"] is True
    assert not clashes(trial(tomllib.loads(place.read_text()), place).lines)


@settings(max_examples=6)
@given(st.integers(2300, 2395), st.integers(8, 90), st.sampled_from([8, 15, 22]), st.booleans())
def test_every_way_past_a_pipe_or_a_box_clears(
    tmp_path: Path, height: int, out: int, diameter: int, boxed: bool
) -> None:
    path = tmp_path / "room.toml"
    pipe = PIPE.replace("diameter = 15", f"diameter = {diameter}") + f"height = {height}\nout = {out + diameter}\n"
    box = TRACK.replace("2045", str(height - 40)).replace("2080", str(height)).replace("out = 90", f"out = {out}")
    path.write_text(HUNG + (box if boxed else pipe))
    before = trial(tomllib.loads(path.read_text()), path)
    for pair, ways in ways_out(path).items():
        for way in ways:
            after = trial(applied(before.data, way.edits), path)
            assert pair not in after.clashing
            assert set(after.clashing) <= set(before.clashing)


def test_the_least_amount_is_found_by_halving() -> None:
    assert least_amount(lambda x: x >= 17, 300) == 17
    assert least_amount(lambda x: True, 300) == 1
    assert least_amount(lambda x: False, 300) is None
    assert least_amount(lambda x: True, 0) is None


bottoms = st.integers(1900, 2300)
depths = st.integers(10, 400)


@settings(max_examples=15)
@given(bottoms, st.integers(20, 300), depths, st.integers(0, 1200), st.integers(50, 1100), st.booleans())
def test_every_way_offered_clears(
    tmp_path: Path, bottom: int, height: int, out: int, left: int, width: int, hung: bool
) -> None:
    """Built again with it, no trim and obstacle clash that did not before, and this pair does not at all."""
    path = tmp_path / "room.toml"
    top = 2400 if hung else min(2400, bottom + height)
    fitting = (
        f'[[fitting]]\nwall = "east"\nname = "thing"\nfrom_left = {left}\nwidth = {width}\n'
        f"bottom = {min(bottom, top - 5)}\ntop = {top}\nout = {out + 40}\nback = {40 if hung else 0}\n"
    )
    path.write_text(ROOM + fitting)
    try:
        before = trial(tomllib.loads(path.read_text()), path)
    except TrimwrightError:
        return
    found = ways_out(path)
    assert set(found) == set(before.clashing)
    for pair, ways in found.items():
        for way in ways:
            after = trial(applied(before.data, way.edits), path)
            assert pair not in after.clashing
            assert set(after.clashing) <= set(before.clashing)


def test_a_way_that_does_too_little_would_be_seen(tmp_path: Path) -> None:
    """The law above can fail: with 1 less than the least amount the pair clashes still, when it is built with it."""
    path = tmp_path / "room.toml"
    found = ways_of(path, ROOM + TRACK)
    now = trial(tomllib.loads(path.read_text()), path)
    for way in (*found[Effort.MOVE], *found[Effort.SHIFT]):
        short = [
            replace(e, value=e.value + math.copysign(1, now.data[e.table][e.index][e.key] - e.value)) for e in way.edits
        ]
        assert way.pair in trial(applied(now.data, short), path).clashing
        assert way.pair not in trial(applied(now.data, way.edits), path).clashing


def test_ways_that_fail_when_built_are_not_offered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Amounts solved for one too small: each is tried on the whole room, found wanting, and left out."""
    monkeypatch.setattr(
        trims, "least_amount", lambda clears, most, step=1.0: (least_amount(clears, most, step) or 2) - 1
    )
    found = ways_of(tmp_path / "room.toml", ROOM + TRACK)
    assert Effort.SHIFT not in found
    assert Effort.SMALLER not in found
    assert Effort.MOVE in found


CROWN = (
    ROOM[: ROOM.index("[[trim]]")]
    + """[[trim]]
name = "crown"
profile = "sprung-crown"
walls = ["north"]
leave_out = [{{ wall = "north", from = 0, to = {left} }}, {{ wall = "north", from = {right}, to = 3000 }}]
back = "wall"
top = "ceiling"
[[trim]]
name = "rail"
profile = "batten"
size = {{ drop = {drop}, projection = {projection} }}
back = {back}
top = {top}
"""
)


@settings(max_examples=12)
@given(
    st.integers(150, 1000),
    st.integers(2000, 2850),
    st.integers(8, 60),
    st.integers(10, 40),
    st.integers(0, 60),
    st.integers(2320, 2400),
)
def test_every_way_between_trims_clears(
    tmp_path: Path, left: int, right: int, drop: int, projection: int, back: int, top: int
) -> None:
    """A crown with returns and a strip of any size about its hollow: built with a way, they only touch."""
    path = tmp_path / "room.toml"
    path.write_text(CROWN.format(left=left, right=right, drop=drop, projection=projection, back=back, top=top))
    try:
        before = trial(tomllib.loads(path.read_text()), path)
    except TrimwrightError:
        return
    for pair, ways in ways_out(path).items():
        assert pair.trims
        for way in ways:
            after = trial(applied(before.data, way.edits), path)
            assert pair not in after.clashing
            assert set(after.clashing) <= set(before.clashing)


def test_a_proposal_is_a_new_file_with_nothing_else_changed(tmp_path: Path) -> None:
    path = tmp_path / "room.toml"
    path.write_text(ROOM + TRACK)
    made = proposal(path)
    place = write_proposal(path, made)
    assert (place.name, made.left) == ("room-proposal.toml", ())
    assert path.read_text() == ROOM + TRACK
    data = tomllib.loads(place.read_text())
    assert not clashes(trial(data, place).lines)
    changed = [
        (a, b) for a, b in zip((ROOM + TRACK).splitlines(), place.read_text().splitlines(), strict=True) if a != b
    ]
    assert changed == [("bottom = 2045", "bottom = 2065"), ("top = 2080", "top = 2100")]
    assert write_proposal(path, made).name == "room-proposal-2.toml"


def test_the_command_offers_and_writes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "room.toml"
    path.write_text(ROOM + TRACK)
    assert main(["check", str(path), "--fix"]) == 1
    said = capsys.readouterr().out
    assert "move track up by 20" in said
    assert "room-proposal.toml" in said
    assert main(["check", str(tmp_path / "room-proposal.toml")]) == 0


@pytest.mark.parametrize(
    ("before", "value", "after"),
    [
        ("x = 1 # why", 2.5, "x = 2.5  # why"),
        ('x = "a # b"', "c", 'x = "c"'),
        ("x = [\n  1, # one\n  2,\n]", [3], "x = [3]"),
        ("y = 1\n\n# next", True, "y = 1\nx = true\n\n# next"),
        ("x = { a = 1 }", {"a b": "ü"}, 'x = { "a b" = "ü" }'),
    ],
)
def test_edits_leave_the_rest(before: str, value: Any, after: str) -> None:
    text = f"[[t]]\nx = 0\n[[t]]\n{before}\n[[u]]\nx = 5\n"
    assert edited_text(text, [Edit("t", 1, "x", value)]) == f"[[t]]\nx = 0\n[[t]]\n{after}\n[[u]]\nx = 5\n"


def test_what_cannot_be_edited_is_said() -> None:
    with pytest.raises(RoomFileError, match="by hand"):
        edited_text("[[t]]\n[t.x]\na = 1\n", [Edit("t", 0, "x", {"a": 2})])


@given(
    st.recursive(st.integers() | st.booleans() | st.text(max_size=5), lambda v: st.lists(v, max_size=3), max_leaves=5)
)
def test_values_are_read_again(value: Any) -> None:
    assert tomllib.loads(f"x = {toml_value(value)}")["x"] == value
