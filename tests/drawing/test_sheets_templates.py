"""Templates are true to size: lengths and angles of the cut against closed forms."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from drawn_rooms import coped_room, l_room, open_run
from hypothesis import given
from hypothesis import strategies as st

from example_rooms import EXAMPLE_NAMES, example_set_out
from trimwright.drawing.cope_template import cope_back, cope_front
from trimwright.drawing.marks import Group, Hatch, Layer, Path, Text
from trimwright.drawing.sheet import Sheet
from trimwright.drawing.template_marks import wall_strip
from trimwright.drawing.templates import mitre_angle, pieces_at, templates
from trimwright.names import slug
from trimwright.setout.piece import Side


def all_marks(sheet: Sheet):
    stack = [*sheet.marks, *(m for view in sheet.views for m in view.drawing.marks)]
    while stack:
        mark = stack.pop()
        if isinstance(mark, Group):
            stack += mark.marks
        else:
            yield mark


def cuts(sheet: Sheet):
    (view,) = sheet.views
    return [m.segments[0] for m in view.drawing.marks if isinstance(m, Path) and m.layer is Layer.CUT]


def words(sheet: Sheet) -> str:
    return " ".join(m.text for m in all_marks(sheet) if isinstance(m, Text))


def named(job, name: str) -> Sheet:
    (sheet,) = [s for s in templates(job) if s.name == name]
    return sheet


def test_one_template_for_each_corner_of_each_trim_and_each_slot():
    names = [s.name for s in templates(l_room())]
    corners = [f"corner-{k}-{t}" for k in range(1, 7) for t in ("cornice", "picture-rail")]
    assert names == [*corners, "notch-c1-flow", "notch-c1-return"]


def test_copes_scarfs_and_returns_have_theirs():
    names = [s.name for s in templates(coped_room())]
    assert [n for n in names if n.startswith("cope")] == [
        "cope-r5-right",
        "cope-r2-left",
        "cope-r2-right",
        "cope-r5-left",
    ]
    assert "scarf-r4" in names
    assert [s.name for s in templates(open_run())] == ["corner-2-cornice", "return-c1r", "return-c2r"]


@pytest.mark.parametrize("number", range(1, 7))
def test_cut_is_as_long_as_the_mitre_of_the_corner(number: int):
    # From the wall corner to the corner of the fronts: front / sin(C/2), internal or external.
    job = l_room()
    corner, front = job.room.corners[number - 1], job.trims[0].edges.front
    first, second = cuts(named(job, f"corner-{number}-cornice"))
    for cut in (first, second):
        assert cut.length == pytest.approx(front / math.sin(math.radians(corner.angle / 2)))
        assert cut.start == pytest.approx((0, 0), abs=1e-6)
    assert first.end == pytest.approx(second.end)


def test_cut_halves_the_angle_between_the_pieces():
    job = l_room()
    for number, corner in enumerate(job.room.corners, start=1):
        cut = cuts(named(job, f"corner-{number}-cornice"))[0]
        # The first piece lies along -x from the corner; the room is below it.
        turn = math.degrees(math.atan2(cut.end[1] - cut.start[1], cut.end[0] - cut.start[0]))
        assert (turn - 180) % 360 == pytest.approx(corner.angle / 2)


def test_template_is_the_plan_turned_not_stretched():
    job = l_room()
    corner = job.room.corners[1]
    first, second = pieces_at(job, corner, job.trims[0])
    cut = cuts(named(job, "corner-2-cornice"))[0]
    plan = [first.frame.plan(first.right.at(out), out) for out in (0, 100)]
    assert cut.length == pytest.approx(math.dist(*plan))
    assert math.dist(second.frame.plan(second.left.at(100), 100), plan[1]) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("job", [l_room(), coped_room(), open_run()], ids=lambda job: job.room.name)
def test_templates_are_full_size_with_bars_of_100_both_ways(job):
    for sheet in templates(job):
        assert all(view.scale == 1.0 for view in sheet.views)
        bars = [m.segments[0] for m in sheet.marks if isinstance(m, Path) and m.layer is Layer.CHECK]
        spans = {(abs(b.end[0] - b.start[0]), abs(b.end[1] - b.start[1])) for b in bars}
        assert {(100.0, 0.0), (0.0, 100.0)} <= spans
        assert "100 %" in words(sheet)
        # With 5 mm left unprinted on each side of A4.
        assert sheet.width <= 200
        assert sheet.height <= 287


def test_words_say_which_corner_and_which_pieces():
    job = l_room()
    sheet = named(job, "corner-5-cornice")
    for part in ("C4", "C5", "wall d", "wall e", "Seen from above", "Corner 5"):
        assert part in words(sheet)
    angle = job.room.corners[4].angle
    assert f"{angle:.2f}°" in words(sheet)
    assert f"{mitre_angle(angle):.2f}° from square" in words(sheet)


def test_mitre_from_square():
    # True corners are cut at 45, a bay of 135 at 22.5, internal and external alike.
    assert [mitre_angle(c) for c in (90, 270, 135, 225, 180)] == [45, 45, 22.5, 22.5, 0]


def test_cope_line_on_the_face():
    # Where both faces stand N out: station N cot(C/2) from the corner.
    job = coped_room()
    corner = job.room.corners[1]
    piece = job.piece("R2")
    half = math.tan(math.radians(corner.angle / 2))
    for station, height in cope_front(piece, Side.LEFT):
        reach = [p[0] for p in piece.trim.outline.points(0.001) if math.isclose(p[1], height, abs_tol=1e-6)]
        assert any(math.isclose(station, out / half, abs_tol=1e-6) for out in reach)


@pytest.mark.parametrize(("angle", "factor"), [(90.0, 1.0), (135.0, math.sqrt(2)), (120.0, 2 / math.sqrt(3))])
def test_back_of_a_cope_clears_the_mate_by_its_own_projection(angle: float, factor: float):
    # With the back at the wall (out = 0) the piece ends N / sin C from the corner.
    job = coped_room()
    piece, corner = job.piece("R2"), replace(job.room.corners[1], angle=angle)
    stations = [station for station, _ in cope_back(piece, Side.LEFT, corner)]
    assert max(stations) == pytest.approx(22 * factor)


def test_back_of_a_cope_held_off_the_wall_touches_the_face_of_the_mate():
    # Taken in plan: the point at the back of wall 2's piece lies as far from wall 1 as the mate's face reaches.
    job = coped_room()
    piece = job.piece("R2")
    piece = replace(piece, trim=replace(piece.trim, outline=piece.trim.outline.moved(30, 0)))
    corner, (first, second) = job.room.corners[1], job.room.walls[:2]
    for station, height in cope_back(piece, Side.LEFT, corner):
        from_mate = first.frame.locate(second.frame.plan(station, 30))[1]
        reach = [p[0] for p in piece.trim.outline.points() if math.isclose(p[1], height, abs_tol=1e-6)]
        assert any(math.isclose(from_mate, out, abs_tol=1e-6) for out in reach)


def test_slot_template_says_where_and_how_wide():
    job = l_room()
    sheet = named(job, "notch-c1-flow")
    assert "28 wide and 52 deep" in words(sheet)
    assert "260 from the left corner of wall 1" in words(sheet)
    (slot,) = [m for v in sheet.views for m in v.drawing.marks if isinstance(m, Path) and m.layer is Layer.CUT]
    xs = [p for s in slot.segments for p in (s.start[0], s.end[0])]
    ys = [p for s in slot.segments for p in (s.start[1], s.end[1])]
    assert max(xs) - min(xs) == pytest.approx(28)
    assert max(ys) - min(ys) == pytest.approx(52)


def test_slug():
    assert slug("Light  channel (left)") == "light-channel-left"
    assert slug("Täfelung") == "tafelung"
    assert slug("карниз") == "unnamed"


def test_names_differ_even_where_trims_are_called_alike():
    job = l_room()
    trims = tuple(replace(t, name=n) for t, n in zip(job.trims, ("карниз", "рейка"), strict=True))
    swap = {t.letter: t for t in trims}
    pieces = tuple(replace(p, trim=swap[p.trim.letter]) for p in job.pieces)
    names = [s.name for s in templates(replace(job, trims=trims, pieces=pieces))]
    assert len(names) == len(set(names)) == 14


@pytest.mark.parametrize("name", EXAMPLE_NAMES)
def test_a_cope_that_speaks_of_a_dashed_line_shows_it_on_the_piece(name: str):
    """A line nearer to the bold one than it is thick would not be seen; one beyond the piece would lie on the words."""
    for sheet in (s for s in templates(example_set_out(name)) if s.name.startswith("cope-")):
        (view,) = sheet.views
        paths = [m for m in view.drawing.marks if isinstance(m, Path)]
        dashed = [x for m in paths if m.layer is Layer.HIDDEN for s in m.segments for x, _ in (s.start, s.end)]
        assert bool(dashed) == ("dashed line" in words(sheet)), sheet.name
        edges = [abs(x) for m in paths if m.layer is Layer.TRIM for s in m.segments for x, _ in (s.start, s.end)]
        assert max(map(abs, dashed), default=0.0) < max(edges), sheet.name


@given(st.floats(-180, 180))
def test_hatching_crosses_the_wall_whichever_way_it_runs(angle: float):
    """As the walls of a bay do, at 45 degrees: hatching that ran along the face would look like more faces."""
    turn = math.radians(angle)
    sine, cosine = math.sin(turn), math.cos(turn)
    strip = wall_strip(lambda s, o: (s * cosine - o * sine, s * sine + o * cosine), 0, 90, (0, 90))
    (hatch,) = [m for m in strip if isinstance(m, Hatch)]
    assert abs(math.sin(math.radians(hatch.angle) - turn)) > math.sin(math.radians(29.9))
