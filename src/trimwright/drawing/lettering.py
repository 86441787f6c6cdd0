"""Where a text lies on paper: from an anchor and an angle to the left end of its base line."""

from __future__ import annotations

import math

from trimwright.drawing.font import DESCENT, clean, text_width
from trimwright.drawing.marks import Anchor, Layer
from trimwright.drawing.primitives import Area, Label, Primitive
from trimwright.profile.outline import Line, Point

__all__ = ["lettering"]

MARGIN = 0.4
"""White round a text that lies on a ground, mm."""


def lettering(
    position: Point,
    text: str,
    height: float,
    layer: Layer,
    anchor: Anchor = Anchor.BASE_LEFT,
    angle: float = 0.0,
    ground: bool = False,
) -> tuple[Primitive, ...]:
    """A label whose `anchor` lies at paper point `position`; with `ground`, a white area under it."""
    text = clean(text)
    if not text:
        return ()
    width = text_width(text, height)
    row, column = anchor.split()
    left = {"left": 0.0, "centre": width / 2, "right": width}[column]
    base = {"base": 0.0, "middle": height / 2, "top": height}[row]
    turned = math.radians(angle)
    cos, sin = math.cos(turned), math.sin(turned)

    def at(along: float, up: float) -> Point:
        x, y = along - left, up - base
        return (position[0] + x * cos - y * sin, position[1] + x * sin + y * cos)

    label = Label(at(0.0, 0.0), text, height, width, layer, angle)
    if not ground:
        return (label,)
    low, high = -DESCENT * height - MARGIN / 2, height + MARGIN
    corners = [at(-MARGIN, low), at(width + MARGIN, low), at(width + MARGIN, high), at(-MARGIN, high)]
    edges = tuple(Line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True))
    return (Area(edges, layer, "#ffffff"), label)
