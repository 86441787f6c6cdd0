"""The section of a profile at full size, on a sheet of its own."""

from __future__ import annotations

from pathlib import Path

from trimwright.drawing.marks import Anchor, Dimension, DimensionKind, Drawing, Fill, Layer, Mark, Text, polyline
from trimwright.drawing.marks import Path as Line
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.svg import write_svg
from trimwright.errors import OutputError
from trimwright.profile.section import Section

__all__ = ["profile_sheet", "write_profile"]

AROUND = 25.0
"""Paper left free round the section for its dimensions, mm."""

BAR = 100.0
"""The bar by which a print is checked, mm."""


def profile_sheet(section: Section) -> Sheet:
    """Section, drop and projection, and a 100 mm bar, all at 1:1."""
    outline = section.outline
    back, bottom, front, top = outline.bounds
    drawing = Drawing(
        section.name,
        (
            Fill(outline.segments, Layer.SECTION),
            Line(outline.segments, Layer.SECTION, closed=True),
            Dimension((back, top), (front, top), 8, DimensionKind.HORIZONTAL),
            Dimension((back, bottom), (back, top), 8, DimensionKind.VERTICAL),
        ),
    )
    width = max(front - back, BAR) + 2 * AROUND
    height = top - bottom + 3 * AROUND
    bar = [(AROUND, AROUND - 8), (AROUND + BAR, AROUND - 8)]
    marks: tuple[Mark, ...] = (
        Text((AROUND, height - 8), f"{section.name} ({section.kind})", 3.5, Layer.TITLE),
        polyline(bar, Layer.CHECK),
        *(polyline([(x, y - 2), (x, y + 2)], Layer.CHECK) for x, y in bar),
        Text((AROUND + BAR / 2, AROUND - 12), "100 mm: print at 100 %, do not fit", 2.5, Layer.CHECK, Anchor.TOP),
    )
    view = View(drawing=drawing, scale=1.0, model=(back, bottom), paper=(AROUND, 2 * AROUND))
    return Sheet(name=section.name, title=section.name, width=width, height=height, views=(view,), marks=marks)


def write_profile(section: Section, path: Path) -> None:
    """Writes the sheet as SVG. Raises OutputError if it cannot be written."""
    try:
        write_svg(profile_sheet(section), path)
    except OSError as error:
        raise OutputError(f"{path}: cannot be written: {error.strerror}") from None
