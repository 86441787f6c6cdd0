"""Sheets as SVG at true size: width and height in mm, one user unit a millimetre."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import groupby
from pathlib import Path
from xml.sax.saxutils import escape

from trimwright.drawing.font import FAMILY, clean, size
from trimwright.drawing.layers import STYLES
from trimwright.drawing.marks import Layer
from trimwright.drawing.number import number
from trimwright.drawing.primitives import Area, Block, Label, Primitive, Stroke
from trimwright.drawing.render import lower
from trimwright.drawing.sheet import Sheet
from trimwright.profile.outline import Arc, Point, Segment

__all__ = ["svg_text", "write_svg"]


def write_svg(sheet: Sheet, path: Path) -> None:
    """Write one sheet; the same sheet gives the same bytes."""
    path.write_text(svg_text(sheet), encoding="utf-8", newline="\n")


def svg_text(sheet: Sheet, blocks: Sequence[Block] | None = None) -> str:
    """The sheet as an SVG document; `blocks` are what `lower` makes of it, if that is known already."""
    writer = _Writer(sheet.height)
    drawn = "".join([writer.block(block) for block in (lower(sheet) if blocks is None else blocks)])
    defs = f"<defs>{''.join(writer.windows)}</defs>" if writer.windows else ""
    return f"{_head(sheet)}{defs}{drawn}</svg>\n"


def _head(sheet: Sheet) -> str:
    """The opening of the document, its title, and the white paper."""
    across, up = sheet.stretch
    width, height = number(sheet.width), number(sheet.height)
    # Where the sheet is stretched for a printer, its two ways are stretched by themselves.
    ratio = "" if across == up else ' preserveAspectRatio="none"'
    about = clean(sheet.description)
    return (
        '<?xml version="1.0" encoding="utf-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" role="img"'
        f' width="{number(sheet.width * across)}mm" height="{number(sheet.height * up)}mm"'
        f' viewBox="0 0 {width} {height}"{ratio}'
        f' font-family="{FAMILY}" stroke-linecap="round" stroke-linejoin="round">'
        f"<title>{escape(clean(sheet.title))}</title>"
        f"{f'<desc>{escape(about)}</desc>' if about else ''}"
        f'<rect x="0" y="0" width="{width}" height="{height}" fill="#ffffff"/>'
    )


class _Writer:
    """Turns primitives into SVG elements; y runs down and names become unique ids."""

    def __init__(self, height: float) -> None:
        self.height = height
        self.taken: dict[str, int] = {}
        """Ids in use, and the last number that was put after each."""
        self.windows: list[str] = []

    def block(self, block: Block) -> str:
        key = self.unique(block.name)
        title = f"<title>{escape(clean(block.title))}</title>" if block.title else ""
        clip = f' clip-path="url(#{self.window(block)})"' if block.window else ""
        return f'<g id="{key}"{clip}>{title}{"".join(self.elements(block.items))}</g>'

    def window(self, block: Block) -> str:
        """Note the clipping rectangle of a block; returns its id."""
        assert block.window is not None
        left, bottom, right, top = block.window
        key = self.unique(f"{block.name} window")
        x, y = self.point((left, top))
        self.windows.append(
            f'<clipPath id="{key}"><rect x="{x}" y="{y}" width="{number(right - left)}"'
            f' height="{number(top - bottom)}"/></clipPath>'
        )
        return key

    def elements(self, items: Iterable[Primitive]) -> Iterator[str]:
        """Neighbouring lines of one layer share a group, so that the layer's look is written once."""
        for (kind, layer), run in groupby(items, lambda item: (type(item), getattr(item, "layer", None))):
            if kind is Stroke and layer is not None:
                paths = [f'<path d="{self.path(s.segments, s.closed)}"/>' for s in run if isinstance(s, Stroke)]
                yield f"<g {_pen(layer)}>{''.join(paths)}</g>"
            else:
                yield from (self.block(item) if isinstance(item, Block) else self.solid(item) for item in run)

    def solid(self, item: Primitive) -> str:
        """A filled area or a text."""
        if isinstance(item, Area):
            return f'<path d="{self.path(item.segments, True)}" fill="{item.colour}"/>'
        assert isinstance(item, Label)
        x, y = self.point(item.position)
        turn = f' transform="rotate({number(-item.angle)} {x} {y})"' if item.angle else ""
        # textLength keeps the width right where the typeface has to be replaced by another.
        return (
            f'<text x="{x}" y="{y}"{turn} font-size="{number(size(item.height))}" fill="{STYLES[item.layer].colour}"'
            f' textLength="{number(item.width)}" lengthAdjust="spacingAndGlyphs">{escape(item.text)}</text>'
        )

    def path(self, segments: Iterable[Segment], closed: bool) -> str:
        """Path data; a new start wherever one segment does not begin at the end of the last."""
        parts: list[str] = []
        at: Point | None = None
        pen = ""
        for s in segments:
            if s.start != at:
                start = " ".join(self.point(s.start))
                if start != pen:
                    parts.append(f"M{start}")
            at, pen = s.end, " ".join(self.point(s.end))
            if isinstance(s, Arc):
                radius, large = number(s.radius), int(abs(s.sweep) > math.pi)
                parts.append(f"A{radius} {radius} 0 {large} {int(s.clockwise)} {pen}")
            else:
                parts.append(f"L{pen}")
        return "".join(parts) + ("Z" if closed else "")

    def point(self, point: Point) -> tuple[str, str]:
        return number(point[0]), number(self.height - point[1])

    def unique(self, name: str) -> str:
        """A valid XML id that reads like the name; a number is added to one that is taken."""
        slug = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "part"
        slug = slug if slug[0].isalpha() else f"n{slug}"
        key, count = slug, self.taken.get(slug, 0)
        while key in self.taken:
            count += 1
            key = f"{slug}-{count}"
        self.taken[slug] = max(1, count)
        self.taken[key] = self.taken.get(key, 1)
        return key


@cache
def _pen(layer: Layer) -> str:
    """The attributes by which a layer's lines are drawn."""
    style = STYLES[layer]
    pen = f'class="{style.name}" fill="none" stroke="{style.colour}" stroke-width="{number(style.width)}"'
    dashes = " ".join(number(d) for d in style.dashes)
    return f'{pen} stroke-linecap="butt" stroke-dasharray="{dashes}"' if dashes else pen
