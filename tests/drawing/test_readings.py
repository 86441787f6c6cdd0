"""What the survey changed is told on the sheets, and what they say in two units agrees."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

import pytest
from drawn_rooms import l_room

from example_rooms import EXAMPLES, example_set_out
from trimwright.drawing.dimensions import distances, lettered
from trimwright.drawing.marks import Dimension, DimensionKind, Group, Mark, Running, Text
from trimwright.drawing.primitives import Block, Label, Primitive
from trimwright.drawing.render import lower
from trimwright.drawing.sheets import sheets
from trimwright.project.project import Project, read_project
from trimwright.setout.set_out import set_out
from trimwright.survey.reading import Kind
from trimwright.tolerance import ADJUSTED
from trimwright.units import Units, length

DUAL = re.compile(r"(-?\d+(?:\.\d)?) \[([^\]]+\")\]")


def texts(items: Iterable[Primitive]) -> Iterator[str]:
    for item in items:
        if isinstance(item, Block):
            yield from texts(item.items)
        elif isinstance(item, Label):
            yield item.text


def test_a_length_that_the_survey_changed_has_its_reading_beside_it() -> None:
    project = read_project(EXAMPLES / "loft.toml")
    moved = {
        c.reading.at[0] for c in project.survey.checks if c.reading.kind is Kind.LENGTH and abs(c.difference) > ADJUSTED
    }
    assert moved == {0}
    made = {s.name: " ".join(texts(lower(s))) for s in sheets(set_out(project), checks=project.survey.checks)}
    for name in ("ceiling-plan", "wall-1"):
        assert re.search(r"\d\" ?\] \(read 13' 2\"\)", made[name]), name
    assert not any("(read" in made[f"wall-{k}"] for k in range(2, 7))


def test_readings_in_mm(project_of: Callable[[str], Project]) -> None:
    """Two opposite walls of a rectangle 8 apart: with equal accuracy each takes half, 4 up and 4 down."""
    sizes = {"a": 4000, "b": 3000, "c": 4008, "d": 3000}
    walls = "".join(f'[[wall]]\nname = "{n}"\nlength = {v}\ninternal = 90\n' for n, v in sizes.items())
    text = f'format = 1\n[room]\nname = "r"\nceiling = 2400\n{walls}'
    text += '[survey]\nangle = 0.001\nlength = "3 mm"\nlength_per_metre = 0\n'
    text += '[[trim]]\nname = "cornice"\nprofile = "cove"\nback = "wall"\ntop = "ceiling"\n'
    project = project_of(text)
    made = {s.name: " ".join(texts(lower(s))) for s in sheets(set_out(project), checks=project.survey.checks)}
    assert "4004 (read 4000)" in made["wall-1"]
    assert "4004 (read 4008)" in made["wall-3"]
    assert "4004 (read 4000)" in made["ceiling-plan"]
    assert "(read" not in made["wall-2"]
    assert all("(read" not in " ".join(texts(lower(s))) for s in sheets(set_out(project)))


def test_both_units_on_a_sheet_say_the_same() -> None:
    project = read_project(EXAMPLES / "loft.toml")
    found = 0
    for sheet in sheets(set_out(project), checks=project.survey.checks):
        for text in texts(lower(sheet)):
            for mm, inches in DUAL.findall(text):
                found += 1
                assert length(inches) == pytest.approx(float(mm), abs=25.4 / 32 + 1e-9)
    assert found > 100


def test_every_dimension_of_a_room_in_inches_says_both() -> None:
    for sheet in sheets(example_set_out("loft")):
        for view in sheet.views:
            for mark in leaves(view.drawing.marks):
                said = (mark.texts or ("",)) if isinstance(mark, Running) else (mark.text or "",)
                assert all(DUAL.search(text) for text in said), (sheet.name, said)


def leaves(marks: Iterable[Mark]) -> Iterator[Dimension | Running]:
    for mark in marks:
        if isinstance(mark, Group):
            yield from leaves(mark.marks)
        elif isinstance(mark, Dimension | Running):
            yield mark


def test_in_mm_a_dimension_is_left_to_say_what_it_measures() -> None:
    """So that a DXF dimension follows what it is tied to."""
    marks = [Dimension((0, 0), (304.8, 0), 5, DimensionKind.HORIZONTAL), Running((0, 0), (0, 1), ((3, 25.4),), 5)]
    assert list(lettered(marks, Units.MM)) == marks
    wide, up = lettered(marks, Units.INCHES)
    assert isinstance(wide, Dimension)
    assert isinstance(up, Running)
    assert wide.text == "304.8 [1' 0\"]"
    assert up.texts == ('25.4 [1"]',)
    assert distances(up) == (25.4,)
    named = replace(wide, text="C1  304.8")
    assert list(lettered([named, Text((0, 0), "x")], Units.INCHES)) == [named, Text((0, 0), "x")]


def test_texts_of_a_room_in_inches_stay_apart() -> None:
    """A room made by hand, lettered in inches: the wider texts still find room."""
    from trimwright.drawing.clutter import box_of

    job = l_room()
    job = replace(job, room=replace(job.room, units=Units.INCHES))
    for sheet in sheets(job):
        boxes = [(t.text, box_of(t).grown(-0.1)) for t in _labels(lower(sheet)) if abs(t.angle % 90) < 0.05]
        for k, (text, box) in enumerate(boxes):
            for other, before in boxes[:k]:
                assert box.shared(before) < 0.05, f"{sheet.name}: {text!r} over {other!r}"


def _labels(items: Iterable[Primitive]) -> Iterator[Label]:
    for item in items:
        if isinstance(item, Block):
            yield from _labels(item.items)
        elif isinstance(item, Label):
            yield item
