"""The few things a writer must be able to put on paper. All in paper millimetres, x right, y up."""

from __future__ import annotations

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


def extents(item: Stroke | Area) -> Window:
    """Left, bottom, right, top of a line or an area, the width of the line left out."""
    points = [p for s in item.segments for p in s.extremes()]
    across, up = [p[0] for p in points], [p[1] for p in points]
    return (min(across), min(up), max(across), max(up))
