"""DXF, read back by ezdxf's auditor and by GDAL: what is there, how big, on which layer."""

from __future__ import annotations

import math
from collections import Counter
from datetime import date
from io import StringIO
from pathlib import Path as FilePath
from typing import Any

import ezdxf
import numpy as np
import pyogrio.raw
import pytest
import shapely
from ezdxf import bbox
from ezdxf.render.hatching import hatch_entity
from specimen import CEILING, COVE, DROP, HOSTILE, LENGTH, bar_sheet, hostile_sheet, wall_sheet

from trimwright.drawing.dimensions import dimension
from trimwright.drawing.dxf import VIEWPORTS, dxf_text, write_dxf
from trimwright.drawing.dxf_codes import dimension_text, plain_text
from trimwright.drawing.font import clean
from trimwright.drawing.layers import STYLES
from trimwright.drawing.marks import Dimension, DimensionKind, Drawing, Group, Hatch, Layer, Path, Running, Text
from trimwright.drawing.primitives import Label, extents
from trimwright.drawing.sheet import Sheet, View
from trimwright.profile.outline import Arc

DAY = date(2026, 1, 31)


def name(layer: Layer) -> str:
    return STYLES[layer].name


@pytest.fixture(scope="module")
def document() -> Any:
    return ezdxf.read(StringIO(dxf_text([wall_sheet(), bar_sheet()], DAY)))


@pytest.fixture(scope="module")
def features(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[str], Any]:
    """Layer and geometry of everything that GDAL sees in model space."""
    path = tmp_path_factory.mktemp("dxf") / "walls.dxf"
    write_dxf([wall_sheet(), bar_sheet()], path, DAY)
    meta, _, geometry, values = pyogrio.raw.read(path)
    fields = list(meta["fields"])
    model = [k for k, paper in enumerate(values[fields.index("PaperSpace")]) if not paper or paper != paper]
    layers = [str(values[fields.index("Layer")][k]) for k in model]
    return layers, shapely.from_wkb(np.asarray([geometry[k] for k in model], dtype=object))


def test_auditor_finds_nothing(document: Any) -> None:
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes


def test_header_says_millimetres_and_plain_lengths(document: Any) -> None:
    """$INSUNITS 4 is millimetres (DXF reference); $DIMLFAC other than 1 would multiply every value shown."""
    wanted = {"$INSUNITS": 4, "$MEASUREMENT": 1, "$LUNITS": 2, "$DIMLFAC": 1.0, "$DIMSCALE": 20.0}
    assert {key: document.header[key] for key in wanted} == wanted


def test_layers_look_as_the_table_says(document: Any) -> None:
    for style in STYLES.values():
        layer = document.layers.get(style.name)
        assert (layer.color, layer.dxf.lineweight) == (style.index, round(style.width * 100))
        pattern = document.linetypes.get(layer.dxf.linetype).pattern_tags.tags
        lengths = [abs(tag.value) for tag in pattern if tag.code == 49]
        assert lengths == pytest.approx(style.dashes)


def test_entities_of_model_space(document: Any) -> None:
    """Counted by hand from the specimen: 6 paths, 1 fill, 1 hatch, 1 text, 5 dimensions, 1 row of 4 running ones."""
    space = document.modelspace()
    kinds = Counter(entity.dxftype() for entity in space)
    assert kinds == {"LWPOLYLINE": 3, "LINE": 2, "CIRCLE": 1, "HATCH": 2, "MTEXT": 1, "DIMENSION": 9}
    assert {e.dxf.layer for e in space.query("DIMENSION")} == {name(Layer.DIMENSION)}
    assert "CORNICE-1" in document.groups


def test_dimensions_measure_the_model(document: Any) -> None:
    lengths = sorted(e.get_measurement() for e in document.modelspace().query("DIMENSION") if e.dimtype != 6)
    assert lengths == pytest.approx([20, DROP, 500, CEILING, LENGTH])
    running = sorted(e.get_measurement().x for e in document.modelspace().query("DIMENSION") if e.dimtype == 6)
    assert running == pytest.approx([260, 290, 3120, LENGTH])
    assert all(e.dxf.text == "<>" for e in document.modelspace().query("DIMENSION"))
    for style in document.dimstyles:
        assert style.dxf.dimlfac == 1


def test_values_beside_their_line_stand_where_they_do_on_paper() -> None:
    """One before and one after two short dimensions: at 1:20 neither value has room over its 2 mm of line."""
    short = [((0, 0), (40, 0), "D16  40", True), ((60, 0), (100, 0), "D17  40", False)]
    marks = [Dimension(a, b, 8, DimensionKind.HORIZONTAL, text, before=before) for a, b, text, before in short]
    view = View(drawing=Drawing("w", tuple(marks)), scale=0.05, model=(0, 0), paper=(100, 100))
    sheet = Sheet(name="w", title="w", width=297, height=210, views=(view,))
    made = ezdxf.read(StringIO(dxf_text([sheet], DAY))).modelspace().query("DIMENSION")
    for mark, entity in zip(marks, made, strict=True):
        (label,) = [i for i in dimension(mark, view) if isinstance(i, Label)]
        left, _, right, _ = extents(label)
        shift = made[0].dxf.defpoint2.x  # where the drawing lies in the row of drawings
        assert entity.dxf.text_midpoint.x - shift == pytest.approx(((left + right) / 2 - 100) / 0.05, abs=1)


def test_gdal_sees_every_entity_once(features: tuple[list[str], Any]) -> None:
    """GDAL takes dimensions apart, so their layer is left out."""
    counts = Counter(features[0])
    assert counts[name(Layer.WALL)] == 1
    assert counts[name(Layer.TRIM)] == 2
    assert counts[name(Layer.HIDDEN)] == counts[name(Layer.CENTRE)] == counts[name(Layer.PIPE)] == 1
    assert counts[name(Layer.SECTION)] == counts[name(Layer.HATCHING)] == counts[name(Layer.LABEL)] == 1
    assert counts[name(Layer.DIMENSION)] > 9
    assert not counts.keys() & {name(Layer.FRAME), name(Layer.TITLE), VIEWPORTS}


def test_gdal_measures_true_size(features: tuple[list[str], Any]) -> None:
    layers, shapes = features
    found = dict(zip(layers, shapes, strict=True))
    assert found[name(Layer.WALL)].bounds == pytest.approx((0, 0, LENGTH, CEILING))
    section = found[name(Layer.SECTION)].bounds
    assert (section[2] - section[0], section[3] - section[1]) == pytest.approx((DROP, DROP))
    assert found[name(Layer.PIPE)].length == pytest.approx(2 * math.pi * 100, rel=1e-3)


def test_gdal_and_ezdxf_agree_on_the_extents(document: Any, features: tuple[list[str], Any]) -> None:
    """Of what is drawn: dimensions bring points of their own, letters depend on the typeface at hand."""
    drawn = {name(layer) for layer in Layer} - {name(Layer.DIMENSION), name(Layer.LABEL)}
    kept = [shape for layer, shape in zip(*features, strict=True) if layer in drawn]
    box = bbox.extents([e for e in document.modelspace() if e.dxf.layer in drawn])
    assert shapely.total_bounds(kept) == pytest.approx([*box.extmin.vec2, *box.extmax.vec2], abs=0.01)


def test_drawings_do_not_overlap(document: Any) -> None:
    space = document.modelspace()
    groups = [[e for e in space if e.dxf.layer in names] for names in ({name(Layer.WALL)}, {name(Layer.SECTION)})]
    wall, section = (bbox.extents(group) for group in groups)
    assert not wall.has_overlap(section)


def test_each_sheet_is_a_layout_with_viewports_at_its_scale(document: Any) -> None:
    assert document.layouts.names() == ["Model", "wall-1", "bar"]
    layout = document.layouts.get("wall-1")
    assert (layout.dxf.paper_width, layout.dxf.paper_height) == (420, 297)
    viewports = [v for v in layout.viewports() if v.dxf.status > 1 and v.dxf.layer == VIEWPORTS]
    assert [v.dxf.height / v.dxf.view_height for v in viewports] == pytest.approx([1 / 20, 1 / 2])
    assert document.layers.get(VIEWPORTS).dxf.plot == 0


def test_what_stands_on_every_sheet_is_one_block() -> None:
    """Two sheets of one size share frame and title block; the sheet of another size has its own."""
    document = ezdxf.read(StringIO(dxf_text([wall_sheet(), wall_sheet(), bar_sheet()], DAY)))
    used = {
        name: [e.dxf.name for e in document.layouts.get(name).query("INSERT")]
        for name in document.layouts.names()
        if name != "Model"
    }
    first, second, other = used.values()
    assert first == second == ["FRAME", "TITLE-BLOCK"]
    assert not set(other) & set(first)
    assert [e.dxf.layer for e in document.blocks.get("FRAME")] == [name(Layer.FRAME)] * 5, "frame and centring marks"
    assert len(document.blocks.get("TITLE-BLOCK").query("TEXT")) == 10, "ten fields"


def test_viewport_shows_the_wall_where_the_sheet_has_it(document: Any) -> None:
    """The wall's lower left corner is at (60, 130) on paper."""
    viewport = next(v for v in document.layouts.get("wall-1").viewports() if v.dxf.layer == VIEWPORTS)
    corner = (np.array([0.0, 0.0]) - np.array(viewport.dxf.view_center_point.vec2)) / 20 + np.array(
        viewport.dxf.center.vec2
    )
    assert corner == pytest.approx([60, 130])


@pytest.mark.parametrize("segments", [COVE, tuple(s.reversed() for s in reversed(COVE))], ids=["one", "other"])
def test_hatch_covers_the_true_area(segments: Any) -> None:
    """A square less a quarter disc, run round either way: the hatch lines times their spacing come near its area."""
    spacing = 0.5
    drawing = Drawing("cove", (Hatch(segments, spacing=spacing), Path(segments, Layer.SECTION, True)))
    view = View(drawing=drawing, scale=1.0, model=(0, 0), paper=(50, 150))
    text = dxf_text([Sheet(name="s", title="s", width=210, height=297, views=(view,))], DAY)
    hatch = ezdxf.read(StringIO(text)).modelspace().query("HATCH").first
    lines = list(hatch_entity(hatch))
    area = DROP**2 - math.pi * (DROP - 8) ** 2 / 4
    assert sum(a.distance(b) for a, b in lines) * spacing == pytest.approx(area, rel=0.01)


def test_running_dimensions_along_a_slant_are_drawn_as_lines_and_text() -> None:
    along = (math.cos(math.radians(30)), math.sin(math.radians(30)))
    points = tuple((along[0] * d, along[1] * d) for d in (500.0, 1250.0))
    drawing = Drawing("slant", (Running((0, 0), along, points, 10),))
    view = View(drawing=drawing, scale=0.05, model=(0, 0), paper=(50, 50))
    text = dxf_text([Sheet(name="s", title="s", width=210, height=297, views=(view,))], DAY)
    texts = {e.dxf.text for e in ezdxf.read(StringIO(text)).modelspace().query("TEXT")}
    assert texts == {"500", "1250"}


def test_single_arcs_turn_the_right_way() -> None:
    arc = next(s for s in COVE if isinstance(s, Arc))
    drawing = Drawing("arc", (Path((arc,), Layer.CUT), Path((arc.reversed(),), Layer.CUT)))
    view = View(drawing=drawing, scale=1.0, model=(0, 0), paper=(50, 150))
    text = dxf_text([Sheet(name="s", title="s", width=210, height=297, views=(view,))], DAY)
    arcs = list(ezdxf.read(StringIO(text)).modelspace().query("ARC"))
    assert len(arcs) == 2
    for entity in arcs:
        middle = DROP - 107 / math.sqrt(2)
        construction = entity.construction_tool()
        assert (construction.start_angle, construction.end_angle % 360) == pytest.approx((90, 180))
        assert arc.middle == pytest.approx((middle, -middle))


def test_hostile_text_is_shown_and_not_obeyed() -> None:
    document = ezdxf.read(StringIO(dxf_text([hostile_sheet(), hostile_sheet()], DAY)))
    auditor = document.audit()
    assert not auditor.errors
    wanted = [clean(t).replace(" ", "") for t in HOSTILE]
    for kind in ("TEXT", "MTEXT"):
        shown = [e.plain_text().replace(" ", "") for e in document.modelspace().query(kind)]
        assert shown[: len(wanted)] == wanted
    names = document.layouts.names()
    assert len({n.lower() for n in names}) == len(names) == 3
    assert not any(set(n) & set('<>/\\":;?*|=`') for n in names)


@pytest.mark.parametrize("text", HOSTILE)
def test_no_control_code_survives(text: str) -> None:
    """`%%x`, `^x`, `\\U+`, and in the text of dimensions also braces, `\\x`, `<>` and `[]` (DXF reference, MTEXT)."""
    plain, shown = plain_text(text), dimension_text(text)
    assert "%%" not in plain
    assert "^" not in plain.replace("^ ", "")
    assert "\\U+" not in plain
    bare = shown.replace("\\\\", "").replace("\\{", "").replace("\\}", "")
    assert not set(bare) & set("\\{}")
    assert "<>" not in shown
    assert "[]" not in shown


def test_same_sheets_same_bytes(tmp_path: FilePath) -> None:
    for file in ("a.dxf", "b.dxf"):
        write_dxf([wall_sheet(), bar_sheet()], tmp_path / file, DAY)
    assert (tmp_path / "a.dxf").read_bytes() == (tmp_path / "b.dxf").read_bytes()


def test_nothing_to_draw_is_a_sound_document() -> None:
    empty = Drawing("empty", (Group("nothing", ()), Text((0, 0), "\n")))
    view = View(drawing=empty, scale=1.0, model=(0, 0), paper=(0, 0), window=(0, 0, 10, 10))
    for sheets in ([], [Sheet(name="s", title="s", width=210, height=297, views=(view,))]):
        document = ezdxf.read(StringIO(dxf_text(sheets, DAY)))
        assert not document.audit().errors
        assert len(document.modelspace()) == 0
