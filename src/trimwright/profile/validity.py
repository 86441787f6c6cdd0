"""Whether an outline can be a section: closed, with area, and never touching or crossing itself."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from trimwright.profile.outline import Arc, Outline, Point
from trimwright.tolerance import COINCIDENT, SECTION_AREA

__all__ = ["fault"]

Array = NDArray[np.float64]

ARC_STEP = math.radians(6)
"""Arcs are tried for crossings as chords of at most this angle (a hundredth of a radius of 7 is 0.01 mm off)."""


def fault(outline: Outline) -> str | None:
    """What keeps an outline from being a section, in words that say where; None if nothing does."""
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
    starts, ends = points, np.roll(points, -1, axis=0)
    along = ends - starts
    # gap[k, i]: distance from point k to edge i, which runs from point i to point i + 1.
    away = points[:, None, :] - starts[None, :, :]
    part = np.clip((away * along).sum(-1) / (along**2).sum(-1), 0.0, 1.0)
    gap = np.linalg.norm(away - part[..., None] * along, axis=-1)
    count = len(points)
    own = np.arange(count)
    gap[own, own] = np.inf
    gap[(own + 1) % count, own] = np.inf
    touching = np.argwhere(gap < COINCIDENT)
    if len(touching):
        x, y = points[touching[0][0]]
        return (float(x), float(y))
    # side[k, i]: on which side of edge i point k lies; two edges cross if each parts the other's ends.
    side = np.sign(along[None, :, 0] * away[..., 1] - along[None, :, 1] * away[..., 0])
    parted = side * np.roll(side, -1, axis=0) < 0
    crossing = np.argwhere(parted & parted.T)
    if not len(crossing):
        return None
    x, y = (starts[crossing[0][0]] + ends[crossing[0][0]]) / 2
    return (float(x), float(y))


def _named(point: Point) -> str:
    return f"out {point[0]:.1f}, height {point[1]:.1f}"
