"""The face of a trim unrolled: a strip of paper from edge to edge of the face, pressed onto it all round.

On the strip `girth` is the way round the face from where the strip begins, and the length of the trim runs across.
A face made of lines and arcs carried along a straight line unrolls without stretching, so every length on the
strip is true. Into a slot deeper than it is wide nobody can press paper: there it lies taut over the mouth.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise

from trimwright.drawing.arrises import arrises
from trimwright.profile.measures import face
from trimwright.profile.outline import Arc, Line, Outline, Point, Segment
from trimwright.setout.piece import Trim
from trimwright.tolerance import COINCIDENT, TOUCH

__all__ = ["Fold", "Stretch", "Strip", "along", "crossings", "strip_of"]

SLOT = 0.6
"""A hollow deeper than this share of its mouth is bridged; a right-angled rebate, at most 0.5 deep, is followed."""


def along(edge: Segment, part: float) -> Point:
    """The point of an edge at `part` (0 to 1) of its length."""
    if isinstance(edge, Arc):
        return edge.at(part)
    (x0, y0), (x1, y1) = edge.start, edge.end
    return (x0 + part * (x1 - x0), y0 + part * (y1 - y0))


def crossings(edge: Segment, axis: int, level: float) -> list[float]:
    """Parts (0 to 1, ends left out) at which an edge is at an out (axis 0) or a height (axis 1)."""
    if isinstance(edge, Line):
        rise = edge.end[axis] - edge.start[axis]
        parts = [(level - edge.start[axis]) / rise] if abs(rise) > COINCIDENT else []
    else:
        ratio = (level - edge.centre[axis]) / edge.radius
        if abs(ratio) > 1:
            return []
        angle = math.acos(ratio) if axis == 0 else math.asin(ratio)
        both = (angle, -angle) if axis == 0 else (angle, math.pi - angle)
        sense = math.copysign(1.0, edge.sweep)
        parts = [sense * (a - edge.start_angle) % math.tau / abs(edge.sweep) for a in both]
    return sorted({p for p in parts if COINCIDENT < p < 1 - COINCIDENT})


@dataclass(frozen=True, slots=True)
class Stretch:
    """An edge that the paper lies on and the girth at its start; `bridge`: taut over a slot, on nothing."""

    edge: Segment
    girth: float
    bridge: bool = False

    def girth_at(self, part: float) -> float:
        """Girth at a part of the edge."""
        return self.girth + part * self.edge.length


@dataclass(frozen=True, slots=True)
class Fold:
    """An arris that the paper is folded over: its letter, its girth, and its point of the section."""

    letter: str
    girth: float
    point: Point


@dataclass(frozen=True, slots=True)
class Strip:
    """The paper for a trim: its stretches in order, its folds, and what its first and its last edge go against."""

    stretches: tuple[Stretch, ...]
    folds: tuple[Fold, ...]
    first: str
    last: str

    @property
    def girth(self) -> float:
        """Width of the paper, mm."""
        return self.stretches[-1].girth_at(1.0)


def strip_of(trim: Trim) -> Strip:
    """The strip for the face that a trim by itself shows, from its wall edge or floor edge on.

    What other trims cover in the room is not left out: the paper goes round the piece as it lies on the bench.
    """
    back, bottom, _, top = trim.edges
    ceiling = top if trim.section.kind == "cornice" else None
    floor = bottom if trim.section.kind == "skirting" else None
    (edges,) = face(trim.outline, back, ceiling, floor)
    paper = _bridged(edges)
    girths = accumulate((edge.length for edge, _ in paper), initial=0.0)
    stretches = tuple(Stretch(edge, girth, bridge) for (edge, bridge), girth in zip(paper, girths, strict=False))

    def against(point: Point) -> str:
        if floor is not None and point[1] <= floor + TOUCH and point[0] > back + TOUCH:
            return "floor"
        if ceiling is not None and point[1] >= ceiling - TOUCH:
            return "ceiling"
        return "wall"

    folds = tuple(_folds(stretches, trim.outline))
    first, last = against(paper[0][0].start), against(paper[-1][0].end)
    if first == last:
        first, last = f"{first}, below", f"{last}, above"
    return Strip(stretches, folds, first, last)


def _bridged(edges: Sequence[Segment]) -> list[tuple[Segment, bool]]:
    """The edges, with those in slots replaced by the straight line over the mouth; the longest way round first."""
    mouths = [
        (first, last)
        for first in range(len(edges))
        for last in range(first + 2, len(edges))
        if _is_slot(edges[first : last + 1])
    ]
    mouths.sort(key=lambda mouth: -sum(edge.length for edge in edges[mouth[0] : mouth[1] + 1]))
    chosen: dict[int, int] = {}
    for first, last in mouths:
        if all(last < a or first > b for a, b in chosen.items()):
            chosen[first] = last
    paper: list[tuple[Segment, bool]] = []
    skipped = -1
    for k, edge in enumerate(edges):
        if k in chosen:
            skipped = chosen[k]
            paper.append((Line(edge.start, edges[skipped].end), True))
        elif k > skipped:
            paper.append((edge, False))
    return paper


def _is_slot(edges: Sequence[Segment]) -> bool:
    """True if edges in a row dip into the material by more than `SLOT` of the straight way, and never out of it."""
    (x0, y0), (x1, y1) = edges[0].start, edges[-1].end
    mouth = math.hypot(x1 - x0, y1 - y0)
    if mouth <= COINCIDENT:
        return False
    points = [
        along(edge, part) for edge in edges for part in ((0.25, 0.5, 0.75, 1.0) if isinstance(edge, Arc) else (1.0,))
    ]
    # The outline runs with the material on its left.
    depths = [((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / mouth for x, y in points]
    return min(depths) >= -COINCIDENT and max(depths) > SLOT * mouth


def _folds(stretches: Sequence[Stretch], outline: Outline) -> list[Fold]:
    """Arrises between the first and the last edge of the paper, lettered from the first."""
    sharp = arrises(outline)
    found: list[Fold] = []
    for before, after in pairwise(stretches):
        point = after.edge.start
        if before.bridge or after.bridge or any(math.dist(point, p) <= COINCIDENT for p in sharp):
            found.append(Fold("", after.girth, point))
    return [replace(fold, letter=_letter(k)) for k, fold in enumerate(found)]


def _letter(number: int) -> str:
    return chr(ord("a") + number % 26) * (1 + number // 26)
