"""The flat back of a sprung cornice: the straight edge behind it, from its wall edge to its ceiling edge."""

from __future__ import annotations

import math

from trimwright.profile.outline import Line, Outline
from trimwright.tolerance import TOUCH

__all__ = ["flat_back"]

LEAST_PART = 0.5
"""A slope behind a cornice shorter than this part of its face width is a chamfer that clears the corner, no bed."""


def flat_back(outline: Outline) -> Line | None:
    """The back on which a sprung cornice lies on the saw, from its wall edge (low) to its ceiling edge, or None.

    It leans out from the wall, has the material on its room side, and nothing of the section lies behind it.
    """
    back, bottom, front, top = outline.bounds
    face_width = math.hypot(front - back, top - bottom)
    for edge in outline.segments:
        # Anticlockwise, the back is passed from the ceiling edge down to the wall edge.
        (x0, y0), (x1, y1) = edge.start, edge.end
        leans = x0 - x1 > TOUCH and y0 - y1 > TOUCH
        if isinstance(edge, Line) and leans and edge.length > LEAST_PART * face_width and _bed(outline, edge):
            return edge.reversed()
    return None


def _bed(outline: Outline, edge: Line) -> bool:
    """True if the whole outline lies on the material side of an edge."""
    (x0, y0), (x1, y1) = edge.start, edge.end
    ux, uy = (x1 - x0) / edge.length, (y1 - y0) / edge.length
    return all(ux * (y - y0) - uy * (x - x0) > -TOUCH for segment in outline.segments for x, y in segment.extremes())
