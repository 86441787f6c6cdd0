"""What stands on the page, as plain strings and rows: the page decides only how it looks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trimwright.mesh.body import Body

__all__ = ["Figure", "Link", "PageData", "Picture", "PieceCard", "Row", "SheetView", "Stage", "Table", "Work"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One number of the answer at the head of the page; `bad` marks one that needs attention."""

    label: str
    value: str
    note: str = ""
    bad: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A PNG, kept inside the page while there is room; `href` is the same picture as a file of the pack.

    One that lies `over` the first picture has its place and its size: a slider shows more of the one or of the other.
    """

    title: str
    href: str
    data: bytes
    over: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetView:
    """A drawing; `svg` is kept inside the page while there is room, else the page shows the file at `href`."""

    title: str
    href: str
    svg: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Cells of one line of a table. `piece` ties it to a piece in the 3D view; `bad` marks what does not fit.

    `href` is where its first cell leads. A `sum` adds up the rows above it and stays below them however they are
    sorted.
    """

    cells: tuple[str, ...]
    piece: str = ""
    href: str = ""
    bad: bool = False
    sum: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table; `name` is its place on the page (letters, digits, hyphens), `numbers` the columns set to the right."""

    name: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    numbers: frozenset[int] = frozenset()
    about: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A file of the pack, its address relative to the page."""

    label: str
    href: str
    about: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutout:
    """A part of one of the page's `card_sheets`: left, top, width and height as parts of the sheet's own."""

    title: str
    sheet: int
    box: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceCard:
    """What is said of a piece when it is picked, and from where it is looked at: from its wall into the room.

    `inward` is a unit vector in plan; (0, 0) leaves the view as it is. `cuts` are shown with it.
    """

    piece: str
    trim: str
    text: str
    inward: tuple[float, float] = (0.0, 0.0)
    cuts: tuple[Cutout, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One step of the work: what is said of it, and the ids of the pieces that go up in it.

    `needs` are the few words that must not be missed, as "two people"; `bad` marks a step that cannot be done so.
    """

    title: str
    words: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    pieces: tuple[str, ...] = ()
    bad: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """The steps in their order, and the room as it is drawn small beside each.

    `room` is the path of the room's own lines, `faces` those of the pieces by id, the furthest first, as the path data
    of SVG in a box of `width` by `height`.
    """

    stages: tuple[Stage, ...]
    room: str
    faces: Mapping[str, str]
    width: int
    height: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PageData:
    """Everything on the page, top to bottom. Empty parts are left out."""

    title: str
    summary: str = ""
    figures: tuple[Figure, ...] = ()
    notes: tuple[str, ...] = ()
    pictures: tuple[Picture, ...] = ()
    bodies: tuple[Body, ...] = ()
    cards: tuple[PieceCard, ...] = ()
    card_sheets: tuple[SheetView, ...] = ()
    cautions: tuple[str, ...] = ()
    work: Work | None = None
    tables: tuple[Table, ...] = ()
    sheets: tuple[SheetView, ...] = ()
    links: tuple[Link, ...] = ()
    foot: str = ""
