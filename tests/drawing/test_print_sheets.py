"""The printed set: index, details, lists, check diagonals; what a drawing office would look for on each."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator

import pytest
from drawn_rooms import coped_room, l_room, open_run, without_frame
from hypothesis import given
from hypothesis import strategies as st

from example_rooms import EXAMPLE_NAMES, example_set_out
from trimwright.drawing.clutter import box_of, texts_and_lines
from trimwright.drawing.diagonals import check_diagonals
from trimwright.drawing.font import text_width
from trimwright.drawing.layout import drawn_box
from trimwright.drawing.marks import Group, Layer, Mark, Path, Text
from trimwright.drawing.paper import EDGE, FILING, SCALES
from trimwright.drawing.press.details import detail_sheets
from trimwright.drawing.press.index_sheet import index_sheets
from trimwright.drawing.press.list_sheets import Listing, list_sheets
from trimwright.drawing.primitives import Block, Label, Primitive
from trimwright.drawing.render import lower
from trimwright.drawing.sheet import Sheet
from trimwright.drawing.sheets import drawn_sheets
from trimwright.drawing.titled import titled
from trimwright.profile.silhouette import front_silhouette
from trimwright.project.project import Project
from trimwright.setout.piece import Joint, SetOut

HAND_MADE = {job.room.name: job for job in (l_room(), coped_room(), open_run())}


def job_of(name: str) -> SetOut:
    return HAND_MADE[name] if name in HAND_MADE else example_set_out(name)


JOBS = (*HAND_MADE, *EXAMPLE_NAMES)


def labels(items: Iterable[Primitive]) -> Iterator[Label]:
    for item in items:
        if isinstance(item, Block):
            yield from labels(item.items)
        elif isinstance(item, Label):
            yield item


def marks_of(marks: Iterable[Mark]) -> Iterator[Mark]:
    for mark in marks:
        if isinstance(mark, Group):
            yield from marks_of(mark.marks)
        else:
            yield mark


def words(sheet: Sheet) -> list[str]:
    return [m.text for m in marks_of(sheet.marks) if isinstance(m, Text)]


def assert_sound(sheets: Iterable[Sheet]) -> None:
    """Nothing out of the frame, no text over another, none under 2.5 mm (ISO 3098's second height)."""
    for sheet in sheets:
        boxes, lines = texts_and_lines(lower(without_frame(sheet)))
        xs = [x for b in boxes for x in (b.left, b.right)] + [p[0] for line in lines for p in line]
        ys = [y for b in boxes for y in (b.bottom, b.top)] + [p[1] for line in lines for p in line]
        assert (min(xs), min(ys)) >= (FILING - 1e-6, EDGE - 1e-6), sheet.name
        assert (max(xs), max(ys)) <= (sheet.width - EDGE + 1e-6, sheet.height - EDGE + 1e-6), sheet.name
        flat = [(t, box_of(t).grown(-0.1)) for t in labels(lower(sheet)) if t.angle % 90 < 0.05]
        for k, (text, box) in enumerate(flat):
            assert text.height >= 2.5, text.text
            for other, before in flat[:k]:
                assert box.shared(before) < 0.05, f"{sheet.name}: {text.text!r} over {other.text!r}"


@pytest.mark.parametrize("size", ["A4", "A3", "Letter"])
@pytest.mark.parametrize("name", JOBS)
def test_details_are_sound(name: str, size: str) -> None:
    sheets = titled(detail_sheets(job_of(name), size), name, "2026-10-12")
    assert_sound(sheets)
    for sheet in sheets:
        assert {view.scale for view in sheet.views} <= {a / b for a, b in SCALES}
        for view in sheet.views:
            box = drawn_box(view.drawing, view.scale)
            assert view.paper[1] + box.bottom > EDGE + 27, "clear of the title block"


@pytest.mark.parametrize("name", JOBS)
def test_each_kind_of_joint_has_one_detail_and_each_joint_a_place_in_it(name: str) -> None:
    """Counted from the pieces: every mitre, cope, return and scarf that has a mate, and every trim in every corner."""
    job = job_of(name)
    sheets = detail_sheets(job, "A3")
    said = " ".join(word for sheet in sheets for word in words(sheet))
    titles = [w for sheet in sheets for w in words(sheet) if w[:1].isdigit() and ". " in w and ": " in w]
    assert len({t.split(". ", 1)[1] for t in titles}) == len(titles)
    for piece in job.pieces:
        for end in (piece.left, piece.right):
            if end.mate is not None and end.joint is not Joint.SQUARE:
                pairs = {f"{piece.id} / {end.mate}", f"{end.mate} / {piece.id}"}
                assert any(pair in " ".join(said.split()) for pair in pairs), pairs


@pytest.mark.parametrize("name", JOBS)
def test_details_are_numbered_as_they_are_read(name: str) -> None:
    """Along each row from the left, rows from the top, and on from sheet to sheet."""
    number = 1
    for sheet in detail_sheets(job_of(name), "A3"):
        heads = [m for m in sheet.marks if isinstance(m, Text) and m.height == 3.5]
        tops = {v.drawing.name: drawn_box(v.drawing, v.scale).top + v.paper[1] for v in sheet.views}
        read = sorted(heads, key=lambda m: (-round(tops[f"detail-{m.text.split('.')[0]}"], 1), m.position[0]))
        for head in read:
            assert head.text.startswith(f"{number}. ")
            number += 1


def test_front_view_stands_over_the_view_from_above_and_agrees_with_it() -> None:
    """First angle: the view from above lies below; both show the joint at the same stations.

    The face in front view reaches as far along as the mitre does in plan, and is as high as the section.
    """
    job = example_set_out("reading-room")
    sheets = detail_sheets(job, "A3")
    found = 0
    for view in (v for sheet in sheets for v in sheet.views):
        plan, front = (g for g in view.drawing.marks if isinstance(g, Group))
        assert (plan.name, front.name) == ("from above", "front")
        lowest = min(y for m in marks_of(front.marks) if isinstance(m, Path) for s in m.segments for _, y in _ends(s))
        highest = max(y for m in marks_of(plan.marks) if isinstance(m, Path) for s in m.segments for _, y in _ends(s))
        assert lowest > highest
        cuts = [m for m in marks_of(plan.marks) if isinstance(m, Path) and m.layer is Layer.CUT]
        seen = [m for m in marks_of(front.marks) if isinstance(m, Path) and m.layer is Layer.JOINT]
        across = [x for m in seen for s in m.segments for x, _ in _ends(s)]
        allowed = [x for m in cuts for s in m.segments for x, _ in _ends(s)]
        assert min(allowed) - 1e-6 <= min(across)
        assert max(across) <= max(allowed) + 1e-6
        ys = [y for m in seen for s in m.segments for _, y in _ends(s)]
        drops = {t.edges.top - t.edges.bottom for t in job.trims if front_silhouette(t.outline)}
        assert any(max(ys) - min(ys) == pytest.approx(drop, abs=1e-6) for drop in drops)
        found += 1
    assert found > 6


def _ends(segment: object) -> tuple[tuple[float, float], tuple[float, float]]:
    return segment.start, segment.end  # type: ignore[attr-defined]


def test_only_details_carry_the_symbol_of_projection() -> None:
    job = l_room()
    for sheet in titled([*drawn_sheets(job, "A3"), *detail_sheets(job, "A3")], "room", "d"):
        symbols = [m for m in sheet.marks if isinstance(m, Group) and m.name == "first angle"]
        assert len(symbols) == sheet.name.startswith("detail")


@pytest.mark.parametrize("size", ["A4", "A3", "A2", "Letter"])
@pytest.mark.parametrize("name", ["reading-room", "hall"])
def test_index_lists_every_sheet_with_its_number_and_scale(name: str, size: str) -> None:
    job = job_of(name)
    following = drawn_sheets(job, size)
    index = index_sheets(job, following, size)
    sheets = titled([*index, *following], job.room.name, "2026-10-12")
    assert_sound(sheets[: len(index)])
    said = [w for sheet in index for w in words(sheet)]
    for number, sheet in enumerate(sheets, 1):
        block = words(sheet)
        assert f"{number} of {len(sheets)}" in block
        at = next(k for k, w in enumerate(said) if w == str(number) and said[k + 1] == sheet.title)
        scale = [w for w in said[at + 2 : at + 5] if ":" in w or w == "as stated"]
        assert scale == [w for w in scale if w in block]


@pytest.mark.parametrize("name", EXAMPLE_NAMES)
def test_index_says_the_lengths_of_the_pieces_in_all(name: str) -> None:
    """Their sum as it is, which the page and the schedule of pieces say as well."""
    job = job_of(name)
    said = [w for sheet in index_sheets(job, drawn_sheets(job, "A3"), "A3") for w in words(sheet)]
    for trim in job.trims:
        assert f"{math.fsum(p.length for p in job.of_trim(trim)) / 1000:.2f} m" in said


def test_index_shows_the_lines_that_are_drawn() -> None:
    job = job_of("reading-room")
    index = index_sheets(job, drawn_sheets(job, "A3"), "A3")
    samples = {m.layer for s in index for m in s.marks if isinstance(m, Path)} - {Layer.TITLE, Layer.FRAME}
    drawn = {m.layer for s in drawn_sheets(job, "A3") for v in s.views for m in marks_of(v.drawing.marks)}
    assert samples == drawn


@given(
    st.lists(st.lists(st.text("abc 12", max_size=60), min_size=3, max_size=3), min_size=1, max_size=120),
    st.sampled_from(["A4", "A3", "Letter"]),
)
def test_lists_keep_all_their_words_inside_the_frame(rows: list[list[str]], size: str) -> None:
    listing = Listing(title="List", headers=("one", "two", "three"), rows=tuple(map(tuple, rows)))
    sheets = titled(list_sheets("list", "List", [listing, listing], size), "room", "2026-10-12")
    assert_sound(sheets)
    said = "".join(w for sheet in sheets for w in words(sheet)).replace(" ", "")
    assert len(said) >= 2 * sum(len(cell.replace(" ", "")) for row in rows for cell in row)


def test_a_column_that_is_too_wide_is_wrapped() -> None:
    long = "a note that goes on and on about what has to be minded here " * 6
    (sheet,) = list_sheets("l", "L", [Listing(title="T", headers=("id", "note"), rows=(("C1", long),))], "A4")
    lines = [w for w in words(sheet) if w not in ("T", "id", "note", "C1")]
    assert len(lines) > 2
    assert " ".join(lines).split() == long.split()
    assert all(text_width(line, 2.5) < 174 for line in lines)


def test_a_table_that_fits_a_column_is_not_parted() -> None:
    """On A3 the second table would begin at the foot of the first column: it goes to the second whole."""
    first = Listing(title="First", headers=("a",), rows=tuple((str(k),) for k in range(40)))
    second = Listing(title="Second", headers=("b",), rows=tuple((f"b{k}",) for k in range(10)))
    (sheet,) = list_sheets("l", "L", [first, second], "A3")
    places = {m.text: m.position[0] for m in sheet.marks if isinstance(m, Text)}
    assert {places[f"b{k}"] for k in range(10)} == {places["Second"]}
    assert places["Second"] > places["First"] + 100


CLASH_HEADERS = ("trim", "piece", "obstacle", "gap wanted", "(ft in)", "gap", "(ft in)", "wall", "from left", "height")
CLASH = (
    "picture rail",
    "P6",
    "casing of door in cupboard front",
    "0",
    '0"',
    "15.6",
    '5/8"',
    "cupboard front",
    "1238.3",
)


def test_columns_keep_their_distance_however_narrow() -> None:
    """Words are never wider than their column, so that 3 mm stay between the columns of a table that just fits."""
    row = ("cupboard front", "cupboard front", "cupboard-under-the-stair", *["cupboard front"] * 5)
    for sheet in list_sheets("l", "L", [Listing(title="T", headers=("",) * 8, rows=(row, row))], "A4"):
        texts = [m for m in sheet.marks if isinstance(m, Text) and m.text != "T"]
        lefts = sorted({m.position[0] for m in texts})
        for text in texts:
            after = [x for x in lefts if x > text.position[0]]
            assert not after or text.position[0] + text_width(text.text, 2.5) <= after[0] - 2.9, text.text


@pytest.mark.parametrize("size", ["A4", "A3", "Letter"])
def test_a_table_that_would_run_down_the_paper_has_sheets_of_its_own(size: str) -> None:
    """Such a note took 20 lines of one word each; the tables before and after it keep their columns."""
    note = (
        "the left end's part of a slot 44.1 [1 3/4 in] wide, 72.8 [2 7/8 in] deep from the back, 0 [0 in] from left" * 2
    )
    wide = Listing(title="W", headers=("", *CLASH_HEADERS), rows=((note, *CLASH, "ok"), ("", *CLASH, note)))
    plain = Listing(title="P", headers=("a",), rows=(("b",),))
    made = list_sheets("l", "L", [plain, wide, plain], size)
    assert [sum(w in ("P", "W") for w in words(sheet)) for sheet in made] == [1, 1, 1]
    assert made[1].width > made[1].height
    assert_sound(titled(made, "room", "2026-10-12"))
    lowest = min(m.position[1] for m in made[1].marks if isinstance(m, Text))
    highest = max(m.position[1] for m in made[1].marks if isinstance(m, Text))
    assert highest - lowest < (100 if size == "A3" else 130)


SQUARE = """format = 1
[room]
name = "Square"
ceiling = 2400
{walls}{diagonals}
[[trim]]
name = "cornice"
profile = "cove"
back = "wall"
top = "ceiling"
"""


def square(project_of: Callable[[str], Project], diagonals: str = "") -> Project:
    walls = "".join(
        f'[[wall]]\nname = "{n}"\nlength = {x}\ninternal = 90\n' for n, x in zip("abcd", (4000, 3000) * 2, strict=True)
    )
    return project_of(SQUARE.format(walls=walls, diagonals=diagonals))


def test_both_diagonals_of_a_room_are_computed(project_of: Callable[[str], Project]) -> None:
    """4000 by 3000: 3-4-5."""
    project = square(project_of)
    found = check_diagonals(project.room, project.survey.checks)
    assert {d.corners for d in found} == {(1, 3), (2, 4)}
    assert [math.dist(d.start, d.end) for d in found] == pytest.approx([5000, 5000], abs=0.5)
    assert all(d.read is None for d in found)


def test_a_measured_diagonal_stands_beside_the_computed_one(project_of: Callable[[str], Project]) -> None:
    from trimwright.setout.set_out import set_out

    project = square(project_of, "[[diagonal]]\ncorners = [2, 4]\nlength = 5001\n")
    found = check_diagonals(project.room, project.survey.checks)
    assert (found[0].corners, found[0].read) == ((2, 4), 5001)
    assert len(found) == 2
    plan = drawn_sheets(set_out(project), "A3", project.survey.checks)[0]
    said = [m.text for m in marks_of(plan.views[0].drawing.marks) if isinstance(m, Text)]
    assert any(w.startswith("2 to 4: 50") and w.endswith("(read 5001)") for w in said)
    other = math.dist(found[1].start, found[1].end)
    assert other == pytest.approx(5000, abs=1)
    assert f"1 to 3: {other:.1f}".removesuffix(".0") in said


@pytest.mark.parametrize("name", JOBS)
def test_computed_diagonals_stay_inside_the_room(name: str) -> None:
    """By shapely: the line is covered by the floor."""
    from shapely import LineString, Polygon

    room = job_of(name).room
    if not room.closed:
        assert check_diagonals(room) == ()
        return
    floor = Polygon(room.plan).buffer(1e-3)
    found = check_diagonals(room)
    assert found
    assert all(floor.covers(LineString([d.start, d.end])) for d in found)
