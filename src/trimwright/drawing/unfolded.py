"""All walls side by side, as if the room were cut open at its first corner and laid flat."""

from __future__ import annotations

from dataclasses import replace

from trimwright.drawing.layout import drawn_box
from trimwright.drawing.marks import Anchor, Dimension, Drawing, Fill, Group, Hatch, Layer, Mark, Path, Running, Text
from trimwright.drawing.wall import wall_elevation
from trimwright.profile.outline import Point
from trimwright.setout.piece import SetOut

__all__ = ["all_walls", "moved"]

BETWEEN = 15.0
"""Paper mm kept free between the dimensions of neighbouring walls."""


def all_walls(set_out: SetOut, scale: float = 0.05) -> list[Drawing]:
    """The elevation of each wall with its name over it, moved along x so that none touches the next; wall 1 at 0."""
    drawings: list[Drawing] = []
    edge: float | None = None
    for wall in set_out.room.walls:
        drawing = wall_elevation(set_out, wall, scale)
        top = drawn_box(drawing, scale).top / scale
        name = Text(
            (wall.length / 2, top + 6 / scale), f"Wall {wall.index + 1}: {wall.name}", 5.0, Layer.TITLE, Anchor.BASE
        )
        drawing = drawing.plus([name])
        box = drawn_box(drawing, scale)
        shift = 0.0 if edge is None else edge + (BETWEEN - box.left) / scale
        drawings.append(Drawing(drawing.name, tuple(moved(mark, (shift, 0.0)) for mark in drawing.marks)))
        edge = shift + box.right / scale
    return drawings


def moved(mark: Mark, by: Point) -> Mark:
    """A mark moved by a distance in model mm."""

    def at(point: Point) -> Point:
        return (point[0] + by[0], point[1] + by[1])

    match mark:
        case Path() | Fill() | Hatch():
            return replace(mark, segments=tuple(s.moved(*by) for s in mark.segments))
        case Text():
            return replace(mark, position=at(mark.position))
        case Dimension():
            return replace(mark, start=at(mark.start), end=at(mark.end))
        case Running():
            return replace(mark, origin=at(mark.origin), points=tuple(at(p) for p in mark.points))
        case Group():
            return replace(mark, marks=tuple(moved(inner, by) for inner in mark.marks))
