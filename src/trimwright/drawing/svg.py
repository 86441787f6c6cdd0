"""Sheets as SVG at true size: width and height in mm, one user unit a millimetre."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import tostring

import svgwrite

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
    across, up = sheet.stretch
    # debug=False: svgwrite's check of every attribute doubles the time and knows less than a browser.
    drawing = svgwrite.Drawing(
        size=(f"{number(sheet.width * across)}mm", f"{number(sheet.height * up)}mm"),
        viewBox=f"0 0 {number(sheet.width)} {number(sheet.height)}",
        debug=False,
        # Where the sheet is stretched for a printer, its two ways are stretched by themselves.
        **({} if across == up else {"preserveAspectRatio": "none"}),
        role="img",
        font_family=FAMILY,
        stroke_linecap="round",
        stroke_linejoin="round",
    )
    drawing.set_desc(clean(sheet.title), clean(sheet.description) or None)
    drawing.add(drawing.rect((0, 0), (sheet.width, sheet.height), fill="#ffffff"))
    writer = _Writer(drawing, sheet.height)
    for block in lower(sheet) if blocks is None else blocks:
        drawing.add(writer.block(block))
    # As `tostring` of the drawing, but text from the start: that would encode and decode it, piece by piece.
    return f'<?xml version="1.0" encoding="utf-8"?>\n{tostring(drawing.get_xml(), encoding="unicode")}\n'


class _Writer:
    """Turns primitives into SVG elements; y runs down and names become unique ids."""

    def __init__(self, drawing: Any, height: float) -> None:
        self.drawing = drawing
        self.height = height
        self.taken: dict[str, int] = {}
        """Ids in use, and the last number that was put after each."""

    def block(self, block: Block) -> Any:
        group = self.drawing.g(id=self.unique(block.name))
        if block.title:
            group.set_desc(clean(block.title))
        if block.window:
            left, bottom, right, top = block.window
            clip = self.drawing.defs.add(self.drawing.clipPath(id=self.unique(f"{block.name} window")))
            clip.add(self.drawing.rect(self.point((left, top)), (right - left, top - bottom)))
            group["clip-path"] = clip.get_funciri()
        for element in self.elements(block.items):
            group.add(element)
        return group

    def elements(self, items: Iterable[Primitive]) -> Iterator[Any]:
        """Neighbouring lines of one layer are one path, so that the layer's look is written once."""
        for (kind, layer), run in groupby(items, lambda item: (type(item), getattr(item, "layer", None))):
            if kind is Block:
                yield from (self.block(item) for item in run if isinstance(item, Block))
            elif kind is Stroke and layer is not None:
                lines = (self.path(item.segments, item.closed) for item in run if isinstance(item, Stroke))
                yield self.drawing.path(d="".join(lines), **_pen(layer))
            else:
                yield from (self.solid(item) for item in run if isinstance(item, Area | Label))

    def solid(self, item: Area | Label) -> Any:
        if isinstance(item, Area):
            return self.drawing.path(d=self.path(item.segments, True), fill=item.colour)
        x, y = self.point(item.position)
        # textLength keeps the width right where the typeface has to be replaced by another.
        turn = {"transform": f"rotate({number(-item.angle)} {x} {y})"} if item.angle else {}
        text = self.drawing.text(
            item.text,
            font_size=number(size(item.height)),
            fill=STYLES[item.layer].colour,
            textLength=number(item.width),
            lengthAdjust="spacingAndGlyphs",
            **turn,
        )
        text["x"], text["y"] = x, y  # as arguments they would be taken for lists, one place a letter
        return text

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
def _pen(layer: Layer) -> dict[str, str]:
    """The attributes by which a layer's lines are drawn."""
    style = STYLES[layer]
    pen = {
        "class": style.name,
        "fill": "none",
        "stroke": style.colour,
        "stroke_width": number(style.width),
    }
    if style.dashes:
        pen["stroke_linecap"] = "butt"
        pen["stroke_dasharray"] = " ".join(number(d) for d in style.dashes)
    return pen
