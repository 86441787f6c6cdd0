"""All templates of a job on the paper of an office printer: the printer's check, a list, then page by page."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from trimwright.drawing.developed.sheets import COLUMN, MARGIN, Strips, developed_templates
from trimwright.drawing.font import fitted
from trimwright.drawing.full_size import FullSize
from trimwright.drawing.marks import Anchor, Layer, Mark, Text
from trimwright.drawing.press.calibration import calibration_page
from trimwright.drawing.press.nesting import nested
from trimwright.drawing.press.page import Body, Page, Printer, numbered
from trimwright.drawing.press.template import Template, template_of, without_bars
from trimwright.drawing.press.tiling import tiles
from trimwright.drawing.sheet import Sheet
from trimwright.setout.piece import SetOut

__all__ = ["pages_of", "template_pages"]

GAP = 6.0
"""Between templates on one page."""

TITLE, WORDS, PITCH = 7.0, 3.5, 5.6
"""Heights of title and words of the list, and from line to line."""


def template_pages(
    set_out: SetOut, found: Sequence[FullSize], strips: Sequence[Strips], printer: Printer, issued: str
) -> list[Sheet]:
    """The templates `found`, and the strips of unrolled cuts packed for the page; what is too large is tiled."""
    width, height = printer.page().room
    fitting = (width + 2 * MARGIN + COLUMN, height + 2 * MARGIN + COLUMN)
    drawn = [_laid(template, printer) for template in found]
    packed = [without_bars(sheet) for sheet in developed_templates(set_out, strips, fitting)]
    return pages_of([*drawn, *packed], printer, set_out.room.name, issued)


def _laid(template: FullSize, printer: Printer) -> Template:
    """Its words where the page has room for them, standing or else lying."""
    pages = (printer.page(), printer.page(lying=True))
    ways = [template_of(template, page.room[0]) for page in pages]
    return next((way for way, page in zip(ways, pages, strict=True) if _fits(way, page)), ways[0])


def pages_of(found: Sequence[Template], printer: Printer, room: str, issued: str) -> list[Sheet]:
    """The printer's check, the list of templates, then small templates nested and large ones tiled."""
    stands, lies = printer.page(), printer.page(lying=True)
    small = [t for t in found if _fits(t, stands) or _fits(t, lies)]
    large = [t for t in found if not (_fits(t, stands) or _fits(t, lies))]
    placed = [*_nested(small, stands, lies)]
    for template in large:
        # Whichever way round takes fewer tiles.
        ways = (tiles(template, page) for page in (stands, lies))
        placed += [((template,), body) for body in min(ways, key=len)]
    check = calibration_page(printer)
    heads = math.ceil(len(found) / _lines_on(stands))
    listed = list(_contents(found, placed, 2 + heads, stands))
    return numbered([check, *listed, *(body for _, body in placed)], room, issued)


def _fits(template: Template, page: Page) -> bool:
    return template.size[0] <= page.room[0] and template.size[1] <= page.room[1]


Placed = tuple[tuple[Template, ...], Body]
"""A page, and the templates on it."""


def _nested(small: Sequence[Template], stands: Page, lies: Page) -> list[Placed]:
    """As many templates to a page as it holds, on pages that lie or stand, whichever are fewer."""
    ways = []
    for first, second in ((stands, lies), (lies, stands)):
        fitting = [t for t in small if _fits(t, first)]
        others = [t for t in small if not _fits(t, first)]
        ways.append([*_filled(fitting, first), *_filled(others, second)])
    return min(ways, key=len)


def _filled(small: Sequence[Template], page: Page) -> Iterator[Placed]:
    left, _, _, top = page.window
    for items in nested([t.size for t in small], page.room, GAP):
        own = tuple(small[item.index] for item in items)
        views = [v for t, n in zip(own, items, strict=True) for v in t.views_at((left + n.across, top - n.down))]
        title = "; ".join(t.title for t in own)
        yield own, Body(page=page, name=own[0].name, title=title, views=tuple(views))


def _lines_on(page: Page) -> int:
    return math.floor((page.room[1] - 2 * TITLE) / PITCH)


def _contents(found: Sequence[Template], placed: Sequence[Placed], first: int, page: Page) -> Iterator[Body]:
    """On which page each template is, in the order in which they are made, not in that of pages; tiles have several."""
    pages: dict[str, list[int]] = {template.name: [] for template in found}
    for number, (own, _) in enumerate(placed, first):
        for template in own:
            pages[template.name].append(number)
    lines = [(template.title, _span(pages[template.name])) for template in found]
    size = _lines_on(page)
    for k in range(0, len(lines), size):
        name = "contents" if k == 0 else f"contents-{k // size + 1}"
        yield Body(page=page, name=name, title="List of templates", marks=tuple(_list(lines[k : k + size], page)))


def _span(numbers: Sequence[int]) -> str:
    return str(numbers[0]) if len(numbers) == 1 else f"{numbers[0]} to {numbers[-1]}, {len(numbers)} tiles"


def _list(lines: Sequence[tuple[str, str]], page: Page) -> Iterator[Mark]:
    left, _, right, top = page.window
    yield Text((left, top - TITLE), "List of templates", TITLE, Layer.TITLE)
    for k, (title, pages) in enumerate(lines):
        level = top - 2 * TITLE - (k + 1) * PITCH + 2.0
        text, high = fitted(title, right - left - 36.0, WORDS)
        yield Text((left, level), text, high)
        yield Text((right, level), pages, WORDS, anchor=Anchor.BASE_RIGHT)
