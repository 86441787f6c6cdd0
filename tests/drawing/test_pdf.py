"""PDF sheets, measured by other programs: rendered by PDFium, opened by pikepdf."""

from __future__ import annotations

import math
from datetime import date
from io import BytesIO

import numpy as np
import pikepdf
import pypdfium2
import pytest
from specimen import bar_sheet, hostile_sheet, wall_sheet

from trimwright.drawing.font import CAPITAL, FAMILY, clean, fitted, size, text_width
from trimwright.drawing.marks import Layer, Text
from trimwright.drawing.pdf import pdf_bytes
from trimwright.drawing.sheet import Sheet

DAY = date(2026, 1, 31)
DPI = 600
PIXEL = 25.4 / DPI


def ink(sheet: Sheet) -> np.ndarray:
    """Which pixels of the first page are dark, top row first, at 600 to the inch."""
    page = pypdfium2.PdfDocument(pdf_bytes([sheet], "t", DAY))[0]
    return np.asarray(page.render(scale=DPI / 72).to_numpy()).min(axis=2) < 128


def spans(dark: np.ndarray) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of what is dark, in mm from the top left."""
    rows, columns = np.nonzero(dark.any(axis=1))[0], np.nonzero(dark.any(axis=0))[0]
    return (columns[0] * PIXEL, rows[0] * PIXEL, (columns[-1] + 1) * PIXEL, (rows[-1] + 1) * PIXEL)


def test_bar_of_100_mm_measures_100_mm() -> None:
    dark = ink(bar_sheet())
    split = round(110 / PIXEL)
    left, top, right, bottom = spans(dark[:split])
    assert right - left == pytest.approx(100, abs=0.1)
    assert left == pytest.approx(60, abs=0.1)
    assert (top, bottom) == pytest.approx((297 - 205, 297 - 200), abs=0.1)


def test_disc_is_round() -> None:
    """Area of a disc, pi r²; a cubic per 45 degrees is off by 4e-6 of the radius, pixels by far more."""
    dark = ink(bar_sheet())[round(110 / PIXEL) :]
    left, top, right, bottom = spans(dark)
    assert (right - left, bottom - top) == pytest.approx((80, 80), abs=0.1)
    assert dark.sum() * PIXEL**2 == pytest.approx(math.pi * 40**2, rel=1e-3)


def test_capitals_have_the_height_asked_for() -> None:
    sheet = Sheet(name="t", title="t", width=100, height=50, marks=(Text((10, 10), "HH", 20.0, Layer.LABEL),))
    left, top, right, bottom = spans(ink(sheet))
    assert bottom - top == pytest.approx(20, abs=0.1)
    assert 50 - bottom == pytest.approx(10, abs=0.1)
    assert right - left < text_width("HH", 20.0) < right - left + 6
    assert size(CAPITAL) == 1


def test_document_asks_for_full_size_and_carries_its_typeface() -> None:
    with pikepdf.open(BytesIO(pdf_bytes([wall_sheet(), bar_sheet()], "Room <1>", DAY))) as document:
        assert str(document.Root.ViewerPreferences.PrintScaling) == "/None"
        boxes = [[float(v) * 25.4 / 72 for v in page.MediaBox] for page in document.pages]
        assert boxes[0] == pytest.approx([0, 0, 420, 297], abs=1e-3)
        assert boxes[1] == pytest.approx([0, 0, 210, 297], abs=1e-3)
        fonts = [f for f in document.objects if isinstance(f, pikepdf.Dictionary) and "/FontFile2" in f]
        assert fonts
        assert all("DejaVuSansCondensed" in str(f.FontName) for f in fonts)
        assert document.docinfo["/Title"] == "Room <1>"
        assert str(document.docinfo["/CreationDate"]) == "D:20260131000000Z"
        assert len(list(document.open_outline().root)) == 2
        assert not document.check_pdf_syntax()


def test_text_of_a_page_can_be_read_back() -> None:
    page = pypdfium2.PdfDocument(pdf_bytes([wall_sheet()], "t", DAY))[0].get_textpage().get_text_bounded()
    assert {"door wall", "4620", "2565", "500"} <= set(page.replace("\r", "").split("\n"))
    assert all(words in page for words in ("Invented owner", "1 of 2"))


def test_hostile_text_makes_a_sound_document() -> None:
    data = pdf_bytes([hostile_sheet()], "\x00<b>\n", DAY)
    with pikepdf.open(BytesIO(data)) as document:
        assert not document.check_pdf_syntax()
        assert "/JavaScript" not in str(document.Root)
    text = pypdfium2.PdfDocument(data)[0].get_textpage().get_text_bounded()
    assert "<script>alert(1)</script>" in text
    assert "%%c100 %%d %%%" in text


def test_same_sheets_and_date_same_bytes() -> None:
    first = pdf_bytes([wall_sheet(), bar_sheet()], "t", DAY)
    assert pdf_bytes([wall_sheet(), bar_sheet()], "t", DAY) == first
    assert pdf_bytes([wall_sheet(), bar_sheet()], "t", date(2026, 2, 1)) != first


def test_text_that_does_not_fit_is_set_smaller_then_shortened() -> None:
    width = text_width("Picture rail", 2.5)
    assert fitted("Picture rail", width + 1, 5.0) == ("Picture rail", 2.5)
    text, height = fitted("Picture rail " * 50, 40.0, 5.0)
    assert (text[-1], height) == ("…", 2.5)
    assert text_width(text, height) <= 40.0


def test_clean_leaves_ordinary_text_alone() -> None:
    assert clean("Ø 22 mm, 90.3° – “rail” Größe") == "Ø 22 mm, 90.3° – “rail” Größe"
    assert "DejaVu Sans Condensed" in FAMILY
