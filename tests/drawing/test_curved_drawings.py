"""Drawings of a room with a curved wall: true arcs in plan, true lengths unrolled, one template for all seams."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator

import pytest

from curved_rooms import CURVE, curved_room, sweep_of, trim
from trimwright.drawing.ceiling_plan import ceiling_plan
from trimwright.drawing.marks import Dimension, Drawing, Group, Layer, Mark, Path, Running, Text
from trimwright.drawing.sheet import Sheet
from trimwright.drawing.sheets import sheets
from trimwright.drawing.templates import templates
from trimwright.drawing.wall import wall_elevation
from trimwright.profile.outline import Arc, Line
from trimwright.setout.piece import SetOut
from trimwright.units import value

RADIUS, CHORD = 2400.0, 3000.0
SWEEP = sweep_of(RADIUS, CHORD)

RAIL = trim('material = "pu foam"\ncurve = "bent"', "rail-plain", 'back = "wall"\nbottom = 2000', "rail")
WINDOW = f'[[opening]]\nwall = "{CURVE}"\nkind = "window"\nfrom_left = 700\nwidth = 1800\nsill = 600\nhead = 1900\n'

SetOutOf = Callable[[str], SetOut]


@pytest.fixture
def job(set_out_of: SetOutOf) -> SetOut:
    return set_out_of(curved_room(trim(name="cornice"), RAIL, WINDOW))


def leaves(marks: tuple[Mark, ...]) -> Iterator[Mark]:
    for mark in marks:
        if isinstance(mark, Group):
            yield from leaves(mark.marks)
        else:
            yield mark


def group(drawing: Drawing, name: str) -> Group:
    (found,) = [m for m in drawing.marks if isinstance(m, Group) and m.name == name]
    return found


def words(sheet: Sheet) -> str:
    marks = [*sheet.marks, *(m for view in sheet.views for m in view.drawing.marks)]
    return " ".join(m.text for m in leaves(tuple(marks)) if isinstance(m, Text))


def test_in_plan_the_wall_and_a_bent_trim_are_arcs_about_one_centre(job: SetOut) -> None:
    plan, bend = ceiling_plan(job), job.room.walls[1].bend
    assert bend is not None
    faces = [m for m in leaves(group(plan, CURVE).marks) if isinstance(m, Path) and m.layer is Layer.WALL]
    arcs = [s for m in faces for s in m.segments if isinstance(s, Arc)]
    assert [a.radius for a in arcs] == pytest.approx([RADIUS] * len(arcs))
    # The face left of the window and right of it.
    assert sum(a.length for a in arcs) == pytest.approx(RADIUS * SWEEP - 1800)
    (rail,) = [p for p in job.pieces if p.bend is not None]
    front = rail.trim.edges.front
    (line,) = [s for m in leaves(group(plan, rail.id).marks) if isinstance(m, Path) for s in m.segments if _arc(s)]
    assert isinstance(line, Arc)
    assert (line.radius, line.centre) == (pytest.approx(RADIUS - front), bend.centre)
    assert line.length == pytest.approx(rail.front_length)


def _arc(segment: object) -> bool:
    return isinstance(segment, Arc)


def test_in_plan_segments_are_straight_and_meet(job: SetOut) -> None:
    plan = ceiling_plan(job)
    pieces = [p for p in job.pieces if p.trim.name == "cornice" and p.wall == 1]
    fronts = []
    for piece in pieces:
        lines = [m for m in leaves(group(plan, piece.id).marks) if isinstance(m, Path)]
        (front,) = [m.segments[0] for m in lines if m.layer is Layer.SETTING_OUT]
        assert isinstance(front, Line)
        fronts.append(front)
    for a, b in itertools.pairwise(fronts):
        assert math.dist(a.end, b.start) < 1e-6


def test_running_dimensions_of_the_plan_say_lengths_of_the_face(job: SetOut) -> None:
    (along,) = [
        m for m in ceiling_plan(job).marks if isinstance(m, Running) and m.texts and m.origin == job.room.walls[1].start
    ]
    assert along.texts is not None
    assert along.texts[-1] == value(RADIUS * SWEEP)
    assert {"700", "2500"} <= set(along.texts)


def test_the_elevation_is_unrolled_and_its_lengths_are_those_cut(job: SetOut) -> None:
    drawing = wall_elevation(job, job.room.walls[1])
    (floor,) = [m for m in drawing.marks if isinstance(m, Path) and m.layer is Layer.FLOOR]
    assert floor.segments[0].length == pytest.approx(RADIUS * SWEEP)
    pieces = [p for p in job.pieces if p.trim.name == "cornice" and p.wall == 1]
    rows = [m for m in drawing.marks if isinstance(m, Dimension) and m.text and m.start[1] > 2000]
    for k, piece in enumerate(pieces):
        (row,) = [m for m in rows if (m.text is not None and m.text.split()[0] == piece.id) or _at(m, k, len(pieces))]
        assert row.text is not None
        assert value(piece.back_length) in row.text
        part = RADIUS * SWEEP / len(pieces)
        assert (row.start[0], row.end[0]) == pytest.approx((k * part, (k + 1) * part), abs=0.01)


def _at(mark: Dimension, k: int, count: int) -> bool:
    part = RADIUS * SWEEP / count
    return abs(mark.start[0] - k * part) < 0.01 and abs(mark.end[0] - (k + 1) * part) < 0.01


def test_the_sheets_say_what_they_are(job: SetOut) -> None:
    made = {sheet.name: words(sheet) for sheet in sheets(job)}
    rise = RADIUS - math.sqrt(RADIUS**2 - (CHORD / 2) ** 2)
    assert "Unrolled along the curve" in made["wall-2"]
    assert f"unrolled, radius {value(RADIUS)}" in made["wall-2"]
    assert "Unrolled" not in made["wall-1"]
    plan = " ".join(made["ceiling-plan"].split())
    assert f"arc of radius {value(RADIUS)} that bows out of the room, {value(rise)} over the {value(CHORD)}" in plan


def test_seams_share_one_template_cut_at_half_the_turn(job: SetOut) -> None:
    (sheet,) = [s for s in templates(job) if s.name == "segments-2-cornice"]
    pieces = [p for p in job.pieces if p.trim.name == "cornice" and p.wall == 1]
    said = words(sheet)
    for a, b in itertools.pairwise(pieces):
        assert f"{a.id}/{b.id}" in said
    turn = SWEEP / len(pieces)
    assert f"mitred {math.degrees(turn / 2):.2f}° from square" in said
    (view,) = sheet.views
    first, second = [m.segments[0] for m in view.drawing.marks if isinstance(m, Path) and m.layer is Layer.CUT]
    (x0, y0), (x1, y1) = first.start, first.end
    # Along the first segment is to the right, the room below: the seam leans by half the turn.
    assert math.atan2(x1 - x0, y0 - y1) == pytest.approx(-turn / 2, abs=1e-6)
    assert math.dist(first.start, second.start) < 1e-6
    assert math.dist(first.end, second.end) < 1e-6


def test_a_bent_corner_says_both_angles(job: SetOut) -> None:
    (rail,) = [p for p in job.pieces if p.bend is not None]
    sheet = next(s for s in templates(job) if s.name == "corner-2-rail")
    (mate,) = [job.piece(str(rail.left.mate))]
    straight = math.degrees(math.atan(abs(mate.right.slope)))
    assert f"{straight:.2f}° ({mate.id})" in words(sheet)
