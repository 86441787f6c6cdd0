"""What can be drawn: plain values that know no file format. Writers replay them as SVG, PDF or DXF.

A `Drawing` holds marks in model millimetres (x right, y up). Sizes that must read the same at any scale (text
height, arrow length, hatch spacing, offset of a dimension line) are in paper millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import Enum, StrEnum

from trimwright.profile.outline import Arc, Line, Point, Segment

__all__ = [
    "Anchor",
    "Dimension",
    "DimensionKind",
    "Drawing",
    "Fill",
    "Group",
    "Hatch",
    "Layer",
    "Mark",
    "Path",
    "Running",
    "Text",
    "dot",
    "polyline",
]


class Layer(Enum):
    """What a mark stands for; `drawing/layers.py` gives each its name, colour, width and line type."""

    WALL = "wall"
    CEILING = "ceiling"
    FLOOR = "floor"
    OPENING = "opening"
    PIPE = "pipe"
    FITTING = "fitting"
    TRIM = "trim"
    HIDDEN = "hidden"
    JOINT = "joint"
    SECTION = "section"
    HATCHING = "hatching"
    SETTING_OUT = "setting out"
    CENTRE = "centre"
    CUT = "cut"
    DIMENSION = "dimension"
    LABEL = "label"
    FRAME = "frame"
    TITLE = "title"
    CHECK = "check bar"
    STRIP = "strip"
    ISOLINE = "isoline"


class Anchor(StrEnum):
    """Which point of a text lies at its position: row (top, middle, base) and column (left, centre, right)."""

    TOP_LEFT = "top left"
    TOP = "top centre"
    TOP_RIGHT = "top right"
    LEFT = "middle left"
    MIDDLE = "middle centre"
    RIGHT = "middle right"
    BASE_LEFT = "base left"
    BASE = "base centre"
    BASE_RIGHT = "base right"


class DimensionKind(StrEnum):
    """What a dimension measures: along x, along y, or straight from point to point."""

    HORIZONTAL = "horizontal"
    VERTICAL = "vertical"
    ALIGNED = "aligned"


@dataclass(frozen=True, slots=True)
class Path:
    """Connected straight and circular edges, open or closed."""

    segments: tuple[Segment, ...]
    layer: Layer
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Fill:
    """A closed area in plain grey, 0 black to 1 white, or in a colour (#rrggbb)."""

    segments: tuple[Segment, ...]
    layer: Layer
    shade: float | str = 0.85


@dataclass(frozen=True, slots=True)
class Hatch:
    """A closed area hatched with lines at `angle` degrees, `spacing` paper mm apart."""

    segments: tuple[Segment, ...]
    layer: Layer = Layer.HATCHING
    angle: float = 45.0
    spacing: float = 2.0


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text, `height` of its capitals in paper mm, turned `angle` degrees anticlockwise."""

    position: Point
    text: str
    height: float = 2.5
    layer: Layer = Layer.LABEL
    anchor: Anchor = Anchor.BASE_LEFT
    angle: float = 0.0
    ground: bool = False
    """True: a white ground is laid under the text, so that lines do not run through it."""


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension between two points; its line lies `offset` paper mm to the left of start -> end.

    For HORIZONTAL the line lies `offset` above (negative: below) the higher (lower) point; for VERTICAL to the
    left (negative: right). `text` replaces the measured value; it is in mm to one decimal, `.0` dropped. A value
    that is too wide for its line stands after it as it is read, or `before` it.
    """

    start: Point
    end: Point
    offset: float
    kind: DimensionKind = DimensionKind.ALIGNED
    text: str | None = None
    layer: Layer = Layer.DIMENSION
    before: bool = False


@dataclass(frozen=True, slots=True)
class Running:
    """Running dimensions: distances of `points` from `origin` along the direction `along` (unit vector).

    Drawn on one line `offset` paper mm to the left of `along` (negative: right), with a mark at the origin and
    each value written at its point, turned across the line.
    """

    origin: Point
    along: Point
    points: tuple[Point, ...]
    offset: float
    texts: tuple[str, ...] | None = None
    layer: Layer = Layer.DIMENSION


@dataclass(frozen=True, slots=True)
class Group:
    """Marks that belong together; `name` is what a reader of the file finds (a piece id, a wall).

    `repeated`: the same on other sheets; formats that know such a thing hold it once and refer to it.
    """

    name: str
    marks: tuple[Mark, ...]
    title: str = ""
    repeated: bool = False


Mark = Path | Fill | Hatch | Text | Dimension | Running | Group


@dataclass(frozen=True, slots=True)
class Drawing:
    """Marks in model millimetres."""

    name: str
    marks: tuple[Mark, ...] = field(default_factory=tuple)

    def plus(self, marks: Iterable[Mark]) -> Drawing:
        """The same drawing with more marks on top."""
        return Drawing(self.name, (*self.marks, *marks))


def polyline(points: Iterable[Point], layer: Layer, closed: bool = False) -> Path:
    """A path of straight edges through `points`."""
    run = list(points)
    ends = [*run[1:], run[0]] if closed else run[1:]
    return Path(tuple(Line(a, b) for a, b in zip(run, ends, strict=False)), layer, closed)


def dot(centre: Point, radius: float, layer: Layer) -> Path:
    """A circle as two half-turn arcs."""
    (x, y) = centre
    east, west = (x + radius, y), (x - radius, y)
    return Path((Arc(east, west, centre, False), Arc(west, east, centre, False)), layer, True)
