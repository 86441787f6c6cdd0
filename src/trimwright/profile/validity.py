"""Whether an outline can be a section: closed, with area, and never touching or crossing itself."""

from __future__ import annotations

import math
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from trimwright.profile.outline import Arc, Outline, Point
from trimwright.tolerance import COINCIDENT, SECTION_AREA

__all__ = ["fault"]

Array = NDArray[np.float64]

ARC_STEP = math.radians(6)
"""Arcs are tried for crossings as chords of at most this angle (a hundredth of a radius of 7 is 0.01 mm off)."""

BLOCK = 256
"""Edges tried at a time."""


def fault(outline: Outline) -> str | None:
    """What keeps an outline from being a section, in words that say where; None if nothing does."""
    if not all(map(math.isfinite, chain.from_iterable((*s.start, *s.end) for s in outline.segments))):
        return "a point of the outline is without end: its numbers are too large"
    if len(outline.segments) < 2 or outline.area < SECTION_AREA:
        return "the outline encloses no area"
    for one, two in zip(outline.segments, (*outline.segments[1:], outline.segments[0]), strict=True):
        if math.dist(one.end, two.start) > 10 * COINCIDENT:
            return f"the outline is not closed: there is a gap at {_named(one.end)}"
    place = _meeting(np.array(_sampled(outline)))
    return None if place is None else f"the outline crosses or touches itself near {_named(place)}"


def _sampled(outline: Outline) -> list[Point]:
    """Points on the outline itself: all ends, and arcs at steps of at most ARC_STEP."""
    points: list[Point] = []
    for segment in outline.segments:
        points.append(segment.start)
        if isinstance(segment, Arc):
            count = max(2, math.ceil(abs(segment.sweep) / ARC_STEP))
            points += [segment.at(k / count) for k in range(1, count)]
    return points


def _meeting(points: Array) -> Point | None:
    """A point where the closed polygon meets itself: an end on another edge (also a fold back), or a crossing."""
    blocks = range(0, len(points), BLOCK)
    return next((place for first in blocks if (place := _meeting_in_block(points, first)) is not None), None)


def _meeting_in_block(points: Array, first: int) -> Point | None:
    """The same for BLOCK points and the edges that start at them, against all edges: memory stays small."""
    count = len(points)
    along = np.roll(points, -1, axis=0) - points
    # One point more than edges in the block, since the last edge ends there. Index k runs over these, i over edges.
    own = np.arange(first, min(first + BLOCK, count) + 1) % count
    away = points[own][:, None, :] - points[None, :, :]
    part = np.clip((away * along).sum(-1) / (along**2).sum(-1), 0.0, 1.0)
    gap = np.linalg.norm(away - part[..., None] * along, axis=-1)
    rows = np.arange(len(own))
    gap[rows, own] = np.inf
    gap[rows, own - 1] = np.inf
    touching = np.argwhere(gap < COINCIDENT)
    if len(touching):
        x, y = points[own[touching[0][0]]]
        return (float(x), float(y))
    # side[k, i]: on which side of edge i point k lies. Two edges cross if each parts the other's ends.
    side = np.sign(along[:, 0] * away[..., 1] - along[:, 1] * away[..., 0])
    parts_them = side[:-1] * side[1:] < 0
    ahead, mine = -away[:-1], along[own[:-1]][:, None, :]
    other = np.sign(mine[..., 0] * ahead[..., 1] - mine[..., 1] * ahead[..., 0])
    parted_by_them = other * np.roll(other, -1, axis=1) < 0
    crossing = np.argwhere(parts_them & parted_by_them)
    if not len(crossing):
        return None
    x, y = points[own[crossing[0][0]]] + along[own[crossing[0][0]]] / 2
    return (float(x), float(y))


def _named(point: Point) -> str:
    return f"out {point[0]:.1f}, height {point[1]:.1f}"
