"""Elevations: what is drawn on a wall lies where the room file and the formulas of the joints put it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

import pytest
from drawn_rooms import coped_room, l_room, mitred, open_run, polygon, room_of, trim_of

from trimwright.drawing.marks import Dimension, Drawing, Group, Layer, Mark, Path, Running, Text
from trimwright.drawing.wall import end_line, seen_end, wall_elevation, wall_pieces
from trimwright.setout.piece import End, Incline, Joint, SetOut, Side


def leaves(marks: Iterable[Mark]) -> Iterator[Mark]:
    for mark in marks:
        if isinstance(mark, Group):
            yield from leaves(mark.marks)
        else:
            yield mark


def texts(drawing: Drawing) -> list[str]:
    return [m.text for m in leaves(drawing.marks) if isinstance(m, Text)]


def group(drawing: Drawing, name: str) -> list[Mark]:
    (found,) = [m for m in drawing.marks if isinstance(m, Group) and m.name == name]
    return list(leaves(found.marks))


@pytest.mark.parametrize("job", [l_room(), coped_room(), open_run()], ids=lambda job: job.room.name)
def test_every_piece_is_named_on_its_wall(job: SetOut):
    for wall in job.room.walls:
        written = texts(wall_elevation(job, wall))
        for piece in job.pieces:
            assert (piece.id in written) == (piece.wall == wall.index)


def test_running_dimensions_are_the_stations_of_the_room():
    job = l_room()
    wall = job.room.walls[0]
    (run,) = [m for m in wall_elevation(job, wall).marks if isinstance(m, Running) and m.along == (1, 0)]
    door, casing = (3120, 3120 + 838), 70
    assert [p[0] for p in run.points] == [260, 330, door[0] - casing, door[0], door[1], door[1] + casing]
    assert run.origin == (0, 0)
    (overall,) = [m for m in wall_elevation(job, wall).marks if isinstance(m, Dimension) and m.offset < 0]
    assert overall.end[0] - overall.start[0] == pytest.approx(math.hypot(4620, 20))


def test_heights_run_up_from_the_floor_and_depths_down_from_the_ceiling():
    job = l_room()
    marks = wall_elevation(job, job.room.walls[1]).marks
    (up,) = [m for m in marks if isinstance(m, Running) and m.along == (0, 1)]
    heights = [p[1] for p in up.points]
    for expected in (850, 2100, 2160, 2230, 2270, 2157 - 55, 2157, 2400, 2500, 2502):
        assert any(math.isclose(h, expected) for h in heights), expected
    (down,) = [m for m in marks if isinstance(m, Running) and m.along == (0, -1)]
    # Corner 3, at the right end of wall 2, has its ceiling at 2504.
    assert down.origin[1] == 2504
    assert sorted(down.origin[1] - p[1] for p in down.points) == pytest.approx([4, 104, 347, 402])


def test_ends_are_drawn_on_the_mitre_plane():
    # Mitre at the right end: station L - o cot(C/2), at each height for the face's own distance out.
    job = l_room()
    for piece in (p for p in job.pieces if not p.is_return):
        wall, corner = job.room.walls[piece.wall], job.room.corner_right(piece.wall)
        line = end_line(piece, seen_end(job, piece, Side.RIGHT))
        top = max(p[1] for p in line)
        front_at_top = max(p[0] for p in piece.trim.outline.points() if math.isclose(p[1], top, abs_tol=1e-6))
        expected = wall.length - front_at_top / math.tan(math.radians(corner.angle / 2))
        assert line[-1] == pytest.approx((expected, top))


def test_square_end_in_a_corner_shows_the_face_of_its_coped_mate():
    job = coped_room()
    piece, corner = job.piece("R1"), job.room.corner_right(0)
    end = seen_end(job, piece, Side.RIGHT)
    front = piece.trim.edges.front
    assert end.at(front) == pytest.approx(3600 - front / math.tan(math.radians(corner.angle / 2)))
    assert piece.right.at(front) == pytest.approx(3600 - max(0, front / math.tan(math.radians(corner.angle))))


def test_of_two_butted_ends_only_the_one_that_runs_in_is_covered():
    # Wall 1's piece runs into the corner; wall 2's stops at its front, 22 off, and shows that square end.
    job = coped_room()
    first, second = job.piece("R1"), job.piece("R2")
    butted = End(joint=Joint.SQUARE, station=22, corner=second.left.corner, mate="R1")
    second = replace(second, left=butted)
    job = replace(job, pieces=(first, second, *job.pieces[2:]))
    assert seen_end(job, second, Side.LEFT) == butted
    assert seen_end(job, first, Side.RIGHT).station == 3600


def test_piece_under_a_sloping_ceiling_is_drawn_on_its_slope():
    # A point of the section lies at pivot + lift + rise * station + (height - pivot) * sqrt(1 + rise^2).
    job, rise = open_run(), 0.1
    piece = replace(job.piece("C1"), incline=Incline(rise=rise, lift=5.0, pivot=2500.0))
    for end in (piece.left, piece.right):
        line = end_line(piece, end)
        station, height = line[0]
        assert height == pytest.approx(2505 + rise * station - 90 * math.hypot(1, rise))
        station, height = line[-1]
        assert height == pytest.approx(2505 + rise * station)


def test_ceiling_is_drawn_through_the_heights_measured_along_it():
    job = l_room()
    between = (((1000.0, 2550.0), (2000.0, 2540.0)), *[()] * 5)
    job = replace(job, room=replace(job.room, between=between))
    marks = wall_elevation(job, job.room.walls[0]).marks
    (ceiling,) = [m for m in marks if isinstance(m, Path) and m.layer is Layer.CEILING]
    assert [s.end for s in ceiling.segments][:2] == [(1000, 2550), (2000, 2540)]


def test_what_stands_behind_is_dashed():
    room = room_of("one wall", [(0, 0), (3000, 0)], closed=False)
    batten = trim_of("batten", "B", "batten", polygon((0, 2400), (20, 2400), (20, 2440), (0, 2440)), room)
    fascia = trim_of("fascia", "F", "fascia", polygon((20, 2390), (40, 2390), (40, 2450), (20, 2450)), room)
    pieces = tuple(p for trim in (batten, fascia) for p in mitred(room, trim))
    job = SetOut(room=room, trims=(batten, fascia), pieces=pieces, order=())
    drawing = wall_elevation(job, room.walls[0])
    along = [m for m in group(drawing, "B1") if isinstance(m, Path) and m.segments[0].length > 1000]
    assert along
    assert {m.layer for m in along} == {Layer.HIDDEN}
    along = [m for m in group(drawing, "F1") if isinstance(m, Path) and m.segments[0].length > 1000]
    assert {m.layer for m in along} == {Layer.TRIM}


def test_pipe_is_dashed_behind_the_trims_and_full_between():
    job = l_room()
    drawing = wall_elevation(job, job.room.walls[0])
    spans = {layer: set() for layer in (Layer.PIPE, Layer.HIDDEN)}
    for mark in group(drawing, "flow"):
        if isinstance(mark, Path) and mark.layer in spans:
            ends = sorted((mark.segments[0].start[1], mark.segments[0].end[1]))
            assert mark.segments[0].start[0] in (260 - 11, 260 + 11)
            spans[mark.layer].add((round(ends[0], 3), round(ends[1], 3)))
    # The rail is 22 out, the pipe's axis 38: the rail passes behind it and hides nothing.
    assert spans == {Layer.PIPE: {(0, 2400)}, Layer.HIDDEN: {(2400, 2500)}}


def test_what_is_cut_for_a_pipe_is_said_beside_its_name(set_out_of: Callable[[str], SetOut]):
    """A pipe of 15 that lies 20 out with 3 round it: 21 wide, 20 + 7.5 + 3 deep; one of 22 that stands 30 out: 28 and
    30 + 11 + 3."""
    walls = "".join(f'[[wall]]\nname = "{name}"\nlength = 3000\ninternal = 90\n' for name in "nesw")
    job = set_out_of(
        f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{walls}'
        '[[pipe]]\nwall = "n"\nname = "gas"\ndiameter = 15\n'
        'direction = "horizontal"\nheight = 2050\nout = 20\nfrom = 800\nto = 1400\n'
        '[[pipe]]\nwall = "n"\nname = "flow"\n'
        'diameter = 22\nfrom_left = 2200\nout = 30\n[[trim]]\nname = "batten"\nprofile = "batten"\n'
        'size = { drop = 100, projection = 60 }\nback = "wall"\nbottom = 2000\n'
    )
    written = " ".join(texts(wall_elevation(job, job.room.walls[0])))
    assert "gas Ø15, groove 21 × 30.5 in B1" in written
    assert "flow Ø22, slot 28 × 44 in B1" in written


def test_lengths_in_a_row_are_those_along_the_back():
    job = coped_room()
    wall = job.room.walls[2]
    rows = [m for m in wall_elevation(job, wall).marks if isinstance(m, Dimension) and m.text]
    assert [r.text.split()[0] for r in rows] == ["R3", "R4"]
    total = sum(r.end[0] - r.start[0] for r in rows)
    back = [p.back_length for p in wall_pieces(job, wall)]
    assert total == pytest.approx(sum(back))
    assert all(f"{length:.1f}".removesuffix(".0") in row.text for row, length in zip(rows, back, strict=True))


def test_scarf_is_measured_where_it_meets_the_middle_of_the_projection():
    job = coped_room()
    (run,) = [m for m in wall_elevation(job, job.room.walls[2]).marks if isinstance(m, Running) and m.along == (1, 0)]
    assert any(math.isclose(p[0], 2400) for p in run.points)


def test_lowest_lines_survive_thinning_at_small_scales():
    job = l_room()
    piece = job.piece("P1")
    for scale in (0.1, 0.02, 0.005):
        levels = {
            round(m.segments[0].start[1], 3)
            for m in group(wall_elevation(job, job.room.walls[0], scale), "P1")
            if isinstance(m, Path) and m.layer is Layer.TRIM and m.segments[0].length > 1000
        }
        assert {piece.trim.edges.bottom, piece.trim.edges.top} <= levels


def test_drawing_carries_the_name_of_its_wall():
    job = l_room()
    for wall in job.room.walls:
        drawing = wall_elevation(job, wall)
        assert drawing.name == f"wall-{wall.index + 1}"
        assert f"Wall {wall.index + 1}: {wall.name}" in texts(drawing)


def test_sloping_ceiling_is_drawn_as_measured():
    job = l_room()
    job = replace(job, room=replace(job.room, ceilings=(2500, 2510, 2500, 2500, 2500, 2500)))
    ceiling = next(
        m for m in wall_elevation(job, job.room.walls[0]).marks if getattr(m, "layer", None) is Layer.CEILING
    )
    assert (ceiling.segments[0].start[1], ceiling.segments[0].end[1]) == (2500, 2510)
