"""A sheet with every kind of mark at places that are easy to find again."""

from __future__ import annotations

from trimwright.drawing.marks import (
    Anchor,
    Dimension,
    DimensionKind,
    Drawing,
    Fill,
    Group,
    Hatch,
    Layer,
    Path,
    Running,
    Text,
    dot,
    polyline,
)
from trimwright.drawing.paper import TitleBlock, frame_marks, paper, title_block_marks
from trimwright.drawing.sheet import Sheet, View
from trimwright.profile.outline import Arc, Line, Segment

LENGTH, CEILING, DROP = 4620.0, 2565.0, 115.0

HOSTILE = (
    "<script>alert(1)</script>",
    "]]> & \"quoted\" 'single'",
    "%%c100 %%d %%%",
    "{\\fArial|b1;bold} \\P \\U+0041 \\M+1",
    "^I^J caret",
    "two\nlines\r\tand a tab\x00\x07\x1b",
    "bell 🔔 and saw 🪚",
    "right to left \u202eabc\u202c שלום",
    "lone \ud800 surrogate \uffff",
    "<>",
    "[]",
    "long " * 400,
)


def box(left: float, bottom: float, right: float, top: float) -> tuple[Segment, ...]:
    return polyline([(left, bottom), (right, bottom), (right, top), (left, top)], Layer.WALL, True).segments


COVE: tuple[Segment, ...] = (
    Line((0, 0), (0, -DROP)),
    Line((0, -DROP), (8, -DROP)),
    Arc((8, -DROP), (DROP, -8), (DROP, -DROP), True),
    Line((DROP, -8), (DROP, 0)),
    Line((DROP, 0), (0, 0)),
)

WALL = Drawing(
    "wall 1",
    (
        Path(box(0, 0, LENGTH, CEILING), Layer.WALL, True),
        Group(
            "cornice-1",
            (
                Fill(box(0, CEILING - DROP, LENGTH, CEILING), Layer.TRIM, 0.9),
                Path(box(0, CEILING - DROP, LENGTH, CEILING), Layer.TRIM, True),
            ),
            "Cornice, piece 1",
        ),
        polyline([(0, 1200), (LENGTH, 1200)], Layer.HIDDEN),
        polyline([(0, 1300), (LENGTH, 1300)], Layer.CENTRE),
        dot((260, 1500), 100, Layer.PIPE),
        Text((LENGTH / 2, 1500), "door wall", 3.5, anchor=Anchor.MIDDLE, ground=True),
        Dimension((0, 0), (LENGTH, 0), -10, DimensionKind.HORIZONTAL),
        Dimension((0, 0), (0, CEILING), 10, DimensionKind.VERTICAL),
        Dimension((1000, 500), (1300, 900), 8),
        Dimension((LENGTH, CEILING - 20), (LENGTH, CEILING), -10, DimensionKind.VERTICAL),
        Running((0, CEILING), (1, 0), ((260, CEILING), (290, CEILING), (3120, CEILING), (LENGTH, CEILING)), 12),
    ),
)

SECTION = Drawing(
    "section",
    (Hatch(COVE), Path(COVE, Layer.SECTION, True), Dimension((0, 0), (DROP, 0), 8, DimensionKind.HORIZONTAL)),
)


def wall_sheet() -> Sheet:
    """The wall at 1:20 and its cornice at 1:2 on A3."""
    a3 = paper("A3")
    block = TitleBlock(title="Wall 1", legal_owner="Invented owner", issued="2026-01-31", scale="1:20", sheets=2)
    return Sheet(
        name="wall-1",
        title="Wall 1",
        description="Elevation of the door wall",
        width=a3.width,
        height=a3.height,
        views=(
            View(drawing=WALL, scale=0.05, model=(0, 0), paper=(60, 130)),
            View(drawing=SECTION, scale=0.5, model=(0, 0), paper=(50, 100), window=(35, 35, 120, 115)),
        ),
        marks=(*frame_marks(a3), *title_block_marks(a3, block)),
    )


def bar_sheet() -> Sheet:
    """A bar of 100 x 5 mm and a disc of radius 40 on A4."""
    bar = Fill(box(60, 200, 160, 205), Layer.CHECK, 0.0)
    disc = Fill(dot((100, 100), 40, Layer.CHECK).segments, Layer.CHECK, 0.0)
    return Sheet(name="bar", title="Bar", width=210, height=297, marks=(bar, disc))


def hostile_sheet() -> Sheet:
    """Every hostile text as label, group name and title, and dimension value."""
    marks = [
        Group(
            text,
            (
                Text((30, 20 + 12.0 * k), text),
                Text((100, 20 + 12.0 * k), text, ground=True),
                Dimension((30, 20 + 12.0 * k), (90, 20 + 12.0 * k), 4, text=text),
            ),
            text,
        )
        for k, text in enumerate(HOSTILE)
    ]
    drawing = Drawing(HOSTILE[0], tuple(marks))
    view = View(drawing=drawing, scale=1.0, model=(0, 0), paper=(0, 0))
    block = TitleBlock(title=HOSTILE[-1], legal_owner=HOSTILE[2], supplement=HOSTILE[0], creator=HOSTILE[3])
    a4 = paper("A4")
    return Sheet(
        name=HOSTILE[0] * 3,
        title=HOSTILE[0],
        description=HOSTILE[1],
        width=a4.width,
        height=a4.height,
        views=(view,),
        marks=title_block_marks(a4, block),
    )
