"""The ceiling plan: lines are offsets of the walls as they are, and meet where plane geometry says."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from drawn_rooms import coped_room, l_room, open_run

from trimwright.drawing.ceiling_plan import ceiling_plan, piece_plan
from trimwright.drawing.marks import Fill, Group, Layer, Path, Running, Text
from trimwright.drawing.notch_lines import notch_lines
from trimwright.drawing.plan_lettering import at_ceiling
from trimwright.setout.piece import SetOut
from trimwright.tolerance import CHORD


def crossing(a, b, c, d):
    """Where the line through a and b meets the line through c and d."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = a, b, c, d
    turn = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    part = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / turn
    return (ax + part * (bx - ax), ay + part * (by - ay))


def offset(wall, out):
    """The line `out` into the room from a wall: to the right of its direction, by turning it a quarter clockwise."""
    (ax, ay), (bx, by) = wall.start, wall.end
    length = math.hypot(bx - ax, by - ay)
    nx, ny = (by - ay) / length * out, -(bx - ax) / length * out
    return (ax + nx, ay + ny), (bx + nx, by + ny)


def test_front_lines_meet_where_the_offset_walls_cross():
    job = l_room()
    walls = job.room.walls
    for trim in job.trims:
        front = trim.edges.front
        for piece in job.of_trim(trim):
            _, end = piece_plan(piece, front)
            following = walls[(piece.wall + 1) % len(walls)]
            assert end == pytest.approx(crossing(*offset(walls[piece.wall], front), *offset(following, front)))


def test_the_drawing_holds_those_lines():
    job = l_room()
    drawing = ceiling_plan(job)
    (group,) = [m for m in drawing.marks if isinstance(m, Group) and m.name == "C2"]
    lines = [m for m in group.marks if isinstance(m, Path) and m.layer is Layer.SETTING_OUT]
    left, right = piece_plan(job.piece("C2"), 100)
    assert [(lines[0].segments[0].start, lines[0].segments[0].end)] == [(left, right)]
    (group,) = [m for m in drawing.marks if isinstance(m, Group) and m.name == "P2"]
    assert not [m for m in group.marks if m.layer is Layer.SETTING_OUT], "a rail has no line on the ceiling"


@pytest.mark.parametrize("job", [l_room(), coped_room(), open_run()], ids=lambda job: job.room.name)
def test_every_piece_and_corner_is_named(job: SetOut):
    written = [m.text for m in ceiling_plan(job).marks if isinstance(m, Text)]
    assert {p.id for p in job.pieces} <= set(written)
    for corner in job.room.corners:
        if corner is not None:
            named = [t for t in written if t.startswith(f"corner {corner.right + 1} ")]
            assert len(named) == 1
            assert float(named[0].split()[-1].removesuffix("°")) == pytest.approx(corner.angle, abs=0.051)
    assert all(any(wall.name in t for t in written) for wall in job.room.walls)


def test_running_dimensions_start_at_the_left_corner_of_each_wall():
    job = l_room()
    runs = [m for m in ceiling_plan(job).marks if isinstance(m, Running)]
    assert {run.origin for run in runs} == {wall.start for wall in job.room.walls}
    runs = [next(run for run in runs if run.origin == wall.start) for wall in job.room.walls]
    for run, wall in zip(runs, job.room.walls, strict=True):
        assert run.points[-1] == pytest.approx(wall.end)
    door = [math.dist(runs[0].origin, p) for p in runs[0].points]
    assert door == pytest.approx([260, 330, 3050, 3120, 3958, 4028, math.hypot(4620, 20)])


def test_each_cope_has_its_wedge():
    def wedges(job):
        groups = [m for m in ceiling_plan(job).marks if isinstance(m, Group)]
        return sum(isinstance(m, Fill) and m.layer is Layer.JOINT for g in groups for m in g.marks)

    assert wedges(coped_room()) == 4
    assert wedges(l_room()) == 0


def test_slot_in_plan_is_a_half_circle_carried_to_the_back():
    job = l_room()
    piece = job.piece("C1")
    (points,) = notch_lines(piece, piece.notches[0])
    assert points[0] == (260 - 14, 0)
    assert points[-1] == (260 + 14, 0)
    assert max(out for _, out in points) == pytest.approx(38 + 14, abs=CHORD)
    middles = [((a + c) / 2, (b + d) / 2) for (a, b), (c, d) in pairwise(points[1:-1])]
    for station, out in points[1:-1] + middles:
        assert math.hypot(station - 260, out - 38) == pytest.approx(14, abs=CHORD)


def test_trims_that_hang_on_one_at_the_ceiling_count_as_at_the_ceiling():
    assert at_ceiling(l_room()) == {"cornice"}
    assert at_ceiling(coped_room()) == set()
