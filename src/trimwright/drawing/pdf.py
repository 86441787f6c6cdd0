"""Sheets as one PDF at true size: vector, the typeface embedded, printing at 100 % asked for.

The document is reportlab's; what is on a page is written here, by the operators of ISO 32000-1, annex A.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date as Date
from functools import cache
from io import BytesIO
from pathlib import Path

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from trimwright.drawing.font import clean, load, size
from trimwright.drawing.layers import STYLES
from trimwright.drawing.marks import Layer
from trimwright.drawing.number import number
from trimwright.drawing.primitives import Area, Block, Label, Primitive, Stroke
from trimwright.drawing.render import lower
from trimwright.drawing.sheet import Sheet
from trimwright.profile.outline import Arc, Point, Segment

__all__ = ["Document", "pdf_bytes", "write_pdf"]

POINT = 25.4 / 72
"""A PostScript point in mm."""

ROUND, BUTT = 1, 0


def write_pdf(sheets: Sequence[Sheet], path: Path, title: str, date: Date) -> None:
    """Write the sheets as one document; the same sheets and date give the same bytes."""
    path.write_bytes(pdf_bytes(sheets, title, date))


def pdf_bytes(sheets: Sequence[Sheet], title: str, date: Date) -> bytes:
    """The sheets as a PDF document dated `date`, one page each, with an entry each in the outline."""
    document = Document(title, date)
    for sheet in sheets:
        document.add(sheet, lower(sheet))
    return document.finished()


class Document:
    """A PDF document that grows page by page."""

    def __init__(self, title: str, date: Date) -> None:
        self._file = BytesIO()
        self._canvas = canvas = Canvas(self._file, invariant=1, pageCompression=1)
        self._words: dict[tuple[str, float], str] = {}
        canvas.setTitle(clean(title))
        canvas.setCreator("trimwright")
        canvas.setAuthor("")
        canvas.setSubject("")
        canvas.setDateFormatter(lambda *_: f"D:{date:%Y%m%d}000000Z")
        # A sheet scaled to the printer's margins is no longer at scale: ask viewers not to.
        canvas.setViewerPreference("PrintScaling", "None")

    def add(self, sheet: Sheet, blocks: Sequence[Block]) -> None:
        """A page for a sheet, of which `blocks` is what `lower` makes."""
        canvas, (across, up) = self._canvas, sheet.stretch
        canvas.setPageSize((sheet.width * across / POINT, sheet.height * up / POINT))
        canvas.bookmarkPage(sheet.name)
        canvas.addOutlineEntry(clean(sheet.title) or sheet.name, sheet.name)
        canvas.scale(across / POINT, up / POINT)
        canvas.setLineJoin(ROUND)
        canvas.addLiteral("\n".join(self._drawn(blocks)))
        canvas.showPage()

    def finished(self) -> bytes:
        """The whole document; no page can be added any more."""
        with _binary_streams():
            self._canvas.save()
        return self._file.getvalue()

    def _drawn(self, items: Iterable[Primitive]) -> Iterator[str]:
        """Operators that draw primitives in millimetres, in order; a pen or colour is named where it changes."""
        pen: Layer | None = None
        colour = ""
        for item in items:
            match item:
                case Stroke():
                    if item.layer is not pen:
                        pen = item.layer
                        yield _pen(pen)
                    yield f"{_path(item.segments)} {'s' if item.closed else 'S'}"
                case Area():
                    if item.colour != colour:
                        colour = item.colour
                        yield f"{_rgb(colour)} rg"
                    yield f"{_path(item.segments)} f*"
                case Label():
                    if (wanted := STYLES[item.layer].colour) != colour:
                        colour = wanted
                        yield f"{_rgb(colour)} rg"
                    yield self._label(item)
                case Block():
                    yield from self._block(item)
                    pen, colour = None, ""

    def _block(self, block: Block) -> Iterator[str]:
        if block.window is None:
            yield from self._drawn(block.items)
            return
        left, bottom, right, top = block.window
        yield f"q {number(left)} {number(bottom)} {number(right - left)} {number(top - bottom)} re W n"
        yield from self._drawn(block.items)
        yield "Q"

    def _label(self, item: Label) -> str:
        turn = math.radians(item.angle)
        cos, sin = number(math.cos(turn)), number(math.sin(turn))
        back = number(-math.sin(turn))
        return f"q {cos} {sin} {back} {cos} {_point(item.position)} cm {self._written(item.text, item.height)} Q"

    def _written(self, text: str, height: float) -> str:
        """A text that starts at the origin; the letters it needs go into the document."""
        key = (text, height)
        if key not in self._words:
            words = self._canvas.beginText()
            words.setFont(load(), size(height))
            words.textOut(text)
            self._words[key] = words.getCode()
        return self._words[key]


@contextmanager
def _binary_streams() -> Iterator[None]:
    """Pages as compressed bytes and not as text made of them: a fifth smaller, and sooner written."""
    before = rl_config.useA85
    rl_config.useA85 = 0
    try:
        yield
    finally:
        rl_config.useA85 = before


@cache
def _pen(layer: Layer) -> str:
    """Colour, width, ends and dashes of a layer's lines."""
    style = STYLES[layer]
    dashes = " ".join(number(d) for d in style.dashes)
    return f"{_rgb(style.colour)} RG {number(style.width)} w {BUTT if dashes else ROUND} J [{dashes}] 0 d"


@cache
def _rgb(colour: str) -> str:
    """#rrggbb as three parts of one."""
    return " ".join(number(int(colour[k : k + 2], 16) / 255) for k in (1, 3, 5))


def _path(segments: Iterable[Segment]) -> str:
    """A path; a new start wherever one segment does not begin at the end of the last."""
    parts: list[str] = []
    pen: Point | None = None
    for s in segments:
        if pen != s.start:
            parts.append(f"{_point(s.start)} m")
        if isinstance(s, Arc):
            parts.extend(_arc(s))
        else:
            parts.append(f"{_point(s.end)} l")
        pen = s.end
    return " ".join(parts)


def _point(point: Point) -> str:
    return f"{number(point[0])} {number(point[1])}"


def _arc(arc: Arc) -> Iterator[str]:
    """An arc as cubics of at most 45 degrees: handles 4/3 tan(t/4) r, off by 4e-6 of the radius at most."""
    count = max(1, math.ceil(abs(arc.sweep) / (math.pi / 4) - 1e-9))
    handle = 4 / 3 * math.tan(arc.sweep / count / 4)
    (cx, cy), (x0, y0) = arc.centre, arc.start
    for k in range(1, count + 1):
        x1, y1 = arc.end if k == count else arc.at(k / count)
        first = (x0 - handle * (y0 - cy), y0 + handle * (x0 - cx))
        second = (x1 + handle * (y1 - cy), y1 - handle * (x1 - cx))
        yield f"{_point(first)} {_point(second)} {_point((x1, y1))} c"
        x0, y0 = x1, y1
