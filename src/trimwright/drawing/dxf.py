"""Sheets as one DXF: every drawing at full size in model space, side by side, and a layout for each sheet.

Model space holds drawings only, so that it can be measured, cut or imported; frame and title block lie in the
layouts, which see model space through viewports at the sheet's scale.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date as Date
from io import StringIO
from pathlib import Path
from typing import Any

from ezdxf import options  # type: ignore[attr-defined]  # public, but the package lists no names
from ezdxf.colors import BYLAYER
from ezdxf.filemanagement import new
from ezdxf.lldxf.const import LINEWEIGHT_BYLAYER

from trimwright.drawing.dimensions import ABOVE, GAP, HEIGHT, PAST, STROKE
from trimwright.drawing.dxf_codes import plain_text
from trimwright.drawing.dxf_marks import TEXT_STYLE, Space, draw
from trimwright.drawing.font import NAME
from trimwright.drawing.layers import STYLES, LayerStyle
from trimwright.drawing.paper import scale_words
from trimwright.drawing.primitives import Block, Window, extents
from trimwright.drawing.render import lower_view, own_marks
from trimwright.drawing.sheet import Sheet, View
from trimwright.profile.outline import Point

__all__ = ["VIEWPORTS", "dxf_text", "write_dxf"]

VIEWPORTS = "I-VIEW--B-"
"""Layer of the viewports' own frames, which are not printed."""

APART = 10.0
"""Between neighbouring drawings in model space, in mm on the paper of the one to the right."""


@dataclass(frozen=True, slots=True)
class _Placed:
    """A drawing in model space: the view that sets its scale, what it covers, and how far it was shifted."""

    view: View
    extents: Window
    shift: Point


def write_dxf(sheets: Sequence[Sheet], path: Path, date: Date) -> None:
    """Write the sheets as one DXF document; the same sheets and date give the same bytes."""
    path.write_text(dxf_text(sheets, date), encoding="utf-8", newline="\n")


def dxf_text(sheets: Sequence[Sheet], date: Date) -> str:
    """The sheets as a DXF R2010 document in millimetres."""
    with _fixed_metadata():
        document = new("R2010", units=4)
        _header(document, date)
        _tables(document)
        placed = _place(sheets)
        for drawing in placed.values():
            scale = drawing.view.scale
            space = Space(document.modelspace(), drawing.shift, scale, _dimension_style(document, scale))
            draw(drawing.view.drawing.marks, space)
        for sheet in sheets:
            _layout(document, sheet, placed)
        if sheets:
            document.layouts.delete("Layout1")
        _see_all(document, placed)
        for kind in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(kind)  # the library would add them in the order of a set, that of hashes
        stream = StringIO()
        document.write(stream)
    return stream.getvalue()


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """No time of day and no random identity in the file, so that equal sheets give equal bytes."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _header(document: Any, date: Date) -> None:
    """Millimetres, decimal lengths, widths shown; dash lengths come with each entity, not with the viewport."""
    settings = {"$INSUNITS": 4, "$MEASUREMENT": 1, "$LUNITS": 2, "$LUPREC": 1, "$LWDISPLAY": 1}
    for name, value in {**settings, "$LTSCALE": 1.0, "$PSLTSCALE": 0}.items():
        document.header[name] = value
    document.header.custom_vars.append("Date of issue", date.isoformat())


def _tables(document: Any) -> None:
    document.styles.new(TEXT_STYLE, dxfattribs={"font": f"{NAME}.ttf"})
    for style in STYLES.values():
        layer = document.layers.add(
            style.name, color=style.index, linetype=_line_type(document, style), lineweight=round(100 * style.width)
        )
        layer.description = style.about
    document.layers.add(VIEWPORTS, color=9, plot=False).description = "edges of viewports; not printed"


def _line_type(document: Any, style: LayerStyle) -> str:
    """The line type at the width of its layer, since dash and gap go with the width; made when first asked for."""
    if not style.dashes:
        return style.line.name
    name = f"{style.line.name}-{100 * style.width:03.0f}"
    if name not in document.linetypes:
        signed = [part if k % 2 == 0 else -part for k, part in enumerate(style.dashes)]
        text = f"ISO 128 type {style.line.number}, width {style.width} mm"
        document.linetypes.add(name, [sum(style.dashes), *signed], description=text)
    return name


def _dimension_style(document: Any, scale: float) -> str:
    """A dimension style for drawings at `scale`; sizes are those of the paper, measured values those of the model.

    The first style is also the one of the header: some viewers read the header and not the style.
    """
    name = f"TRIMWRIGHT {scale_words(scale)}".replace(":", "-")
    if name in document.dimstyles:
        return name
    first = not any(other.dxf.name.startswith("TRIMWRIGHT") for other in document.dimstyles)
    settings = dict(
        dimscale=1 / scale,
        dimlfac=1.0,
        dimtxt=HEIGHT,
        dimtxsty=TEXT_STYLE,
        dimgap=ABOVE,
        dimtsz=STROKE / 2**1.5,
        dimasz=STROKE / 2,
        dimexo=GAP,
        dimexe=PAST,
        # Above the line and along it; one decimal, a trailing zero dropped; a point for the decimal.
        dimtad=1,
        dimtih=0,
        dimtoh=0,
        dimdec=1,
        dimzin=8,
        dimdsep=ord("."),
        # Lines, strokes and text look as their layer says, not as the block they are drawn in.
        **dict.fromkeys(("dimclrd", "dimclre", "dimclrt"), BYLAYER),
        **dict.fromkeys(("dimlwd", "dimlwe"), LINEWEIGHT_BYLAYER),
    )
    style = document.dimstyles.new(name, dxfattribs=settings)
    if first:
        style.copy_to_header(document)
    return name


def _place(sheets: Sequence[Sheet]) -> dict[int, _Placed]:
    """Where each drawing lies in model space, by its identity.

    The first view of every sheet stands in one row, floor lines level; the other drawings hang in a row below.
    """
    mains = _different(sheet.views[0] for sheet in sheets if sheet.views)
    drawn = {id(view.drawing) for view, _ in mains}
    others = _different(v for sheet in sheets for v in sheet.views if id(v.drawing) not in drawn)
    row = list(_row(mains, None))
    below = min((p.extents[1] - APART / p.view.scale for p in row), default=0.0)
    return {id(p.view.drawing): p for p in (*row, *_row(others, below))}


def _different(views: Iterable[View]) -> list[tuple[View, Window]]:
    """The first view of each drawing that has something in it, and what that covers in its own millimetres."""
    first: dict[int, tuple[View, Window]] = {}
    for view in views:
        if id(view.drawing) not in first:
            whole = lower_view(replace(view, window=None))
            if whole.items:
                first[id(view.drawing)] = (view, _covered(view, whole))
    return list(first.values())


def _row(drawings: Iterable[tuple[View, Window]], top: float | None) -> Iterator[_Placed]:
    """Drawings side by side, the first where it is: heights as they are, or hung from `top`."""
    reached: float | None = None
    for view, covered in drawings:
        across = 0.0 if reached is None else reached + APART / view.scale - covered[0]
        yield _Placed(view, covered, (across, 0.0 if top is None else top - covered[3]))
        reached = covered[2] + across


def _covered(view: View, whole: Block) -> Window:
    """What a drawing, `whole` on the view's paper, covers in its own millimetres, lettering and dimensions included."""
    left, bottom, right, top = extents(whole)
    (px, py), (mx, my), s = view.paper, view.model, view.scale
    return ((left - px) / s + mx, (bottom - py) / s + my, (right - px) / s + mx, (top - py) / s + my)


def _layout(document: Any, sheet: Sheet, placed: dict[int, _Placed]) -> None:
    """A sheet's layout: its own marks in paper mm, and a viewport for each view."""
    layout = document.layouts.new(_layout_name(document, sheet.name))
    layout.page_setup(size=(sheet.width, sheet.height), margins=(0, 0, 0, 0), units="mm")
    draw(own_marks(sheet).drawing.marks, Space(layout, (0.0, 0.0), 1.0, _dimension_style(document, 1.0)))
    for view in sheet.views:
        drawing = placed.get(id(view.drawing))
        if drawing is not None:
            _viewport(layout, view, drawing)


def _viewport(layout: Any, view: View, drawing: _Placed) -> None:
    left, bottom, right, top = view.window or _on_paper(view, drawing.extents)
    centre = ((left + right) / 2, (bottom + top) / 2)
    model = [
        m + (c - p) / view.scale + s for m, c, p, s in zip(view.model, centre, view.paper, drawing.shift, strict=True)
    ]
    viewport = layout.add_viewport(
        centre,
        (right - left, top - bottom),
        model,
        (top - bottom) / view.scale,
        dxfattribs={"layer": VIEWPORTS},
    )
    viewport.dxf.flags |= 0x4000  # zoom locked: a turn of the wheel must not change the scale


def _on_paper(view: View, covered: Window) -> Window:
    """The window that shows all of a drawing, a millimetre wider each way for the width of its lines."""
    left, bottom = view.to_paper((covered[0], covered[1]))
    right, top = view.to_paper((covered[2], covered[3]))
    return (left - 1, bottom - 1, right + 1, top + 1)


def _layout_name(document: Any, name: str) -> str:
    """A name a layout may have, unlike all others."""
    stem = re.sub(r'[<>/\\":;?*|=`,\s]+', " ", plain_text(name)).strip()[:60] or "Sheet"
    taken = {other.lower() for other in document.layouts.names()}
    candidate, count = stem, 1
    while candidate.lower() in taken:
        count += 1
        candidate = f"{stem} {count}"
    return candidate


def _see_all(document: Any, placed: dict[int, _Placed]) -> None:
    """Open the file on all of model space."""
    if not placed:
        return
    covers = [(p.extents, p.shift) for p in placed.values()]
    left, right = min(e[0] + s[0] for e, s in covers), max(e[2] + s[0] for e, s in covers)
    bottom, top = min(e[1] + s[1] for e, s in covers), max(e[3] + s[1] for e, s in covers)
    space = document.modelspace()
    space.dxf.extmin, space.dxf.extmax = (left, bottom, 0), (right, top, 0)
    document.set_modelspace_vport(max(top - bottom, (right - left) / 2), ((left + right) / 2, (bottom + top) / 2))
