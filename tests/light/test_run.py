"""The light of whole rooms: legs, entries, reels, cuts, rows to buy, warnings, messages."""

from __future__ import annotations

import itertools
import json
import math
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from lit_rooms import ANGLED, DOWN, HIDDEN, SHELF, room_text

from example_rooms import EXAMPLES
from trimwright.cli import main
from trimwright.errors import RoomFileError
from trimwright.light.contours import contours, round_levels
from trimwright.light.fixing import CLEAR, fixing_places
from trimwright.light.rows import light_rows
from trimwright.light.run import LightRun, required_light
from trimwright.project.project import Project, read_project
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out


@pytest.fixture
def run_of(project_of: Callable[[str], Project]) -> Callable[[str], tuple[SetOut, LightRun]]:
    def made(text: str) -> tuple[SetOut, LightRun]:
        project = project_of(text)
        done = set_out(project)
        return done, required_light(done, project)

    return made


def test_legs_are_the_beds_of_the_channel(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """20 wide on the wall: its bed runs 10 out, so each leg is its wall less 20."""
    _, run = run_of(room_text(DOWN))
    (legs,) = run.channel.runs
    assert run.channel.closed == (True,)
    assert sorted(leg.length for leg in legs) == pytest.approx([2380, 2380, 2980, 2980])
    assert [leg.corner for leg in legs] == [2, 3, 4, 1]


def test_the_run_begins_at_the_corner_nearest_to_the_cable(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    _, run = run_of(room_text(DOWN, 'feed_wall = "south"\nfeed_from_left = 100'))
    assert run.routes[0].stretches[0].legs[0].wall == 2


def test_entries_lie_in_the_bed_where_the_strip_is_fed(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    done, run = run_of(room_text(DOWN, 'feed = "both"'))
    assert [e.name for e in run.entries] == ["F1.1", "F1.2"]
    for entry in run.entries:
        frame = done.room.walls[entry.wall].frame
        station, out = frame.locate(entry.plan)
        assert out == pytest.approx(10)
        assert station == pytest.approx(entry.station)
    first, last = run.entries
    assert math.dist(first.plan, last.plan) < 100  # both ends of a closed run meet in one corner
    assert first.cable == pytest.approx(last.cable) == pytest.approx(2000 + 10)  # the bed begins 10 from the corner


def test_reels_cover_the_strip_once(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    _, run = run_of(room_text(DOWN))
    assert run.reels[0].first == 0
    assert run.reels[-1].last == pytest.approx(run.length)
    assert all(a.last == pytest.approx(b.first) for a, b in zip(run.reels, run.reels[1:], strict=False))
    assert sum(r.joint for r in run.reels) == sum(
        0 < edge < run.length and not any(abs(edge - s) < 1e-6 for s in seams(run)) for edge in (5000.0, 10_000.0)
    )


def seams(run: LightRun) -> list[float]:
    return list(np.cumsum([s.length for s in run.routes[0].stretches]))


def test_channels_have_room_to_grow(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """Aluminium 23e-6 and diffuser 70e-6 a degree, 40 degrees, rounded up to half a millimetre."""
    done, run = run_of(room_text(DOWN))
    for cut in run.cuts:
        length = done.piece(cut.piece).length
        assert cut.gap == math.ceil(length * 23e-6 * 40 * 2) / 2
        assert cut.length == pytest.approx(length - cut.gap)
        assert cut.diffuser_gap >= cut.gap
        assert cut.diffuser < cut.length


def test_clips_keep_clear(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """Of ends of pieces, of cable holes, and no further apart than asked for, a shift aside."""
    done, run = run_of(room_text(DOWN, "fixing_spacing = 400"))
    for cut in run.cuts:
        piece = done.piece(cut.piece)
        low, high = piece.extent
        assert all(low + 10 <= at <= high - 10 for at in cut.fixings)
        assert all(b - a <= 400 + 2 * CLEAR for a, b in zip(cut.fixings, cut.fixings[1:], strict=False))
        for entry in run.entries:
            if entry.wall == cut.wall:
                assert all(abs(at - entry.station) >= CLEAR for at in cut.fixings)


def test_fixings_move_off_a_joint() -> None:
    assert fixing_places(0, 1120, 500, []) == pytest.approx((60, 560, 1060))
    moved = fixing_places(0, 1120, 500, [560])
    assert abs(moved[1] - 560) >= CLEAR
    assert moved[0] == 60


def test_what_is_bought(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    _, run = run_of(room_text(DOWN))
    rows = {row.item: row for row in light_rows(run)}
    assert rows["light strip 24 V 9.6 W/m, 5 m"].quantity == math.ceil(run.length / 5000)
    assert rows[run.circuits[0].driver.name].quantity == 1
    assert rows["lamp clip"].quantity == sum(len(cut.fixings) for cut in run.cuts)
    cable = sum(e.cable for e in run.entries) / 1000
    assert rows[f"two-core cable {run.circuits[0].section:g} mm²"].quantity == Decimal(math.ceil(cable))
    assert light_rows(None) == ()


def test_drivers_of_the_file_are_taken(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """10.6 m are about 102 W, with a fifth more 122 W: two circuits on drivers of 100 W."""
    _, run = run_of(room_text(DOWN, '[[light.driver]]\npower = 100\nname = "black box"'))
    assert [c.driver.name for c in run.circuits] == ["black box", "black box"]


def test_two_runs_share_a_driver(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """28 W each: 68 W with a fifth more, one driver of 75 W; the second cable goes two walls further."""
    _, run = run_of(room_text(DOWN + '\nwalls = ["north", "south"]'))
    assert [c.on for c in run.circuits] == [1, 1]
    ((driver, power),) = run.drivers
    assert driver.power_w == 75
    assert power == pytest.approx(2 * 2.95 * 9.6)
    assert [e.cable for e in run.entries] == pytest.approx([2000, 2000 + 3000 + 2400], abs=30)


def test_circuits_that_do_not_fit_have_drivers_of_their_own(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    _, run = run_of(room_text(DOWN + '\nwalls = ["north", "south"]', "[[light.driver]]\npower = 40"))
    assert [c.on for c in run.circuits] == [1, 2]


def test_warnings(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """Too much power for the channel, foam against it, a drop over the limit, a leg left dark."""
    assert run_of(room_text(DOWN))[1].warnings == ()
    hot = room_text(HIDDEN, 'feed = "start"\ndrop = 0.5', cornice=SHELF + '\nmaterial = "eps foam"')
    _, run = run_of(hot.replace("power = 9.6", "power = 24"))
    said = " ".join(run.warnings)
    assert "more than this channel carries off" in said
    assert "touches the channel" in said
    assert "of the voltage is lost" in said


@pytest.mark.parametrize(
    ("entry", "word"),
    [
        ('trim = "lamb"', "lamp"),
        ('feed_wall = "nord"', "north"),
        ("cable_section = 1.2", "standard sections"),
        ("transmision = 0.5", "transmission"),
        ("drop = 0", "drop"),
        ('feed = "everywhere"', "feed"),
    ],
)
def test_what_is_wrong_is_said(project_of: Callable[[str], Project], entry: str, word: str) -> None:
    with pytest.raises(RoomFileError) as error:
        project_of(room_text(DOWN, entry))
    assert word in str(error.value)
    assert "light" in str(error.value)


def test_a_solid_trim_and_an_interval_too_long(run_of: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    with pytest.raises(RoomFileError, match="solid all round"):
        run_of(room_text('profile = "batten"\nback = "wall"\ntop = "ceiling"', 'trim = "lamp"'))
    with pytest.raises(RoomFileError, match="no light channel"):
        run_of(room_text('profile = "batten"\nback = "wall"\ntop = "ceiling"'))
    with pytest.raises(RoomFileError, match="whole interval"):
        run_of(
            room_text(DOWN)
            .replace("interval = 50", "interval = 990")
            .replace("= 3000\n", "= 900\n")
            .replace("length = 2400", "length = 900")
        )


def test_a_room_without_light_says_so() -> None:
    project = read_project(EXAMPLES / "box-room.toml")
    with pytest.raises(RoomFileError, match=r"there is no \[light\]"):
        required_light(set_out(project), project)


@pytest.mark.parametrize("corners", ["link", "connector", "bend"])
def test_angled_channels_in_every_join(run_of: Callable[[str], tuple[SetOut, LightRun]], corners: str) -> None:
    _, run = run_of(room_text(ANGLED, f'corners = "{corners}"'))
    assert run.length <= run.channel.length
    assert run.channel.length - run.length == pytest.approx(sum(d.length for d in run.darks))


def test_the_command_prints_and_gives_data(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "den.toml"
    path.write_text(room_text(DOWN), encoding="utf-8")
    assert main(["light", str(path)]) == 0
    shown = capsys.readouterr().out
    assert "Circuits" in shown
    assert "mean" in shown
    assert main(["light", str(path), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["power"] == pytest.approx(data["length"] * 9.6 / 1000)
    assert sum(s["length"] for s in data["strips"]) == pytest.approx(data["length"])
    assert data["brightness"]["balance"] == pytest.approx(1, abs=5e-3)
    path.write_text(room_text(DOWN, 'feed = "start"\ndrop = 0.5'), encoding="utf-8")
    assert main(["light", str(path)]) == 1


def test_contours_of_a_cone() -> None:
    """Lines of equal distance from a point are circles: every point of a line lies at its level."""
    xs = ys = np.linspace(-10, 10, 81)
    values = np.hypot(*np.meshgrid(xs, ys, indexing="ij"))
    (line,) = contours(xs, ys, values, 6.0)
    assert line[0] == line[-1]
    assert [math.hypot(*p) for p in line] == pytest.approx([6.0] * len(line), abs=0.01)
    assert sum(math.dist(a, b) for a, b in itertools.pairwise(line)) == pytest.approx(12 * math.pi, rel=0.01)


def test_contours_stop_where_nothing_is_known() -> None:
    values = np.add.outer(np.arange(5.0), np.zeros(5))
    values[:, 4] = np.nan
    (line,) = contours(np.arange(5.0), np.arange(5.0), values, 1.5)
    assert sorted(line) == [(1.5, float(k)) for k in range(4)]


def test_contours_of_a_saddle_do_not_cross() -> None:
    values = np.array([[1.0, 0.0], [0.0, 1.0]])
    lines = contours(np.array([0.0, 1.0]), np.array([0.0, 1.0]), values, 0.4)
    assert len(lines) == 2
    assert {len(line) for line in lines} == {2}


def test_levels_are_round() -> None:
    assert round_levels(58, 97) == [60, 65, 70, 75, 80, 85, 90, 95]
    assert round_levels(0.2, 1.1, 4) == pytest.approx([0.25, 0.5, 0.75, 1.0])
    assert round_levels(5, 5) == []
