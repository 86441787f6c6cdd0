"""Colours from the room file to the bodies that are drawn."""

from __future__ import annotations

from pathlib import Path

import pytest

from trimwright.data import table
from trimwright.errors import RoomFileError
from trimwright.mesh.body import Kind
from trimwright.mesh.surroundings import surroundings
from trimwright.project.project import Project, read_project

ROOM = """
format = 1
[room]
name = "Den"
ceiling = 2400
[[wall]]
name = "north"
length = 3000
[[wall]]
name = "east"
length = 2500
[[wall]]
name = "south"
length = 3000
[[wall]]
name = "west"
length = 2500
[[opening]]
wall = "north"
kind = "door"
from_left = 500
width = 800
head = 2000
architrave = 60
[[trim]]
name = "cornice"
profile = "cove"
back = "wall"
top = "ceiling"
"""


def project(folder: Path, finish: str) -> Project:
    path = folder / "den.toml"
    path.write_text(ROOM + finish, encoding="utf-8")
    return read_project(path)


def test_each_part_has_the_colour_that_it_was_given(tmp_path: Path) -> None:
    made = project(
        tmp_path,
        """
        [finish]
        walls = "#ABCDEF"
        floor = "oak"
        ceiling = "evening"
        casings = "white"
        doors = "evening"
        wall = { south = "evening" }
        trim = { cornice = "white plaster" }
        paints = { evening = "#123456" }
        """,
    )
    known = {name: row["colour"] for name, row in table("finishes").items()}
    bodies = {body.name: body for body in surroundings(made.room, made.finish)}
    assert {bodies[f"wall {name}"].colour for name in ("north", "east", "west")} == {"#abcdef"}
    assert bodies["wall south"].colour == bodies["ceiling"].colour == bodies["leaf door 1"].colour == "#123456"
    assert bodies["floor"].colour == known["oak"]
    assert {b.colour for name, b in bodies.items() if name.startswith("casing")} == {known["white"]}
    assert made.trims[0].material.colour == known["white plaster"]
    assert made.trims[0].material.name == "softwood"  # painted, not of plaster: it weighs what it weighed


def test_a_paint_of_ones_own_goes_before_a_known_finish(tmp_path: Path) -> None:
    made = project(tmp_path, '[finish]\nfloor = "oak"\npaints = { oak = "#010203" }\n')
    floor = next(body for body in surroundings(made.room, made.finish) if body.kind is Kind.FLOOR)
    assert floor.colour == "#010203"


def test_nothing_said_is_as_before(tmp_path: Path) -> None:
    made = project(tmp_path, "")
    assert [b.colour for b in surroundings(made.room, made.finish)] == [b.colour for b in surroundings(made.room)]


@pytest.mark.parametrize(
    ("finish", "said"),
    [
        ('walls = "evning"\npaints = { evening = "#123456" }', "[finish], walls: 'evning' is no colour; did you mean"),
        ('wall = { nort = "oak" }', "[finish], wall: there is no wall 'nort'; did you mean 'north'?"),
        ('trim = { cornise = "oak" }', "[finish], trim: there is no trim 'cornise'; did you mean 'cornice'?"),
        ('wall = { north = "#12" }', "[finish], wall, north: '#12' is no colour"),
        ('paints = { evening = "blue" }', "[finish], paints"),
        ('wals = "oak"', "[finish], wals: unknown key; did you mean 'walls'?"),
    ],
)
def test_a_wrong_word_is_named(tmp_path: Path, finish: str, said: str) -> None:
    with pytest.raises(RoomFileError) as caught:
        project(tmp_path, f"[finish]\n{finish}\n")
    assert str(tmp_path / "den.toml") in str(caught.value)
    assert said in str(caught.value)
