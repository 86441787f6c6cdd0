"""SVG sheets, read back with lxml: true millimetres, names that can be found, text that stays text."""

from __future__ import annotations

import re

import pytest
from lxml import etree
from specimen import CEILING, COVE, HOSTILE, LENGTH, bar_sheet, box, hostile_sheet, wall_sheet

from trimwright.drawing.font import clean
from trimwright.drawing.layers import STYLES
from trimwright.drawing.marks import Drawing, Layer, Path
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.svg import svg_text, write_svg
from trimwright.profile.outline import Arc

SVG = "{http://www.w3.org/2000/svg}"


def parse(sheet: Sheet) -> etree._Element:
    return etree.fromstring(svg_text(sheet).encode())


def points(data: str) -> list[tuple[float, float]]:
    """Start and end points of path data that holds only M, L, A and Z."""
    found = []
    for letter, rest in re.findall(r"([MLA])([^MLAZ]*)", data):
        numbers = [float(n) for n in rest.split()]
        assert letter in "MLA"
        found.append((numbers[-2], numbers[-1]))
    return found


def test_size_is_in_millimetres_and_a_user_unit_is_one_millimetre() -> None:
    root = parse(bar_sheet())
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("210mm", "297mm", "0 0 210 297")


def test_bar_lies_where_it_was_put_and_is_100_mm_long() -> None:
    areas = [e for e in parse(bar_sheet()).iter(f"{SVG}path") if e.get("fill") == "#000000"]
    across, down = zip(*points(areas[0].get("d", "")), strict=True)
    assert (min(across), max(across)) == (60, 160)
    assert (min(down), max(down)) == (297 - 205, 297 - 200)


def test_wall_at_1_to_20_has_a_twentieth_of_its_size() -> None:
    wall = next(e for e in parse(wall_sheet()).iter(f"{SVG}path") if e.get("class") == STYLES[Layer.WALL].name)
    across, down = zip(*points(wall.get("d", "")), strict=True)
    assert max(across) - min(across) == pytest.approx(LENGTH / 20, abs=1e-4)
    assert max(down) - min(down) == pytest.approx(CEILING / 20, abs=1e-4)


def test_arc_is_a_true_arc_turned_the_right_way() -> None:
    """From lower left to upper right, clockwise seen from the front: sweep flag 1 where y runs down (SVG 2, 9.3.8)."""
    arc = next(s for s in COVE if isinstance(s, Arc))
    drawing = Drawing("arc", (Path((arc,), Layer.SECTION),))
    view = View(drawing=drawing, scale=1.0, model=(0, 0), paper=(0, 150))
    text = svg_text(Sheet(name="a", title="a", width=200, height=200, views=(view,)))
    assert "M8 165A107 107 0 0 1 115 58" in text


def test_pieces_are_found_by_their_names_and_ids_are_unique() -> None:
    root = parse(wall_sheet())
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert {"wall-1", "cornice-1", "section"} <= set(ids)
    assert len(ids) == len(set(ids))
    piece = next(e for e in root.iter(f"{SVG}g") if e.get("id") == "cornice-1")
    assert piece.findtext(f"{SVG}title") == "Cornice, piece 1"
    assert root.findtext(f"{SVG}title") == "Wall 1"
    assert root.findtext(f"{SVG}desc") == "Elevation of the door wall"


def test_ids_from_hostile_names_are_valid_and_unique() -> None:
    ids = [e.get("id", "") for e in parse(hostile_sheet()).iter() if e.get("id")]
    assert len(ids) > len(HOSTILE)
    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"[a-z][a-z0-9-]*", key) for key in ids)


def test_hostile_text_stays_text() -> None:
    root = parse(hostile_sheet())
    kinds = {etree.QName(e).localname for e in root.iter() if isinstance(e.tag, str)}
    assert kinds <= {"svg", "title", "desc", "defs", "clipPath", "rect", "g", "path", "text"}
    texts = [e.text for e in root.iter(f"{SVG}text")]
    for hostile in HOSTILE:
        assert texts.count(clean(hostile)) >= 2
    assert all(t == "".join(c for c in t if c.isprintable()) for t in texts if t)


def test_nothing_shows_outside_the_window_of_a_view() -> None:
    """What lies wholly outside is left out; what crosses the edge is clipped by a rectangle of the window's size."""
    drawing = Drawing("tile", (Path(box(0, 0, 100, 100), Layer.CUT, True), Path(box(500, 0, 600, 9), Layer.CUT, True)))
    view = View(drawing=drawing, scale=1.0, model=(0, 0), paper=(50, 50), window=(20, 30, 90, 110))
    root = parse(Sheet(name="t", title="t", width=210, height=297, views=(view,)))
    clip = root.find(f".//{SVG}clipPath/{SVG}rect")
    assert clip is not None
    assert [float(clip.get(k, "")) for k in ("x", "y", "width", "height")] == [20, 297 - 110, 70, 80]
    assert root.find(f"{SVG}g[@clip-path]") is not None
    assert len(root.findall(f".//{SVG}g/{SVG}path")) == 1


def test_same_sheet_same_bytes(tmp_path) -> None:  # type: ignore[no-untyped-def]
    write_svg(wall_sheet(), tmp_path / "a.svg")
    write_svg(wall_sheet(), tmp_path / "b.svg")
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()
