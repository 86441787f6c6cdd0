"""Paper, frame, scales, lettering, lines, layers and title block against the published standards."""

from __future__ import annotations

import itertools
import math
import re
from pathlib import Path

import pytest

from trimwright.drawing import dimensions, paper
from trimwright.drawing.dxf import VIEWPORTS
from trimwright.drawing.font import HEIGHTS
from trimwright.drawing.layers import DASHED, LONG_DASH_DOT, STYLES, WIDTHS
from trimwright.drawing.marks import Layer

ISO_216 = {"A1": (594, 841), "A2": (420, 594), "A3": (297, 420), "A4": (210, 297)}

ISO_5457_DRAWING_SPACE = {"A1": (574, 811), "A2": (400, 564), "A3": (277, 390), "A4": (180, 277)}
"""Table 1 of the standard (from memory), shorter by longer side; A4 stands: the filing margin is on a long side."""

ISO_5455 = "50:1 20:1 10:1 5:1 2:1 1:1 1:2 1:5 1:10 1:20 1:50 1:100 1:200 1:500 1:1000 1:2000 1:5000 1:10000"

ISO_3098 = (1.8, 2.5, 3.5, 5, 7, 10, 14, 20)

ISO_128 = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
"""Simmons & Maguire, Manual of Engineering Drawing, ch. 7, from 0.25 up; 0.13 and 0.18 of ISO 128-20 from memory."""

DXF_WIDTHS = {0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211}
"""Values of group code 370, hundredths of a millimetre (DXF reference, from memory)."""

ISO_7200_MANDATORY = {
    "legal_owner": "Legal owner",
    "identification": "Identification number",
    "issued": "Date of issue",
    "sheet": "Sheet",
    "title": "Title",
    "approval": "Approval person",
    "creator": "Creator",
    "kind": "Document type",
}


@pytest.mark.parametrize("name", ISO_216)
def test_paper_sizes_are_those_of_iso_216(name: str) -> None:
    assert paper.SIZES[name] == ISO_216[name]
    lying, standing = paper.paper(name, landscape=True), paper.paper(name, landscape=False)
    assert (lying.height, lying.width) == (standing.width, standing.height) == ISO_216[name]


def test_sides_of_the_a_series_are_as_one_to_root_two() -> None:
    """ISO 216: the same shape at every size, to the rounding of a millimetre."""
    for short, long in ISO_216.values():
        assert long == pytest.approx(short * math.sqrt(2), abs=1)


def test_letter_is_eight_and_a_half_by_eleven_inches() -> None:
    assert paper.SIZES["Letter"] == pytest.approx((8.5 * 25.4, 11 * 25.4))


@pytest.mark.parametrize("name", ISO_5457_DRAWING_SPACE)
def test_drawing_space_is_that_of_iso_5457(name: str) -> None:
    left, bottom, right, top = paper.paper(name).space
    assert tuple(sorted((right - left, top - bottom))) == ISO_5457_DRAWING_SPACE[name]
    assert (left, bottom) == (20, 10)


def test_frame_is_drawn_with_a_line_of_0_7_mm() -> None:
    """ISO 5457: frame of the drawing space."""
    assert STYLES[Layer.FRAME].width == 0.7


@pytest.mark.parametrize("name", ISO_5457_DRAWING_SPACE)
@pytest.mark.parametrize("landscape", [True, False])
def test_centring_marks_lie_on_the_axes_of_the_trimmed_sheet(name: str, landscape: bool) -> None:
    """ISO 5457 (from memory): four, of the frame's width, within 1 mm of the axes, from the border of references on.

    They stay 5 mm off the edge of the paper, where office printers still print (common practice, no source).
    """
    sheet = paper.paper(name, landscape)
    (frame,) = paper.frame_marks(sheet)
    _, *marks = frame.marks
    ends = [p for mark in marks for s in mark.segments for p in (s.start, s.end)]
    assert len(marks) == 4
    for x, y in ends:
        assert min(abs(x - sheet.width / 2), abs(y - sheet.height / 2)) < 1
        assert min(x, y, sheet.width - x, sheet.height - y) >= 5


def test_scales_are_those_of_iso_5455_from_the_largest() -> None:
    assert [f"{a:g}:{b:g}" for a, b in paper.SCALES] == ISO_5455.split()
    assert [paper.scale_words(a / b) for a, b in paper.SCALES] == ISO_5455.split()


def test_lettering_heights_are_those_of_iso_3098() -> None:
    assert HEIGHTS == ISO_3098
    assert dimensions.HEIGHT in ISO_3098


def test_line_widths_are_those_of_iso_128_in_steps_of_root_two() -> None:
    assert WIDTHS == ISO_128
    assert {style.width for style in STYLES.values()} <= set(ISO_128)
    for thin, thick in itertools.pairwise(WIDTHS):
        assert thick / thin == pytest.approx(math.sqrt(2), rel=0.03)


def test_line_widths_can_be_said_in_dxf() -> None:
    assert {round(100 * style.width) for style in STYLES.values()} <= DXF_WIDTHS


def test_edges_are_twice_as_wide_as_the_lines_that_explain_them() -> None:
    """ISO 128-20: wide to narrow as 2 to 1, within the rounding of the series (0.35 to 0.18)."""
    for narrow in (Layer.DIMENSION, Layer.HATCHING, Layer.CENTRE, Layer.HIDDEN):
        assert STYLES[Layer.TRIM].width / STYLES[narrow].width == pytest.approx(2, rel=0.05)


def test_dashes_are_those_of_iso_128_in_line_widths() -> None:
    """ISO 128-20: dash 12 d, gap 3 d, long dash 24 d, dot at most 0.5 d (from memory)."""
    assert (DASHED.number, DASHED.pattern) == ("02", (12, 3))
    assert (LONG_DASH_DOT.number, LONG_DASH_DOT.pattern) == ("04", (24, 3, 0.5, 3))
    assert STYLES[Layer.HIDDEN].dashes == pytest.approx((12 * 0.18, 3 * 0.18))


@pytest.mark.parametrize("layer", Layer)
def test_layer_names_have_the_shape_of_iso_13567(layer: Layer) -> None:
    """Ten characters: agent (two), element (six), presentation (two); unused places are filled with hyphens."""
    shape = re.compile(r"[A-Z]-" r"(?=.{6}[ETDHJGB]-$)" r"[A-Z0-9]*-*" r"[ETDHJGB]-")
    assert shape.fullmatch(STYLES[layer].name)
    assert len(STYLES[layer].name) == 10


def test_every_layer_has_a_name_of_its_own_and_a_colour_index() -> None:
    names = [style.name for style in STYLES.values()]
    assert len(set(names)) == len(names) == len(Layer)
    assert all(1 <= style.index <= 255 for style in STYLES.values())


def test_title_block_has_the_mandatory_fields_of_iso_7200() -> None:
    for field, caption in ISO_7200_MANDATORY.items():
        assert paper.CELLS[field].caption == caption
        assert field in paper.TitleBlock.__dataclass_fields__


def test_title_block_is_180_mm_wide_at_the_bottom_right() -> None:
    """ISO 7200; across A4 it fills the drawing space."""
    for sheet in (paper.paper("A4"), paper.paper("A3"), paper.paper("Letter")):
        left, bottom, right, _ = paper.title_block_box(sheet)
        assert right - left == 180
        assert (right, bottom) == (sheet.width - 10, 10)
    assert paper.title_block_box(paper.paper("A4"))[0] == 20


def test_documented_layers_are_those_of_the_table() -> None:
    """DEVELOPERS.md, Layers: name, meaning, colour, width and line type, row for row."""
    text = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
    rows = [[cell.strip(" `") for cell in line.strip("|").split("|")] for line in text.split("\n") if "`I-" in line]
    rows = [row for row in rows if len(row) == 5 and row[0] != VIEWPORTS]
    assert [(name, about, int(index), float(width)) for name, about, index, width, _ in rows] == [
        (s.name, s.about, s.index, s.width) for s in STYLES.values()
    ]
    assert [row[4].split()[0] for row in rows] == [s.line.number for s in STYLES.values()]
