"""Volume of a piece as swept between its end planes, before notches and copes: a closed form, or nearly."""

from __future__ import annotations

import math
from collections.abc import Callable

from trimwright.profile.outline import Arc, Outline, Segment
from trimwright.setout.curved.bends import end_station
from trimwright.setout.piece import Piece, Side

__all__ = ["swept_volume"]

NODES = 12
"""Points of Gauss's rule on each edge of the section: exact for polynomials up to degree 23."""


def swept_volume(piece: Piece) -> float:
    """Volume in mm³: area of the section times the way of its centroid between the end planes (Pappus and Guldin).

    That holds for a straight piece with any end planes and for a bent one cut square. Where a bent one is cut on the
    slant, the way of each point of the section, w(out), is summed over the section instead.
    """
    outline = piece.trim.outline
    if piece.bend is None or not (piece.left.slope or piece.right.slope):
        return outline.area * piece.length_at(outline.centroid[0])

    def way(out: float) -> float:
        left, right = (end_station(piece, side, [out])[0] for side in Side)
        return (right - left) * piece.frame.scale(out)

    return _over_section(outline, way, piece.trim.edges.back)


def _over_section(outline: Outline, way: Callable[[float], float], back: float) -> float:
    """Integral of w(out) over a section by Green's theorem: that of W(out) d(height) round it, W the primitive of w."""
    from numpy.polynomial.legendre import leggauss

    nodes, weights = leggauss(NODES)
    rule = [((1 + x) / 2, w / 2) for x, w in zip(nodes.tolist(), weights.tolist(), strict=True)]

    def primitive(out: float) -> float:
        return (out - back) * sum(w * way(back + t * (out - back)) for t, w in rule)

    return sum(
        w * primitive(out) * rise for segment in outline.segments for t, w in rule for out, rise in [_at(segment, t)]
    )


def _at(segment: Segment, part: float) -> tuple[float, float]:
    """How far out a segment is at a part of it, and its rise in height per unit of the part."""
    if isinstance(segment, Arc):
        angle = segment.start_angle + part * segment.sweep
        return segment.at(part)[0], segment.radius * math.cos(angle) * segment.sweep
    (o0, h0), (o1, h1) = segment.start, segment.end
    return o0 + part * (o1 - o0), h1 - h0
