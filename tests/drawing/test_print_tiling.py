"""Templates parted into tiles and put on pages: nothing is lost, doubled or moved."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from itertools import combinations

import numpy as np
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.ndimage import binary_dilation

from trimwright.drawing.clutter import Box
from trimwright.drawing.full_size import FullSize
from trimwright.drawing.marks import Drawing, Hatch, Layer, Path, Text, dot, polyline
from trimwright.drawing.pdf import pdf_bytes
from trimwright.drawing.press.nesting import nested
from trimwright.drawing.press.page import Printer
from trimwright.drawing.press.template import Template, template_of
from trimwright.drawing.press.template_pages import pages_of
from trimwright.drawing.press.tiling import OVERLAP, grid, tiles
from trimwright.drawing.sheet import Sheet, View

DAY = date(2026, 10, 12)
DPI = 200
PIXEL = 25.4 / DPI

LENGTHS = st.floats(10, 3000)


def large(width: float = 500.0, height: float = 500.0) -> Template:
    """A template with lines and arcs all over it."""
    net = [polyline([(x, 0), (height - x, height)], Layer.TRIM) for x in range(0, int(width), 37)]
    rings = [dot((width / 2, height / 2), radius, Layer.CUT) for radius in range(20, int(width / 2), 45)]
    frame = polyline([(0, 0), (width, 0), (width, height), (0, height)], Layer.SECTION, closed=True)
    corner = polyline([(0, 0), (120, 0), (120, 90)], Layer.SECTION, closed=True)
    marks = (frame, *net, *rings, Hatch(corner.segments), Text((200, 240), "MIDDLE", 20.0))
    drawing = Drawing("large", marks)
    return template_of(FullSize("large", "Large", drawing, ("Words that go with it.",), "about"), 170.0)


def dark(sheet: Sheet) -> NDArray[np.bool_]:
    page = pypdfium2.PdfDocument(pdf_bytes([sheet], "t", DAY))[0]
    return np.asarray(page.render(scale=DPI / 72, grayscale=True).to_numpy()).squeeze() < 128


@pytest.mark.parametrize("size", ["A4", "A3", "Letter"])
def test_tiles_put_together_are_the_whole(size: str) -> None:
    """Each tile is cut along its left and upper edge and laid on the one before: then every dark pixel of the whole
    is there, within a pixel, and no other.
    """
    template = large()
    whole_sheet = Sheet(name="w", title="w", width=530, height=550, views=template.views_at((10, 540)))
    whole = dark(whole_sheet)
    page = Printer(size=size).page()
    parted = grid(template.size, page.room)
    assert parted.columns * parted.rows > 1
    together = np.zeros_like(whole)
    for k, body in enumerate(tiles(template, page)):
        row, column = divmod(k, parted.columns)
        image = dark(Sheet(name="t", title="t", width=page.width, height=page.height, views=body.views))
        left, bottom, right, top = body.views[0].window or (0, 0, 0, 0)
        part = image[round((page.height - top) / PIXEL) : round((page.height - bottom) / PIXEL)]
        part = part[:, round(left / PIXEL) : round(right / PIXEL)]
        x = round((10 + column * parted.across) / PIXEL)
        y = round((550 - 540 + row * parted.down) / PIXEL)
        part = part[: together.shape[0] - y, : together.shape[1] - x]
        together[y : y + part.shape[0], x : x + part.shape[1]] = part
    near = np.ones((5, 5), dtype=bool)
    assert not (whole & ~binary_dilation(together, near)).any()
    assert not (together & ~binary_dilation(whole, near)).any()
    assert whole.sum() > 50_000


def test_each_tile_is_moved_by_whole_steps() -> None:
    """A point of the template has one place in the whole: on each tile it lies its column and row of steps further."""
    template, page = large(), Printer(size="A4").page()
    parted = grid(template.size, page.room)
    for k, body in enumerate(tiles(template, page)):
        row, column = divmod(k, parted.columns)
        for view, own in zip(body.views, template.views, strict=True):
            dx, dy = view.paper[0] - own.paper[0], view.paper[1] - own.paper[1]
            assert dx + template.box.left == pytest.approx(page.window[0] - column * parted.across)
            assert dy + template.box.top == pytest.approx(page.window[3] + row * parted.down)
            assert view.scale == own.scale == 1


@given(LENGTHS, LENGTHS, st.floats(100, 400), st.floats(100, 400))
def test_grid_covers_the_template_with_the_fewest_tiles(
    width: float, height: float, room_x: float, room_y: float
) -> None:
    parted = grid((width, height), (room_x, room_y))
    for count, step, length, room in (
        (parted.columns, parted.across, width, room_x),
        (parted.rows, parted.down, height, room_y),
    ):
        assert (count - 1) * step + step + OVERLAP == pytest.approx(max(length, count * step + OVERLAP))
        assert step + OVERLAP <= room + 1e-6 or count == 1
        fewer = count - 1
        assert fewer == 0 or fewer * (room - OVERLAP) + OVERLAP < length + 1e-6


def test_tiles_say_their_number_and_where_to_glue() -> None:
    template, page = large(), Printer(size="A4").page()
    parted = grid(template.size, page.room)
    bodies = tiles(template, page)
    assert (parted.columns, parted.rows) == (3, 3)
    assert [b.title.split()[1] for b in bodies] == [f"{row}{column}" for row in "ABC" for column in range(1, 4)]
    for k, body in enumerate(bodies):
        row, column = divmod(k, 3)
        words = [m.text for m in body.marks if isinstance(m, Text)]
        glued = [w for w in words if w.startswith("lay ")]
        wanted = [f"lay {'ABC'[row]}{column + 2} on this strip"] * (column < 2)
        wanted += [f"lay {'ABC'[row + 1 : row + 2]}{column + 1} on this strip"] * (row < 2)
        assert glued == wanted
        assert {f"{r}{c}" for r in "ABC" for c in range(1, 4)} <= set(words), "key plan"


def test_lines_to_cut_and_to_glue_along_are_the_same_line_of_the_template() -> None:
    """The edge of A2 and the dashed line on A1 both lie one step from the left edge of the template, ticks too."""
    template, page = large(), Printer(size="A4").page()
    parted = grid(template.size, page.room)
    first, second = tiles(template, page)[:2]
    left = page.window[0]
    dashed = [m for m in first.marks if isinstance(m, Path) and m.layer is Layer.HIDDEN]
    upright = [m.segments[0].start[0] for m in dashed if m.segments[0].start[0] == m.segments[0].end[0]]
    assert upright == pytest.approx([left + parted.across])
    cut = [m.segments[0] for m in second.marks if isinstance(m, Path) and m.layer is Layer.DIMENSION]
    assert any(s.start[0] == s.end[0] == pytest.approx(left) and s.length > 100 for s in cut)
    ticks = {round(s.start[1], 6) for s in cut if s.start[1] == s.end[1] and s.start[0] == left}
    there = [m.segments[0] for m in first.marks if isinstance(m, Path) and m.layer is Layer.DIMENSION]
    assert ticks <= {round(s.start[1], 6) for s in there if s.start[1] == s.end[1]}
    assert len(ticks) == 3


@given(st.lists(st.tuples(st.floats(5, 180), st.floats(5, 250)), min_size=1, max_size=30))
def test_nested_templates_fit_and_do_not_overlap(sizes: list[tuple[float, float]]) -> None:
    room, gap = (180.0, 250.0), 6.0
    pages = nested(sizes, room, gap)
    assert sorted(item.index for page in pages for item in page) == list(range(len(sizes)))
    for page in pages:
        boxes = [(n.across, n.down, n.across + sizes[n.index][0], n.down + sizes[n.index][1]) for n in page]
        assert all(x >= 0 and y >= 0 and right <= 180 + 1e-9 and low <= 250 + 1e-9 for x, y, right, low in boxes)
        for a, b in combinations(boxes, 2):
            apart = max(b[0] - a[2], a[0] - b[2], b[1] - a[3], a[1] - b[3])
            assert apart >= gap - 1e-9


def test_small_templates_share_pages() -> None:
    """Six of 80 x 100 with gaps of 6 go two by two on a page of 180 x 250; with the check and the list that is 5."""
    found = []
    for k in range(6):
        outline = polyline([(0, 0), (79, 0), (79, 99), (0, 99)], Layer.CUT, closed=True)
        drawing = Drawing(f"small-{k}", (outline,))
        found.append(FullSize(f"small-{k}", f"Small {k}", drawing, (), "about"))
    bare = [Template(t.name, t.title, template_of(t, 85.0).views[:1], template_of(t, 300).box) for t in found]
    sizes = [(80.0, 100.0)] * 6
    room = Printer(size="A4").page().room
    per_page = math.floor((room[0] + 6) / 86) * math.floor((room[1] + 6) / 106)
    assert len(nested(sizes, room, 6.0)) == math.ceil(6 / per_page)
    sheets = pages_of(bare, Printer(size="A4"), "room", "2026-10-12")
    assert [s.title for s in sheets[:2]] == ["Printer check", "List of templates"]
    shown = [v.drawing.name for s in sheets[2:] for v in s.views]
    assert sorted(shown) == [f"small-{k}" for k in range(6)]


@given(st.floats(20, 400), st.floats(20, 200))
def test_words_never_make_a_template_wider_than_the_page(width: float, height: float) -> None:
    frame = polyline([(0, 0), (width, 0), (width, height), (0, height)], Layer.CUT, closed=True)
    words = ("A sentence that says what is seen here, and another one that is a little longer than the first.",) * 3
    found = template_of(FullSize("f", "A title of some length", Drawing("f", (frame,)), words, ""), 176.0)
    assert found.size[0] <= max(176.0, width + 1.0) + 1e-6


def test_what_is_too_large_is_tiled_the_way_that_takes_fewer_pages() -> None:
    """440 x 140 is two tiles across on A4 lying, three standing."""
    frame = polyline([(0, 0), (440, 0), (440, 140), (0, 140)], Layer.CUT, closed=True)
    wide = Template("wide", "Wide", large().views[:0], Box(0.0, 0.0, 440.0, 140.0))
    assert grid(wide.size, Printer(size="A4").page().room).columns == 3
    sheets = pages_of([replace(wide, views=(_view(frame),))], Printer(size="A4"), "room", "2026-10-12")
    assert [s.width > s.height for s in sheets] == [False, False, True, True]


def _view(mark: Path) -> View:
    return View(drawing=Drawing("wide", (mark,)), scale=1.0, model=(0.0, 0.0), paper=(0.0, 0.0))
