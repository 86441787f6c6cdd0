"""A cradle to cut a cornice in by hand: it lies nested in it, upside down, and slots guide the saw.

x runs along the cornice, y from the fence (the wall) to the front, z up from the bench. The ceiling edge lies on the
floor and against the front lip, the wall edge against the fence, so the cornice stands at its own drop and projection
and the saw swings by the plan angle alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from trimwright.mesh.gauges.bed import TALLEST, WALL, plate
from trimwright.setout.piece import Joint, Piece, Trim

if TYPE_CHECKING:
    from manifold3d import Manifold

__all__ = ["FLOOR", "can_be_slotted", "cradle", "slot_angles"]

FLOOR = 6.0
"""Thickness of the floor, mm."""

LIP = 16.0
"""Height of the front lip above the floor."""

RISE = 5.0
"""The fence stands this much above the wall edge of the cornice, to guide the saw into it."""

PAST = 16.0
"""Fence beyond the slots at both ends."""

GROOVE = 1.0
"""Depth to which the slots go on into the floor, so that the saw comes through; also of the arrow."""

NARROWEST, WIDEST = 1.0, 4.0
"""Least and greatest width of a slot: a handsaw wanders in a wider one."""

ALIKE = 0.75
"""Cuts whose angles from square lie within this (degrees) share a slot: a handsaw in a slot has as much play."""

CRADLES = 2
"""Not more of them for one cornice: the commonest angles."""


def slot_angles(pieces: Sequence[Piece]) -> list[float]:
    """Angles from square of the cuts of a cornice, the commonest first: means of those alike, at most two."""
    angles = sorted(
        abs(math.degrees(math.atan(end.slope)))
        for piece in pieces
        for end in (piece.left, piece.right)
        if end.joint is not Joint.SQUARE
    )
    groups: list[list[float]] = []
    for angle in angles:
        if groups and angle - groups[-1][0] <= ALIKE:
            groups[-1].append(angle)
        else:
            groups.append([angle])
    groups.sort(key=lambda group: -len(group))
    return [sum(group) / len(group) for group in groups[:CRADLES]]


def can_be_slotted(trim: Trim, angle: float) -> bool:
    """True if the two slots of an angle leave enough fence between them; nearly square cuts do not."""
    turn = math.radians(angle)
    return trim.section.projection * math.tan(turn) - WIDEST / math.cos(turn) >= 2 * WALL


def cradle(trim: Trim, angle: float, kerf: float) -> Manifold:
    """The cradle with a slot to each hand at `angle` degrees from square, wide enough for a kerf."""
    drop, projection = trim.section.drop, trim.section.projection
    thick = max(5.0, drop / 18)
    width = min(WIDEST, max(NARROWEST, kerf))
    tangent, cosine = math.tan(math.radians(angle)), math.cos(math.radians(angle))
    half = (projection / 2 + thick) * tangent + width / cosine / 2 + PAST
    top = min(TALLEST, FLOOR + drop + RISE)

    def bar(near: float, far: float, low: float, high: float) -> Manifold:
        return plate([(-half, near), (half, near), (half, far), (-half, far)], low, high)

    body = bar(-thick, projection + thick, 0.0, FLOOR) + bar(-thick, 0.0, 0.0, top)
    body += bar(projection, projection + thick, 0.0, FLOOR + LIP)
    for sign in (1.0, -1.0):
        body -= _slot(projection, thick + 1.0, sign * tangent, width / cosine, top + 1.0)
    return body - _arrow(projection)


def _slot(projection: float, past: float, tangent: float, across: float, top: float) -> Manifold:
    """The way of the blade through fence and lip, its middle over the middle of the cornice."""
    near, far = -past, projection + past
    loop = [
        ((y - projection / 2) * tangent + side * across / 2, y)
        for y, side in ((near, -1), (near, 1), (far, 1), (far, -1))
    ]
    return plate(loop, FLOOR - GROOVE, top)


def _arrow(projection: float) -> Manifold:
    """A mark sunk into the floor between the slots, pointing to the fence: the wall is there."""
    size = min(6.0, projection / 10)
    return plate([(0.0, size), (size, 2.5 * size), (-size, 2.5 * size)], FLOOR - GROOVE, FLOOR + 1.0)
