"""How each layer of a drawing looks: its name, colour, line width and line type. One table for every writer.

Names have the shape of ISO 13567-2: agent responsible (two characters, `I-` interior design), element (six),
presentation (two: `E-` element, `T-` text, `D-` dimensions, `H-` hatching, `B-` border). Widths are of the ISO
128 series, lines that show an edge twice as wide as those that explain it. Line types carry the numbers of
ISO 128-20; lengths of dash and gap are in line widths (dash 12, long dash 24, gap 3, dot 0.5).
"""

from __future__ import annotations

from dataclasses import dataclass

from trimwright.drawing.marks import Layer

__all__ = ["CONTINUOUS", "DASHED", "LONG_DASH_DOT", "STYLES", "WIDTHS", "LayerStyle", "LineType"]

WIDTHS = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
"""Line widths of ISO 128-20 in mm, each the one before it times the root of two."""


@dataclass(frozen=True, slots=True)
class LineType:
    """A line type: its name, its number in ISO 128-20, and dash, gap, dash, gap ... in line widths."""

    name: str
    number: str
    pattern: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class LayerStyle:
    """The look of a layer: name in files, DXF colour index, colour on paper, width in mm, line type, meaning."""

    name: str
    index: int
    colour: str
    width: float
    line: LineType
    about: str

    @property
    def dashes(self) -> tuple[float, ...]:
        """Dash, gap, dash, gap ... in paper mm; empty for a continuous line."""
        return tuple(part * self.width for part in self.line.pattern)


CONTINUOUS = LineType("Continuous", "01")
DASHED = LineType("ISO-DASHED", "02", (12, 3))
LONG_DASH_DOT = LineType("ISO-LONG-DASH-DOT", "04", (24, 3, 0.5, 3))

BLACK, DARK, GREY, BLUE, RED, AMBER = "#000000", "#333333", "#666666", "#1f4e79", "#9b1c1c", "#d98200"

STYLES: dict[Layer, LayerStyle] = {
    Layer.WALL: LayerStyle("I-WALL--E-", 7, BLACK, 0.5, CONTINUOUS, "edges of the wall: floor line, corners"),
    Layer.CEILING: LayerStyle("I-CEIL--E-", 7, BLACK, 0.35, CONTINUOUS, "ceiling line"),
    Layer.FLOOR: LayerStyle("I-FLOOR-E-", 7, BLACK, 0.35, CONTINUOUS, "floor line"),
    Layer.OPENING: LayerStyle("I-OPEN--E-", 8, GREY, 0.25, CONTINUOUS, "doors, windows and their casings"),
    Layer.PIPE: LayerStyle("I-PIPE--E-", 12, RED, 0.25, CONTINUOUS, "pipes"),
    Layer.FITTING: LayerStyle("I-FITT--E-", 8, GREY, 0.25, CONTINUOUS, "fittings in the way: tracks, sensors, grilles"),
    Layer.TRIM: LayerStyle("I-TRIM--E-", 7, BLACK, 0.35, CONTINUOUS, "visible edges of the trim"),
    Layer.HIDDEN: LayerStyle("I-HIDDENE-", 8, DARK, 0.18, DASHED, "edges behind something"),
    Layer.JOINT: LayerStyle("I-JOINT-E-", 1, BLACK, 0.5, CONTINUOUS, "joints between pieces"),
    Layer.SECTION: LayerStyle("I-SECT--E-", 7, BLACK, 0.5, CONTINUOUS, "outlines cut through"),
    Layer.HATCHING: LayerStyle("I-SECT--H-", 8, GREY, 0.18, CONTINUOUS, "hatching of what is cut through"),
    Layer.SETTING_OUT: LayerStyle("I-SETOUTE-", 150, BLUE, 0.25, CONTINUOUS, "lines to mark on walls and ceiling"),
    Layer.CENTRE: LayerStyle("I-CENTREE-", 8, DARK, 0.18, LONG_DASH_DOT, "centre lines and axes"),
    Layer.CUT: LayerStyle("I-CUT---E-", 1, BLACK, 0.7, CONTINUOUS, "lines to cut along, on templates"),
    Layer.DIMENSION: LayerStyle("I-------D-", 94, DARK, 0.18, CONTINUOUS, "dimensions"),
    Layer.LABEL: LayerStyle("I-------T-", 7, BLACK, 0.25, CONTINUOUS, "lettering and its leader lines"),
    Layer.FRAME: LayerStyle("I-FRAME-B-", 7, BLACK, 0.7, CONTINUOUS, "frame of the sheet"),
    Layer.TITLE: LayerStyle("I-TITLE-B-", 7, BLACK, 0.18, CONTINUOUS, "title block"),
    Layer.STRIP: LayerStyle("I-LIGHT-E-", 30, AMBER, 0.7, CONTINUOUS, "light strip, where it shines"),
    Layer.ISOLINE: LayerStyle("I-LUX---E-", 150, BLUE, 0.18, CONTINUOUS, "lines of equal illuminance"),
    Layer.CHECK: LayerStyle("I-CHECK-E-", 7, BLACK, 0.25, CONTINUOUS, "bar to measure after printing"),
}
