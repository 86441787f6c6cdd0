"""The light as lists and data: what the terminal and the page print is what pack.json holds."""

from __future__ import annotations

import json
from functools import cache

import pytest

from example_rooms import EXAMPLES
from trimwright.light.run import LightRun, light_run
from trimwright.pack.data import to_json
from trimwright.pack.light import light_data, light_tables
from trimwright.project.project import read_project
from trimwright.room import Room
from trimwright.setout.set_out import set_out


@cache
def lit() -> tuple[Room, LightRun]:
    project = read_project(EXAMPLES / "reading-room.toml")
    assert project.light is not None
    done = set_out(project)
    return done.room, light_run(done, project.light)


def test_no_light_is_an_empty_block() -> None:
    room, _ = lit()
    assert light_data(room, None) == {}


def test_data_says_what_the_lists_say() -> None:
    room, run = lit()
    data = json.loads(to_json(light_data(room, run)))
    strip, circuits, feeds, channel = light_tables(room, run)
    assert [row[2] for row in strip.rows] == pytest.approx([s["length"] for s in data["strips"]], abs=0.05)
    assert [row[2] for row in circuits.rows] == pytest.approx([c["power"] for c in data["circuits"]], abs=0.05)
    named = [feed for c in data["circuits"] for feed in c["feeds"]]
    assert [row[0] for row in feeds.rows] == [feed["name"] for feed in named]
    assert [row[2] for row in feeds.rows] == pytest.approx([feed["station"] for feed in named], abs=0.5)
    assert [row[0] for row in channel.rows] == [cut["piece"] for cut in data["cuts"]]
    assert [row[2] for row in channel.rows] == pytest.approx([cut["length"] for cut in data["cuts"]], abs=0.05)


def test_sums_agree() -> None:
    """Strip of the stretches, of the reels and of the circuits is one length; power is that times watts a metre."""
    room, run = lit()
    data = light_data(room, run)
    length = data["length"]
    assert sum(s["length"] for s in data["strips"]) == pytest.approx(length)
    assert sum(r["to"] - r["from"] for r in data["reels"]) == pytest.approx(length)
    assert sum(c["length"] for c in data["circuits"]) == pytest.approx(length)
    assert data["power"] == pytest.approx(length / 1000 * run.strip.power_w)
    assert sum(f["current"] for c in data["circuits"] for f in c["feeds"]) == pytest.approx(
        sum(float(c.voltages.current.sum()) for c in run.circuits)
    )


def test_brightness_is_left_out_where_it_was_not_asked_for() -> None:
    room, run = lit()
    assert "brightness" not in light_data(room, run)
