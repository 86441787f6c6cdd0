"""The few things a writer must be able to put on paper. All in paper millimetres, x right, y up."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from trimwright.drawing.marks import Layer
from trimwright.profile.outline import Point, Segment

__all__ = ["Area", "Block", "Label", "Primitive", "Stroke", "Window", "extents"]

Window = tuple[float, float, float, float]
"""Left, bottom, right, top."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line of straight and circular edges in the colour, width and line type of its layer."""

    segments: tuple[Segment, ...]
    layer: Layer
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Area:
    """A closed area filled with `colour` (#rrggbb), with no outline."""

    segments: tuple[Segment, ...]
    layer: Layer
    colour: str


@dataclass(frozen=True, slots=True)
class Label:
    """A line of clean text: `position` is the left end of its base line, `height` that of its capitals."""

    position: Point
    text: str
    height: float
    width: float
    layer: Layer
    angle: float = 0.0


@dataclass(frozen=True, slots=True)
class Block:
    """Primitives that belong together under a name; nothing of them shows outside `window`."""

    name: str
    items: tuple[Primitive, ...]
    title: str = ""
    window: Window | None = None


Primitive = Stroke | Area | Label | Block


def extents(item: Primitive) -> Window:
    """Left, bottom, right, top of an item, the width of lines and descenders left out; a block as if unclipped."""
    points = list(_outermost(item))
    across, up = [p[0] for p in points], [p[1] for p in points]
    return (min(across), min(up), max(across), max(up))


def _outermost(item: Primitive) -> Iterator[Point]:
    """Points among which the extents are found."""
    match item:
        case Stroke(segments=segments) | Area(segments=segments):
            for s in segments:
                yield from s.extremes()
        case Block(items=items):
            for inner in items:
                yield from _outermost(inner)
        case Label((x, y), _, height, width, _, angle):
            cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            for along, above in ((0.0, 0.0), (width, 0.0), (0.0, height), (width, height)):
                yield (x + along * cos - above * sin, y + along * sin + above * cos)
