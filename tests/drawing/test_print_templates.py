"""Printed templates measured as a fitter does, with a ruler: here the pixels of PDFium at 600 to the inch."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from functools import cache
from io import BytesIO
from itertools import pairwise

import numpy as np
import pikepdf
import pypdfium2
import pytest
from drawn_rooms import coped_room, l_room, open_run
from numpy.typing import NDArray
from scipy.ndimage import binary_erosion

from example_rooms import EXAMPLE_NAMES, example_set_out
from trimwright.drawing.clutter import Box, box_of, texts_and_lines
from trimwright.drawing.developed.sheets import unrolled
from trimwright.drawing.marks import Group, Layer, Path, Text
from trimwright.drawing.pdf import pdf_bytes
from trimwright.drawing.press.page import Printer
from trimwright.drawing.press.section_templates import section_templates
from trimwright.drawing.press.template_pages import template_pages
from trimwright.drawing.primitives import Block, Label, Primitive, Window
from trimwright.drawing.render import lower
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.templates import full_size
from trimwright.errors import RoomFileError
from trimwright.pack.job import job_of
from trimwright.pack.printing import printed_templates
from trimwright.profile.outline import Point
from trimwright.project.project import Project

DAY = date(2026, 10, 12)
PIXEL = 25.4 / 600
SIZES = {"A4": (210, 297), "A3": (297, 420), "Letter": (215.9, 279.4)}
"""ISO 216, and 8 1/2 by 11 in."""

Image = NDArray[np.bool_]


HAND_MADE = {job.room.name: job for job in (l_room(), coped_room(), open_run())}


@cache
def printed(name: str, printer: Printer) -> tuple[tuple[Sheet, ...], bytes]:
    done = HAND_MADE.get(name) or example_set_out(name)
    sheets = template_pages(
        done, [*section_templates(done), *full_size(done)], unrolled(done), printer, DAY.isoformat()
    )
    return tuple(sheets), pdf_bytes(sheets, "t", DAY)


class Ruler:
    """One page of a PDF as it comes out of a printer that draws 1 as `across` and `along`: mm from its lower left."""

    def __init__(self, data: bytes, number: int) -> None:
        self.page = pypdfium2.PdfDocument(data)[number]
        self.width, self.height = (side * 25.4 / 72 for side in self.page.get_size())

    def part(self, left: float, bottom: float, right: float, top: float) -> tuple[Image, Point]:
        """What is dark in a box, bottom row first, and the box's lower left corner on a whole pixel."""
        columns, rows = math.ceil(self.width / PIXEL - 1e-6), math.ceil(self.height / PIXEL - 1e-6)
        x, y = math.floor(left / PIXEL), math.floor(bottom / PIXEL)
        off = (x, y, columns - math.ceil(right / PIXEL), rows - math.ceil(top / PIXEL))
        # PDFium's wrapper cuts off whole pixels, rounded up.
        crop = tuple(max(0.0, (pixels - 0.01) * 72 / 600) for pixels in off)
        image = self.page.render(scale=600 / 72, grayscale=True, crop=crop).to_numpy().squeeze() < 128
        return np.asarray(image)[::-1], (x * PIXEL, y * PIXEL)

    def line_at(self, box: tuple[float, float, float, float], upright: bool) -> float:
        """Where the middle of the one line lies that crosses a box."""
        image, corner = self.part(*box)
        filled = np.nonzero(image.mean(axis=0 if upright else 1) > 0.7)[0]
        assert filled.size, f"no line in {box}"
        return float(corner[0 if upright else 1] + (filled.min() + filled.max() + 1) / 2 * PIXEL)

    def thick_end(self, near: Point, direction: Point, width: float) -> float:
        """How far from `near` a line of a width goes on along a direction; thinner lines are not seen."""
        image, corner = self.part(near[0] - 3, near[1] - 3, near[0] + 3, near[1] + 3)
        # Its ends are round: a square that fits in the line within half its width less a pixel is left of it.
        half = round(0.3 * width / PIXEL)
        rows, columns = np.nonzero(binary_erosion(image, np.ones((2 * half + 1, 2 * half + 1))))
        assert rows.size
        x, y = corner[0] + (columns + 0.5) * PIXEL - near[0], corner[1] + (rows + 0.5) * PIXEL - near[1]
        square = half * PIXEL * (abs(direction[0]) + abs(direction[1]))
        return float((x * direction[0] + y * direction[1]).max() + square - width / 2)


def bars(sheet: Sheet) -> list[tuple[Point, Point]]:
    """The ends of the lines of 100 mm among a page's own marks."""
    paths = [m for m in sheet.marks if isinstance(m, Path) and m.layer is Layer.CHECK]
    edges = [s for path in paths for s in path.segments if s.length == pytest.approx(100)]
    return [(s.start, s.end) for s in edges]


def measured_bars(data: bytes, number: int, sheet: Sheet) -> tuple[float, float]:
    """Both bars from end tick to end tick, as drawn in the file."""
    ruler = Ruler(data, number)
    sx, sy = sheet.stretch
    lengths = []
    for start, end in sorted(bars(sheet), key=lambda ends: ends[1][1]):
        upright = start[0] == end[0]
        places = []
        for x, y in (start, end):
            # Beside the bar, where only the tick is, past the label.
            box = (x + 0.4, y - 1.0, x + 1.3, y + 1.0) if upright else (x - 1.0, y - 1.3, x + 1.0, y - 0.4)
            box = (box[0] * sx, box[1] * sy, box[2] * sx, box[3] * sy)
            places.append(ruler.line_at(box, upright=not upright))
        lengths.append(places[1] - places[0])
    return lengths[0], lengths[1]


@pytest.mark.parametrize("size", SIZES)
def test_bars_on_every_page_measure_100_mm(size: str) -> None:
    sheets, data = printed("box-room", Printer(size=size))
    for number, sheet in enumerate(sheets):
        assert len(bars(sheet)) == 2
        if number in (0, 1, len(sheets) - 1):
            assert measured_bars(data, number, sheet) == pytest.approx((100, 100), abs=0.1)


def test_every_page_says_what_it_is() -> None:
    sheets, _ = printed("reading-room", Printer(size="A4"))
    for number, sheet in enumerate(sheets, 1):
        words = [m.text for m in sheet.marks if isinstance(m, Text)]
        assert f"Reading room, 2026-10-12, page {number} of {len(sheets)}" in words
        assert "Print at 100 %, do not fit" in words
        assert words.count("100 mm") == 2
        assert any(sheet.title.startswith(word.rstrip("…")) for word in words if word)


@pytest.mark.parametrize("size", SIZES)
def test_paper_is_the_one_asked_for_and_nothing_is_in_the_printers_margin(size: str) -> None:
    sheets, data = printed("bay", Printer(size=size, margin=10))
    with pikepdf.open(BytesIO(data)) as document:
        assert not document.check_pdf_syntax()
        assert str(document.Root.ViewerPreferences.PrintScaling) == "/None"
        for page in document.pages:
            sides = sorted(float(v) * 25.4 / 72 for v in page.MediaBox[2:])
            assert sides == pytest.approx(sorted(SIZES[size]), abs=1e-3)
    for sheet in sheets:
        boxes, lines = texts_and_lines(_clipped(sheet))
        xs = [x for b in boxes for x in (b.left, b.right)] + [p[0] for line in lines for p in line]
        ys = [y for b in boxes for y in (b.bottom, b.top)] + [p[1] for line in lines for p in line]
        assert (min(xs), min(ys)) > (9.9, 9.9)
        assert (max(xs), max(ys)) < (sheet.width - 9.9, sheet.height - 9.9)


def _clipped(sheet: Sheet) -> list[Block]:
    """What is on a page, the views of tiles left out: they are clipped to their window, which lies in the page's."""
    tiled = [view.window for view in sheet.views if view.window]
    for left, bottom, right, top in tiled:
        assert 10 < left < right < sheet.width - 10
        assert 10 < bottom < top < sheet.height - 10
    return [block for block in lower(sheet) if block.window is None]


def view_of(sheets: tuple[Sheet, ...], name: str) -> tuple[int, View]:
    return next((k, v) for k, s in enumerate(sheets) for v in s.views if v.drawing.name == name)


@pytest.mark.parametrize("size", SIZES)
def test_section_is_full_size(size: str) -> None:
    """Drop and projection of the cove from line to line: under the lip, and across at half the lip's height.

    Its hatching is thin and slants; the lines measured are 0.5 mm wide and fill the box across.
    """
    sheets, data = printed("box-room", Printer(size=size))
    number, view = view_of(sheets, "section")
    (trim,) = example_set_out("box-room").trims
    ruler = Ruler(data, number)
    back, bottom, front, top = trim.edges
    lip = next(s for s in trim.outline.segments if s.start == (back, bottom) or s.end == (back, bottom))
    x, low = view.to_paper(((lip.start[0] + lip.end[0]) / 2 if lip.start[1] == lip.end[1] else back + 3, bottom))
    high = view.to_paper((back, top))[1]
    drawn = [ruler.line_at((x - 0.8, y - 1.2, x + 0.8, y + 1.2), upright=False) for y in (low, high)]
    assert drawn[1] - drawn[0] == pytest.approx(trim.section.drop, abs=0.1)
    y = view.to_paper((front, top - 4))[1]
    sides = [view.to_paper((out, top))[0] for out in (back, front)]
    found = [ruler.line_at((x - 1.2, y - 0.8, x + 1.2, y + 0.8), upright=True) for x in sides]
    assert found[1] - found[0] == pytest.approx(trim.section.projection, abs=0.1)


@pytest.mark.parametrize("size", SIZES)
def test_mitre_line_is_full_size(size: str) -> None:
    """From the wall to the front edge the mitre of a corner C runs projection / sin(C/2)."""
    sheets, data = printed("reading-room", Printer(size=size))
    done = example_set_out("reading-room")
    corner = next(c for c in done.room.corners if c is not None and c.right == 1)
    trim = next(t for t in done.trims if t.name == "cornice")
    number, view = next(
        (k, v)
        for k, s in enumerate(sheets)
        for v in s.views
        if v.drawing.name == "corner-2" and _shows(v, {p.id for p in done.of_trim(trim)})
    )
    ruler = Ruler(data, number)
    cut = max((m.segments[0] for m in view.drawing.marks if isinstance(m, Path) and m.layer is Layer.CUT), key=_length)
    a, b = view.to_paper(cut.start), view.to_paper(cut.end)
    along = ((b[0] - a[0]) / math.dist(a, b), (b[1] - a[1]) / math.dist(a, b))
    beyond = ruler.thick_end(b, along, 0.7) + ruler.thick_end(a, (-along[0], -along[1]), 0.7)
    expected = trim.section.projection / math.sin(math.radians(corner.angle / 2))
    assert math.dist(a, b) + beyond == pytest.approx(expected, abs=0.1)


def _length(segment: object) -> float:
    return float(segment.length)  # type: ignore[attr-defined]


def _shows(view: View, ids: set[str]) -> bool:
    return any(isinstance(m, Group) and m.name in ids for m in view.drawing.marks)


@pytest.mark.parametrize(("across", "along"), [(0.992, 1.006), (1.01, 0.985)])
def test_correction_undoes_the_printer_both_ways(across: float, along: float) -> None:
    """What is drawn 1 / across and 1 / along too long comes out of that printer as 100 mm; the paper stays A4."""
    sheets, data = printed("box-room", Printer(size="A4", across=across, along=along))
    for number in range(1, len(sheets), 2):
        ruler = Ruler(data, number)
        assert sorted((ruler.width, ruler.height)) == pytest.approx([210, 297], abs=1e-3)
        level, upright = measured_bars(data, number, sheets[number])
        lying = ruler.width > ruler.height
        wide, high = (along, across) if lying else (across, along)
        assert (level * wide, upright * high) == pytest.approx((100, 100), abs=0.1)


ROOM = """format = 1
[room]
name = "Box"
ceiling = 2400
[paper]
size = "A4"
{scales}
[[trim]]
name = "cornice"
profile = "cove"
size = {{ drop = {size}, projection = {size} }}
back = "wall"
top = "ceiling"
"""
WALLS = "".join(f'[[wall]]\nname = "{name}"\nlength = 3000\n' for name in "abcd")


def pages_for(project: Project) -> list[Sheet]:
    job = job_of(project)
    return printed_templates(job, full_size(job.set_out), unrolled(job.set_out), DAY)


def test_the_room_file_says_what_the_printer_does(project_of: Callable[[str], Project]) -> None:
    """As a factor, or as what the bar of 100 mm measured."""
    text = ROOM.format(scales="scale_x = 99.2\nscale_y = 1.006", size=60) + WALLS
    check, *pages = pages_for(project_of(text))
    assert check.stretch == (1.0, 1.0)
    wanted = {False: (1 / 0.992, 1 / 1.006), True: (1 / 1.006, 1 / 0.992)}
    for page in pages:
        assert page.stretch == pytest.approx(wanted[page.width > page.height])


@pytest.mark.parametrize("value", ["1.2", "0", "-1", "89", "nan", '"wide"'])
def test_a_correction_that_no_printer_needs_is_refused(project_of: Callable[[str], Project], value: str) -> None:
    with pytest.raises(RoomFileError, match="scale_x"):
        project_of(ROOM.format(scales=f"scale_x = {value}", size=60) + WALLS)


def test_a_corner_larger_than_the_paper_is_tiled(project_of: Callable[[str], Project]) -> None:
    """A cove 300 out is wider than A4: its corners come in tiles, each of which names its neighbours."""
    pages = pages_for(project_of(ROOM.format(scales="", size=300) + WALLS))
    tiles = [page for page in pages if page.title.startswith("Tile ") and "Corner 1" in page.title]
    assert len(tiles) >= 4
    assert all(view.window for page in tiles for view in page.views)


def test_the_printers_check_is_never_corrected() -> None:
    plain, bent = (printed("box-room", Printer(size="A4", across=k, along=2 - k))[0][0] for k in (1.0, 0.99))
    assert bent.stretch == plain.stretch == (1.0, 1.0)
    assert measured_bars(printed("box-room", Printer(size="A4", across=0.99, along=1.01))[1], 0, bent) == pytest.approx(
        (100, 100), abs=0.1
    )
    words = " ".join(m.text for m in bent.marks if isinstance(m, Text))
    assert "scale_x = 0.99, scale_y = 1.01" in words


def test_table_of_the_printers_check_divides_right() -> None:
    """Each reading over the bar's true length, to four places: half a unit of the last is 0.01 mm on 200 mm."""
    sheet = printed("box-room", Printer(size="A4"))[0][0]
    words = [m.text for m in sheet.marks if isinstance(m, Text)]
    lengths = [float(w.split()[-2]) for w in words if w.startswith("bar a") and w.endswith("mm")]
    assert len(lengths) == 2
    pairs = []
    for word, after in pairwise(words):
        if word.endswith(" mm") and after.count(".") == 1 and after.replace(".", "").isdigit():
            pairs.append((float(word.removesuffix(" mm")), float(after)))
    assert len(pairs) == 18
    for reading, factor in pairs:
        assert any(factor == round(reading / length, 4) for length in lengths)


@pytest.mark.parametrize(
    ("name", "size"),
    [*((name, "A4") for name in (*EXAMPLE_NAMES, *HAND_MADE)), ("reading-room", "A3"), ("bay", "Letter")],
)
def test_no_text_lies_over_another_and_none_is_too_small(name: str, size: str) -> None:
    for sheet in printed(name, Printer(size=size))[0]:
        boxes = list(_lettered(lower(sheet)))
        for k, (text, box) in enumerate(boxes):
            assert text.height >= 2.5, text.text
            for other, before in boxes[:k]:
                assert box.shared(before) < 0.05, f"{sheet.name}: {text.text!r} over {other.text!r}"


def _lettered(items: Iterable[Primitive], window: Window | None = None) -> Iterator[tuple[Label, Box]]:
    """Texts that stand level or upright, with as much of their boxes as shows in the window."""
    for item in items:
        if isinstance(item, Block):
            yield from _lettered(item.items, item.window or window)
        elif isinstance(item, Label) and abs(item.angle / 90 - round(item.angle / 90)) < 0.05:
            box = box_of(item).grown(-0.1)
            left, bottom, right, top = window or (box.left, box.bottom, box.right, box.top)
            yield item, Box(max(box.left, left), max(box.bottom, bottom), min(box.right, right), min(box.top, top))


def test_list_of_templates_tells_the_page() -> None:
    """Every template of the job is in the list, and the page named there carries its title."""
    sheets, _ = printed("hall", Printer(size="A4"))
    done = example_set_out("hall")
    titles = {t.title for t in (*section_templates(done), *full_size(done))}
    listed: dict[str, str] = {}
    for sheet in sheets:
        if sheet.title == "List of templates":
            words = [m.text for m in sheet.marks if isinstance(m, Text)]
            listed |= dict(zip(words[1::2], words[2::2], strict=False))
    assert titles <= listed.keys()
    # Whoever looks for a piece finds its strip by name, and all of a kind one under the other.
    unrolled = [title for title in listed if title.startswith("Unrolled cuts: crown")]
    numbers = [int(title.rpartition(", ")[2].split()[0]) for title in unrolled]
    assert numbers == list(range(1, len(unrolled) + 1))
    assert all(title.split()[3].strip(",") in {piece.id for piece in done.pieces} for title in unrolled)
    for title in titles:
        first = int(listed[title].split()[0])
        assert title in sheets[first - 1].title
