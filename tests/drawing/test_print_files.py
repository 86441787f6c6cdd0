"""Every sheet of every example in all three formats, read by programs that are not ours: lxml, pikepdf, ezdxf, GDAL."""

from __future__ import annotations

import os
import shutil
import subprocess
from datetime import date
from functools import cache
from io import BytesIO, StringIO
from pathlib import Path

import ezdxf
import numpy as np
import pikepdf
import pyogrio.raw
import pypdfium2
import pytest
import shapely
from ezdxf import bbox
from lxml import etree

from example_rooms import EXAMPLE_NAMES, example_set_out
from trimwright.drawing.developed.sheets import unrolled
from trimwright.drawing.dxf import VIEWPORTS, write_dxf
from trimwright.drawing.layers import STYLES
from trimwright.drawing.marks import Layer
from trimwright.drawing.paper import SCALES
from trimwright.drawing.pdf import pdf_bytes
from trimwright.drawing.press.details import detail_sheets
from trimwright.drawing.press.page import Printer
from trimwright.drawing.press.section_templates import section_templates
from trimwright.drawing.press.template_pages import template_pages
from trimwright.drawing.sheet import Sheet
from trimwright.drawing.sheets import drawn_sheets
from trimwright.drawing.svg import svg_text
from trimwright.drawing.templates import full_size
from trimwright.drawing.titled import titled

DAY = date(2026, 10, 12)
SVG = "{http://www.w3.org/2000/svg}"
LARGEST = 1_000_000


@cache
def sheets(name: str) -> tuple[Sheet, ...]:
    job = example_set_out(name)
    return tuple(titled([*drawn_sheets(job, "A3"), *detail_sheets(job, "A3")], job.room.name, DAY.isoformat()))


@cache
def roots(name: str) -> dict[str, etree._Element]:
    return {sheet.name: etree.fromstring(svg_text(sheet).encode()) for sheet in sheets(name)}


@pytest.mark.parametrize("name", EXAMPLE_NAMES)
def test_svg_of_every_sheet_is_sound(name: str) -> None:
    for sheet in sheets(name):
        root = roots(name)[sheet.name]
        assert len(etree.tostring(root)) < LARGEST
        assert (root.get("width"), root.get("height")) == (f"{sheet.width:g}mm", f"{sheet.height:g}mm")
        assert root.get("viewBox") == f"0 0 {sheet.width:g} {sheet.height:g}"
        assert root.findtext(f"{SVG}title") == sheet.title
        assert root.findtext(f"{SVG}desc")
        ground = next(root.iter(f"{SVG}rect"))
        size = (float(ground.get("width", 0)), float(ground.get("height", 0)))
        assert (ground.get("fill"), *size) == ("#ffffff", sheet.width, sheet.height)
        ids = [e.get("id") for e in root.iter() if e.get("id")]
        assert len(ids) == len(set(ids))
        assert root.findall(f".//{SVG}text"), "text is text"


@pytest.mark.parametrize("name", EXAMPLE_NAMES)
def test_pieces_are_named_in_the_svg_of_their_wall(name: str) -> None:
    for piece in example_set_out(name).pieces:
        if not piece.is_return:
            ids = {e.get("id") for e in roots(name)[f"wall-{piece.wall + 1}"].iter()}
            assert piece.id.lower() in ids


@pytest.mark.parametrize("name", EXAMPLE_NAMES)
def test_pdf_of_the_set_is_sound(name: str) -> None:
    with pikepdf.open(BytesIO(pdf_bytes(sheets(name), name, DAY))) as document:
        assert not document.check_pdf_syntax()
        sizes = [[float(v) * 25.4 / 72 for v in page.MediaBox[2:]] for page in document.pages]
        assert sizes == [pytest.approx([s.width, s.height], abs=1e-3) for s in sheets(name)]


@pytest.mark.parametrize("name", EXAMPLE_NAMES)
def test_dxf_of_the_walls_is_the_same_to_ezdxf_and_to_gdal(name: str, tmp_path: Path) -> None:
    """The audit finds nothing; entity for entity by layer, and the same extents.

    Dimensions, which GDAL takes apart, are left out, and from the extents also letters, whose size depends on the
    typeface at hand. Frames and title blocks are blocks in the layouts: GDAL must not take them for the model.
    """
    path = tmp_path / "walls.dxf"
    write_dxf([s for s in sheets(name) if s.name.startswith("wall-")], path, DAY)
    document = ezdxf.read(StringIO(path.read_text()))
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes
    meta, _, geometry, values = pyogrio.raw.read(path)
    fields = list(meta["fields"])
    model = [k for k, paper in enumerate(values[fields.index("PaperSpace")]) if not paper or paper != paper]
    layers = [str(values[fields.index("Layer")][k]) for k in model]
    left_out = {STYLES[Layer.DIMENSION].name, "Defpoints"}
    own = [e for e in document.modelspace() if e.dxf.layer not in left_out]
    assert len(own) == sum(layer not in left_out for layer in layers)
    left_out.add(STYLES[Layer.LABEL].name)
    shapes = shapely.from_wkb(np.asarray([geometry[k] for k in model], dtype=object))
    kept = [shape for shape, layer in zip(shapes, layers, strict=True) if layer not in left_out]
    box = bbox.extents([e for e in own if e.dxf.layer not in left_out])
    assert shapely.total_bounds(kept) == pytest.approx([*box.extmin.vec2, *box.extmax.vec2], abs=0.01)


def test_every_wall_is_a_layout_at_a_standard_scale(tmp_path: Path) -> None:
    path = tmp_path / "walls.dxf"
    write_dxf([s for s in sheets("reading-room") if s.name.startswith("wall-")], path, DAY)
    document = ezdxf.read(StringIO(path.read_text()))
    assert document.layouts.names() == ["Model", *(f"wall-{k}" for k in range(1, 9))]
    for name in document.layouts.names()[1:]:
        (viewport,) = [v for v in document.layouts.get(name).viewports() if v.dxf.layer == VIEWPORTS]
        scale = viewport.dxf.height / viewport.dxf.view_height
        assert any(scale == pytest.approx(a / b) for a, b in SCALES)
        assert next(iter(document.layouts.get(name).query("INSERT"))).dxf.name.startswith("FRAME")


@pytest.mark.browser
def test_svg_printed_by_a_browser_is_true_to_size(tmp_path: Path) -> None:
    """The bars of a page of templates, in Chromium's PDF of the SVG, drawn by PDFium at 600 to the inch."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        message = "no Chromium on this machine: apt-get install chromium"
        if os.environ.get("CI") == "true":
            pytest.fail(message)
        pytest.skip(message)
    job = example_set_out("box-room")
    page = template_pages(
        job, [*section_templates(job), *full_size(job)], unrolled(job), Printer(size="A4"), DAY.isoformat()
    )[1]
    svg = svg_text(page).split("?>", 1)[1]
    style = "@page { size: 210mm 297mm; margin: 0 } body { margin: 0 } svg { display: block }"
    source, target = tmp_path / "page.html", tmp_path / "page.pdf"
    source.write_text(f'<!DOCTYPE html><meta charset="utf-8"><style>{style}</style>{svg}', encoding="utf-8")
    command = [chromium, "--headless=new", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
    command += [f"--user-data-dir={tmp_path / 'profile'}", f"--print-to-pdf={target}", source.as_uri()]
    subprocess.run(command, capture_output=True, timeout=120, check=True)
    document = pypdfium2.PdfDocument(target)
    dark = np.asarray(document[0].render(scale=600 / 72, grayscale=True).to_numpy()).squeeze() < 128
    # The ticks reach 1.5 mm past the bar, which is 0.25 mm wide: only they are in these strips.
    x, y, rows = 15.0, 12.0, dark.shape[0]
    level = dark[rows - _pixels(y - 0.4) : rows - _pixels(y - 1.2), _pixels(x - 1) : _pixels(x + 101)]
    upright = dark[rows - _pixels(y + 101) : rows - _pixels(y - 1), _pixels(x + 0.4) : _pixels(x + 1.2)]
    for part, axis in ((level, 0), (upright, 1)):
        filled = np.nonzero(part.mean(axis=axis) > 0.7)[0]
        assert (filled[-1] - filled[0] + 1) * 25.4 / 600 - 0.25 == pytest.approx(100, abs=0.1)


def _pixels(length: float) -> int:
    return round(length * 600 / 25.4)
