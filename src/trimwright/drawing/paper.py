"""Paper, frame, title block and scales: ISO 216 sizes, ISO 5457 frame, ISO 7200 fields, ISO 5455 scales."""

from __future__ import annotations

from dataclasses import dataclass

from trimwright.drawing.font import fitted
from trimwright.drawing.marks import Anchor, Group, Layer, Mark, Text, dot, polyline
from trimwright.drawing.primitives import Window
from trimwright.errors import RoomFileError

__all__ = [
    "CENTRING",
    "EDGE",
    "FILING",
    "SCALES",
    "SIZES",
    "Paper",
    "TitleBlock",
    "first_angle_marks",
    "frame_marks",
    "largest_scale",
    "paper",
    "scale_words",
    "title_block_box",
    "title_block_marks",
]

SIZES: dict[str, tuple[float, float]] = {
    "A1": (594.0, 841.0),
    "A2": (420.0, 594.0),
    "A3": (297.0, 420.0),
    "A4": (210.0, 297.0),
    "Letter": (215.9, 279.4),
}
"""Short and long side in mm: ISO 216, and ANSI/ASME Y14.1 size A (8 1/2 x 11 in)."""

FILING = 20.0
"""Margin at the left, where sheets are filed (ISO 5457)."""

EDGE = 10.0
"""Margin at the other three sides (ISO 5457)."""

SCALES = tuple(
    (float(a), float(b))
    for a, b in (
        *((50, 1), (20, 1), (10, 1), (5, 1), (2, 1), (1, 1), (1, 2), (1, 5), (1, 10), (1, 20), (1, 50)),
        *((1, 100), (1, 200), (1, 500), (1, 1000), (1, 2000), (1, 5000), (1, 10000)),
    )
)
"""The scales of ISO 5455, paper to model, from the largest."""


CENTRING = 5.0
"""How far the centring marks reach out from the frame: to the outer edge of a border of grid references (ISO 5457, from
memory), which is left out. A home printer still prints that far. The standard carries them on into the drawing space
by 10; there they would lie on what is drawn.
"""


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet as it lies: name of its size, width and height in mm."""

    name: str
    width: float
    height: float

    @property
    def space(self) -> Window:
        """The drawing space inside the frame: left, bottom, right, top."""
        return (FILING, EDGE, self.width - EDGE, self.height - EDGE)


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What the title block says: the data fields of ISO 7200, and the scale."""

    title: str
    legal_owner: str = ""
    identification: str = ""
    issued: str = ""
    sheet: int = 1
    sheets: int = 1
    supplement: str = ""
    creator: str = ""
    approval: str = ""
    kind: str = ""
    scale: str = ""


@dataclass(frozen=True, slots=True)
class _Cell:
    """A box of the title block: left and bottom in the block, width, height, caption, height of the entry."""

    left: float
    bottom: float
    width: float
    height: float
    caption: str
    lettering: float = 2.5


BLOCK_WIDTH, BLOCK_HEIGHT = 180.0, 27.0
"""ISO 7200: 180 mm, so that the block fits across A4."""

CELLS: dict[str, _Cell] = {
    "creator": _Cell(0, 18, 45, 9, "Creator"),
    "approval": _Cell(45, 18, 45, 9, "Approval person"),
    "kind": _Cell(90, 18, 60, 9, "Document type"),
    "scale": _Cell(150, 18, 30, 9, "Scale"),
    "legal_owner": _Cell(0, 0, 45, 18, "Legal owner", 3.5),
    "title": _Cell(45, 9, 90, 9, "Title", 3.5),
    "identification": _Cell(135, 9, 45, 9, "Identification number"),
    "supplement": _Cell(45, 0, 75, 9, "Supplementary title"),
    "issued": _Cell(120, 0, 30, 9, "Date of issue"),
    "sheet": _Cell(150, 0, 30, 9, "Sheet"),
}

CAPTION = 2.5
"""Height of a caption."""

INSET = 1.2
"""From the left edge of a cell to its text."""

CONE = 7.0
"""Diameter of the large end of the cone in the symbol of projection: twice the small end (from memory)."""

FOOT = 1.2
"""From the lower edge of a cell to its entry."""


def paper(size: str, landscape: bool | None = None) -> Paper:
    """A standard sheet by name. A4 and Letter stand, larger ones lie, unless `landscape` says otherwise."""
    known = {name.lower(): name for name in SIZES}
    name = known.get(size.strip().lower())
    if name is None:
        raise RoomFileError(f"paper: size is {size!r}; it should be one of {', '.join(SIZES)}")
    short, long = SIZES[name]
    lies = name not in {"A4", "Letter"} if landscape is None else landscape
    return Paper(name, long, short) if lies else Paper(name, short, long)


def largest_scale(model_width: float, model_height: float, paper_width: float, paper_height: float) -> float:
    """The largest standard scale, paper over model, at which a model box fits in a paper box.

    Falls back on 1:10000, the smallest there is, for a model that fits at none.
    """
    for drawn, true in SCALES:
        scale = drawn / true
        if model_width * scale <= paper_width and model_height * scale <= paper_height:
            return scale
    return SCALES[-1][0] / SCALES[-1][1]


def scale_words(scale: float) -> str:
    """A scale as it is written on a drawing: 1:20, 1:1, 2:1."""
    return f"1:{1 / scale:.10g}" if scale <= 1 else f"{scale:.10g}:1"


def title_block_box(sheet: Paper) -> Window:
    """Where the title block lies: bottom right of the drawing space."""
    _, bottom, right, _ = sheet.space
    return (right - BLOCK_WIDTH, bottom, right, bottom + BLOCK_HEIGHT)


def frame_marks(sheet: Paper) -> tuple[Mark, ...]:
    """The frame round the drawing space and the centring marks on the axes of the sheet, in paper mm."""
    left, bottom, right, top = sheet.space
    across, up = sheet.width / 2, sheet.height / 2
    centring = (
        ((left - CENTRING, up), (left, up)),
        ((right, up), (right + CENTRING, up)),
        ((across, bottom - CENTRING), (across, bottom)),
        ((across, top), (across, top + CENTRING)),
    )
    marks = (_box(sheet.space, Layer.FRAME), *(polyline(line, Layer.FRAME) for line in centring))
    return (Group("frame", marks, repeated=True),)


def title_block_marks(sheet: Paper, block: TitleBlock) -> tuple[Mark, ...]:
    """The title block, in paper mm; entries too long for their box are set smaller, then shortened."""
    left, bottom, right, top = title_block_box(sheet)
    form: list[Mark] = []
    entries: list[Mark] = []
    for field, cell in CELLS.items():
        x, y = left + cell.left, bottom + cell.bottom
        entry = f"{block.sheet} of {block.sheets}" if field == "sheet" else getattr(block, field)
        text, height = fitted(entry, cell.width - 2 * INSET, cell.lettering)
        at = (x + INSET, y + cell.height - INSET / 2)
        form.append(_box((x, y, x + cell.width, y + cell.height), Layer.TITLE))
        form.append(Text(at, cell.caption, CAPTION, Layer.TITLE, Anchor.TOP_LEFT))
        entries.append(Text((x + INSET, y + FOOT), text, height, Layer.TITLE))
    form.append(_box((left, bottom, right, top), Layer.FRAME))
    return (Group("title block", tuple(form), repeated=True), *entries)


def first_angle_marks(sheet: Paper) -> tuple[Mark, ...]:
    """The symbol of first-angle projection (ISO 5456-2) over the right end of the title block, with its axis.

    A cone cut short, its small end at the left, and at its right what is seen of it from the left: two circles.
    """
    _, _, right, top = title_block_box(sheet)
    small, large = CONE / 2, CONE
    y, circles = top + large / 2 + 2.0, right - large / 2 - 3.0
    left, end = circles - 2.1 * large, circles - 1.1 * large
    cone = [(left, y - small / 2), (end, y - large / 2), (end, y + large / 2), (left, y + small / 2)]
    symbol = (
        polyline(cone, Layer.TRIM, closed=True),
        dot((circles, y), small / 2, Layer.TRIM),
        dot((circles, y), large / 2, Layer.TRIM),
        polyline([(left - 1.5, y), (end + 1.5, y)], Layer.CENTRE),
        polyline([(circles - large / 2 - 1.5, y), (circles + large / 2 + 1.5, y)], Layer.CENTRE),
        polyline([(circles, y - large / 2 - 1.5), (circles, y + large / 2 + 1.5)], Layer.CENTRE),
    )
    return (Group("first angle", symbol, "First-angle projection", repeated=True),)


def _box(window: Window, layer: Layer) -> Mark:
    left, bottom, right, top = window
    return polyline([(left, bottom), (right, bottom), (right, top), (left, top)], layer, closed=True)
