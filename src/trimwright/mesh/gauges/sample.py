"""A corner in the hand: short legs of a trim meeting in a mitre at full size, to hold up and look at."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from trimwright.mesh.gauges.bed import BED, TALLEST, WALL
from trimwright.mesh.sweep import stencil
from trimwright.profile.outline import Line, Outline
from trimwright.room import Corner, Room
from trimwright.setout.piece import Trim

if TYPE_CHECKING:
    from manifold3d import Manifold

__all__ = ["can_be_printed", "corner_sample", "sample_corner"]

LEGS = (70.0, 60.0, 50.0, 40.0, 30.0, 20.0)
"""Length of the legs beyond the mitre: the first that fits on the bed; if none does the last, printed in parts."""

CHORD = 0.05
"""Chords of the curves: finer than a printer's layer."""

LOST = 0.05
"""A section that loses more than this part of its area where it is thinner than `WALL` cannot be printed."""


def sample_corner(room: Room, trim: Trim) -> Corner | None:
    """The first internal corner at which a trim goes round, or the first external one."""
    turned = [c for c in room.corners if c is not None and c.left in trim.walls and c.right in trim.walls]
    return next((c for c in turned if c.internal), turned[0] if turned else None)


def can_be_printed(outline: Outline) -> bool:
    """True if a section is nowhere thin, edges that run out left aside, and not higher than a printer."""
    from shapely import Polygon

    solid = Polygon(outline.points(CHORD))
    kept = solid.buffer(-WALL / 2, join_style="mitre").buffer(WALL / 2, join_style="mitre")
    bounds = outline.bounds
    return bounds.top - bounds.bottom <= TALLEST and kept.area >= (1 - LOST) * solid.area


def corner_sample(trim: Trim, angle: float) -> Manifold:
    """Both legs as one body, on the flatter of its two level sides, as long as fit on the bed."""
    upside_down = _flat(trim.outline, top=True) > _flat(trim.outline, top=False)
    for leg in LEGS:
        body = _legs(trim, angle, leg)
        turned = _turned(body.rotate((180, 0, 0)) if upside_down else body)
        if _side(turned) <= BED:
            break
    return turned


def _legs(trim: Trim, angle: float, leg: float) -> Manifold:
    """One sweep through three planes, the end of one leg, the mitre, the end of the other; the corner at the origin."""
    from manifold3d import Manifold, Mesh64

    shape = stencil(trim.outline, CHORD)
    out, height = shape.points.T
    turn, half_cot = math.radians(angle), 1 / math.tan(math.radians(angle / 2))
    far = leg + max(trim.edges.front * half_cot, trim.edges.back * half_cot)
    # Plan: the first wall comes along +x, the room on its right; the second leaves at the corner's angle.
    along, outward = (-math.cos(turn), -math.sin(turn)), (-math.sin(turn), math.cos(turn))
    rings = [
        np.column_stack([np.full_like(out, -far), -out, height]),
        np.column_stack([-out * half_cot, -out, height]),
        np.column_stack([far * along[0] + out * outward[0], far * along[1] + out * outward[1], height]),
    ]
    count, sides = len(out), shape.faces[2 * len(shape.cap) :]
    faces = np.concatenate([shape.cap, sides, sides + count, shape.cap[:, ::-1] + 2 * count])
    return Manifold(Mesh64(np.ascontiguousarray(np.concatenate(rings)), faces.astype(np.uint64)))


def _flat(outline: Outline, top: bool) -> float:
    """Length of the level edges at the top or the bottom of a section."""
    bounds = outline.bounds
    level = bounds.top if top else bounds.bottom
    return sum(
        edge.length
        for edge in outline.segments
        if isinstance(edge, Line) and max(abs(edge.start[1] - level), abs(edge.end[1] - level)) < WALL / 100
    )


def _turned(body: Manifold) -> Manifold:
    """A body turned about the upright so that it needs the smallest bed."""
    return min((body.rotate((0, 0, angle)) for angle in range(0, 90, 5)), key=_side)


def _side(body: Manifold) -> float:
    """The larger side of what a body covers of the bed."""
    box = body.bounding_box()
    return float(max(box[3] - box[0], box[4] - box[1]))
