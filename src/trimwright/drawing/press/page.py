"""A page of templates: what every printer can reach, and what stands on each page beside the templates.

All lengths are those of the print as it comes out. A printer that draws a true 100 mm as 99.2 mm is undone by the
stretch of the sheet; to the layout its paper is then narrower: 210 mm of it hold what the printer makes of 208.3.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trimwright.drawing.font import fitted
from trimwright.drawing.marks import Anchor, Layer, Mark, Text
from trimwright.drawing.paper import SIZES
from trimwright.drawing.primitives import Window
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.template_marks import BAR, check_bars
from trimwright.profile.outline import Point

__all__ = ["CROP", "KEY", "Body", "Page", "Printer", "numbered"]

FOOT = 17.0
"""Height of the words and the level bar at the foot of a page."""

SIDE = 6.0
"""Width of the column of the upright bar."""

CROP = 4.0
"""Kept free round the templates for marks to cut by."""

KEY = (34.0, 14.0)
"""Width and height kept at the right of the foot for a key plan."""

NAME, WORDS = 3.5, 2.5
"""Heights of lettering in the foot."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printer:
    """The paper in the printer, its white edge, and how long it draws a true millimetre.

    `across` goes with the short side of the paper, `along` with the long side, whichever way a page is turned.
    """

    size: str = "A4"
    margin: float = 10.0
    across: float = 1.0
    along: float = 1.0

    def page(self, lying: bool = False) -> Page:
        """A page that stands, or lies."""
        short, long = SIZES[self.size]
        sides = ((short, self.across), (long, self.along))
        (width, wide), (height, high) = reversed(sides) if lying else sides
        return Page(width * wide, height * high, self.margin, (1 / wide, 1 / high))


@dataclass(frozen=True, slots=True)
class Page:
    """Width and height of the paper, its white edge, and the stretch of what is drawn on it."""

    width: float
    height: float
    margin: float
    stretch: Point

    @property
    def window(self) -> Window:
        """Where templates may lie: left, bottom, right, top."""
        left = self.margin + SIDE + CROP
        return (left, self.margin + FOOT + CROP, self.width - self.margin - CROP, self.height - self.margin - CROP)

    @property
    def room(self) -> tuple[float, float]:
        """Width and height of the window."""
        left, bottom, right, top = self.window
        return right - left, top - bottom


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """What is on a page but its foot: its name, views and marks. `keyed`: it has a key plan in the foot."""

    page: Page
    name: str
    title: str
    views: tuple[View, ...] = ()
    marks: tuple[Mark, ...] = ()
    keyed: bool = False


def numbered(bodies: Sequence[Body], room: str, issued: str) -> list[Sheet]:
    """Pages with their feet: names, room, date, page n of N, the two bars, and how to print."""
    count = len(bodies)
    return [
        Sheet(
            name=body.name,
            title=body.title,
            width=body.page.width,
            height=body.page.height,
            views=body.views,
            marks=(*body.marks, *_foot(body, f"{room}, {issued}", f"page {k + 1} of {count}")),
            description=f"Page {k + 1} of {count} of the templates of {room}, at full size",
            stretch=body.page.stretch,
        )
        for k, body in enumerate(bodies)
    ]


def _foot(body: Body, job: str, number: str) -> list[Mark]:
    page = body.page
    corner = (page.margin + 5.0, page.margin + 2.0)
    left, right = page.margin + SIDE + 2.0, page.width - page.margin
    room = right - left - (KEY[0] + 2.0 if body.keyed else 0.0)
    title, high = fitted(body.title, room, NAME)
    about, small = fitted(f"{job}, {number}", room, WORDS)
    beside = corner[0] + BAR + 3.0
    how, low = fitted("Print at 100 %, do not fit", left + room - beside, WORDS)
    return [
        Text((left, page.margin + 13.0), title, high, Layer.LABEL),
        Text((left, page.margin + 8.2), about, small, Layer.LABEL),
        *check_bars(corner),
        Text((beside, corner[1]), how, low, Layer.CHECK, Anchor.LEFT),
    ]
