"""A split collar: a flat plate in two halves that covers the slot round a pipe, put on from both sides."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from trimwright.mesh.gauges.bed import plate
from trimwright.profile.outline import Arc, Line, Outline, Point, Segment
from trimwright.setout.piece import Notch, Opens
from trimwright.tolerance import CHORD

if TYPE_CHECKING:
    from manifold3d import Manifold

__all__ = ["THICKNESS", "collar_halves"]

THICKNESS = 3.0
"""Of the plate, mm."""

LAP = 8.0
"""How far it reaches over the edge of the slot, mm."""

GAP = 0.5
"""Between collar and pipe all round, and between the two halves, mm."""


def collar_halves(notch: Notch, pipe_radius: float) -> Iterator[Manifold]:
    """The right and the left half of the collar of a slot for one pipe, lying flat, the pipe's middle at the origin.

    It is round on one side of the pipe and straight to the edge that the slot opens to on the other; for a hole, round.
    """
    outer = notch.radius + LAP
    depth = notch.depth - notch.radius
    shape = _circle(outer) if notch.opens is Opens.HOLE else _tongue(outer, depth)
    body = plate(shape, 0.0, THICKNESS) - plate(_circle(pipe_radius + GAP), -1.0, THICKNESS + 1.0)
    for sign in (-1.0, 1.0):
        yield body.trim_by_plane((sign, 0.0, 0.0), GAP / 2)


def _tongue(radius: float, depth: float) -> list[Point]:
    """A half circle round the pipe, carried straight to the edge that the slot opens to."""
    path: list[Segment] = [
        Line((radius, 0.0), (radius, depth)),
        Line((radius, depth), (-radius, depth)),
        Line((-radius, depth), (-radius, 0.0)),
        Arc((-radius, 0.0), (radius, 0.0), (0.0, 0.0), clockwise=False),
    ]
    return Outline.of(path).points(CHORD)


def _circle(radius: float) -> list[Point]:
    east, west = (radius, 0.0), (-radius, 0.0)
    return Outline.of([Arc(east, west, (0.0, 0.0), False), Arc(west, east, (0.0, 0.0), False)]).points(CHORD)
