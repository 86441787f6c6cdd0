"""Choice of scale, the paper's names, and a title block whose entries keep to their boxes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trimwright.drawing.font import text_width
from trimwright.drawing.marks import Anchor, Group, Path, Text
from trimwright.drawing.paper import (
    CELLS,
    SCALES,
    TitleBlock,
    first_angle_marks,
    frame_marks,
    largest_scale,
    paper,
    scale_words,
    title_block_box,
    title_block_marks,
)
from trimwright.errors import RoomFileError


def test_wall_of_4620_by_2565_goes_on_a3_at_1_to_20() -> None:
    """4620 / 20 = 231 and 2565 / 20 = 128 fit in 390 x 277; at 1:10 462 does not."""
    left, bottom, right, top = paper("A3").space
    assert largest_scale(4620, 2565, right - left, top - bottom) == 1 / 20


@given(width=st.floats(1, 1e5), height=st.floats(1, 1e5))
def test_scale_fits_and_the_next_larger_does_not(width: float, height: float) -> None:
    scale = largest_scale(width, height, 390, 277)
    ratios = [a / b for a, b in SCALES]
    assert width * scale <= 390
    assert height * scale <= 277
    at = ratios.index(scale)
    assert at == 0 or width * ratios[at - 1] > 390 or height * ratios[at - 1] > 277


def test_scale_in_words() -> None:
    assert [scale_words(s) for s in (1 / 20, 1.0, 2.0, 1 / 3)] == ["1:20", "1:1", "2:1", "1:3"]


def test_paper_by_name() -> None:
    assert (paper("a3").width, paper("a3").height) == (420, 297)
    assert (paper(" Letter ").width, paper("letter", landscape=True).width) == (215.9, 279.4)


def test_unknown_paper_is_told_with_what_would_be_right() -> None:
    with pytest.raises(RoomFileError, match=r"'A7'.*A1, A2, A3, A4, Letter"):
        paper("A7")


def test_cells_fill_the_title_block_without_overlap() -> None:
    assert sum(cell.width * cell.height for cell in CELLS.values()) == 180 * 27
    cells = list(CELLS.values())
    for k, a in enumerate(cells):
        for b in cells[k + 1 :]:
            across = min(a.left + a.width, b.left + b.width) - max(a.left, b.left)
            up = min(a.bottom + a.height, b.bottom + b.height) - max(a.bottom, b.bottom)
            assert across <= 0 or up <= 0


def test_entries_keep_to_their_boxes_however_long() -> None:
    sheet = paper("A4")
    block = TitleBlock(title="Picture rail " * 40, legal_owner="Owner " * 40, scale="1:20 " * 9)
    left, bottom, right, top = title_block_box(sheet)
    entries = [m for m in title_block_marks(sheet, block) if isinstance(m, Text) and m.anchor is Anchor.BASE_LEFT]
    assert len(entries) == len(CELLS)
    for text, cell in zip(entries, CELLS.values(), strict=True):
        assert text.position[0] + text_width(text.text, text.height) <= left + cell.left + cell.width
        assert bottom <= text.position[1] < text.position[1] + text.height <= top
        assert text.position[0] < right


def test_sheet_number_is_out_of_how_many() -> None:
    texts = [
        m.text for m in title_block_marks(paper("A4"), TitleBlock(title="t", sheet=2, sheets=7)) if isinstance(m, Text)
    ]
    assert "2 of 7" in texts


def test_frame_runs_round_the_drawing_space() -> None:
    (frame,) = frame_marks(paper("A4"))
    assert isinstance(frame, Group)
    line, *centring = frame.marks
    points = {s.start for s in line.segments}  # type: ignore[union-attr]
    assert points == {(20, 10), (200, 10), (200, 287), (20, 287)}
    ends = [{s.start, s.end} for mark in centring for s in mark.segments]  # type: ignore[union-attr]
    on_axes = [
        ((15, 148.5), (20, 148.5)),
        ((200, 148.5), (205, 148.5)),
        ((105, 5), (105, 10)),
        ((105, 287), (105, 292)),
    ]
    assert ends == [set(line) for line in on_axes]


def test_symbol_is_that_of_first_angle() -> None:
    """ISO 5456-2: the view from the left stands at the right; the small end in front, both circles show."""
    (symbol,) = first_angle_marks(paper("A3"))
    assert isinstance(symbol, Group)
    cone, small, large, *_ = (m for m in symbol.marks if isinstance(m, Path))
    xs = {round(s.start[0], 3) for s in cone.segments}
    heights = {x: max(s.start[1] for s in cone.segments if round(s.start[0], 3) == x) for x in xs}
    assert heights[min(xs)] < heights[max(xs)], "the small end is at the left"
    assert min(p[0] for s in large.segments for p in s.extremes()) > max(xs), "the circles are at the right"
    assert large.segments[0].start[0] - small.segments[0].start[0] == pytest.approx(7 / 4)
