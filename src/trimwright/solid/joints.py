"""Do the pieces meet without sharing space and without a gap? A check of the set-out by the exact solids.

Two pieces are first told apart by arithmetic: each lies inside its hull, the upright prism over the plan of its
end planes, back and front. Neighbours in a mitre share the mitre plane and are told apart there. The kernel is
asked only about pairs whose hulls truly overlap: copes, notches, and trims nested in each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

import cadquery as cq
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_ON

from trimwright.frame import Bend, Frame
from trimwright.room import PlanPoint
from trimwright.setout.meets import joints, plane_gap
from trimwright.setout.piece import Piece, SetOut
from trimwright.solid.build import thickness
from trimwright.tolerance import BITE, COINCIDENT, COMMON_VOLUME, OPEN_JOINT, TOUCH

__all__ = ["FaultKind", "Hull", "JointFault", "hull_of", "joint_faults", "near_pairs"]


class FaultKind(StrEnum):
    """What is wrong between two pieces."""

    OVERLAP = "overlap"
    GAP = "gap"


@dataclass(frozen=True, slots=True, kw_only=True)
class JointFault:
    """Two pieces that share `amount` mm³ (overlap) or stand `amount` mm apart where they should meet (gap)."""

    first: str
    second: str
    kind: FaultKind
    amount: float

    def __str__(self) -> str:
        if self.kind is FaultKind.OVERLAP:
            return f"pieces {self.first} and {self.second} share {self.amount:.1f} mm³ of space"
        return f"pieces {self.first} and {self.second} should meet but stand {self.amount:.3f} mm apart"


@dataclass(frozen=True, slots=True)
class Hull:
    """An upright prism that holds a piece: four plan corners in order round it, and its least and greatest height."""

    plan: tuple[PlanPoint, ...]
    bottom: float
    top: float

    @property
    def span(self) -> tuple[float, float]:
        """Least and greatest x."""
        xs = [x for x, _ in self.plan]
        return min(xs), max(xs)

    def apart(self, other: Hull) -> bool:
        """True if a level plane or an upright plane along a side of either leaves them on different sides.

        The theorem of the separating axis: for convex polygons a side of one of them serves, if any line does.
        """
        if min(self.top, other.top) - max(self.bottom, other.bottom) <= TOUCH:
            return True
        return any(_overlap(self.plan, other.plan, normal) <= TOUCH for normal in (*_normals(self), *_normals(other)))


def joint_faults(set_out: SetOut, solids: Mapping[str, cq.Solid]) -> list[JointFault]:
    """All overlaps, then all gaps, each in the order of the pieces; an empty list if every joint is right."""
    return [*_overlaps(set_out, solids), *_gaps(set_out, solids)]


def hull_of(piece: Piece) -> Hull:
    """The hull of a piece; a coped end lies inside the mitre that is cut first."""
    back, bottom, front, top = piece.trim.edges
    if piece.bend is not None:
        return Hull(_box_round(piece, piece.bend), bottom, top)
    corners = ((piece.left, back), (piece.right, back), (piece.right, front), (piece.left, front))
    reached = [piece.height(station, height) for station in piece.extent for height in (bottom, top)]
    plan = tuple(piece.frame.plan(end.at(out), out) for end, out in corners)
    return Hull(plan, min(reached), max(reached))


def _box_round(piece: Piece, bend: Bend) -> tuple[PlanPoint, ...]:
    """A rectangle in plan that holds a bent piece, along the straight line from its left to its right end."""
    back, _, front, _ = piece.trim.edges
    low, high = piece.extent
    (ax, ay), (bx, by) = bend.plan(low), bend.plan(high)
    length = math.dist((ax, ay), (bx, by))
    line = Frame((ax, ay), ((bx - ax) / length, (by - ay) / length))
    places = [line.locate(bend.plan(s, out)) for s in (low, (low + high) / 2, high) for out in (back, front)]
    stations, outs = zip(*places, strict=True)
    left, right, near, far = min(stations), max(stations), min(outs), max(outs)
    return tuple(line.plan(*place) for place in ((left, near), (right, near), (right, far), (left, far)))


def near_pairs(pieces: tuple[Piece, ...]) -> Iterator[tuple[Piece, Piece]]:
    """Pairs whose hulls are not apart, found by a sweep along x, earlier piece first."""
    hulls = [hull_of(piece) for piece in pieces]
    spans = [hull.span for hull in hulls]
    open_now: list[int] = []
    pairs = []
    for k in sorted(range(len(pieces)), key=lambda k: spans[k][0]):
        open_now = [j for j in open_now if spans[j][1] > spans[k][0]]
        pairs += [(min(j, k), max(j, k)) for j in open_now if not hulls[j].apart(hulls[k])]
        open_now.append(k)
    for j, k in sorted(pairs):
        yield pieces[j], pieces[k]


def _overlaps(set_out: SetOut, solids: Mapping[str, cq.Solid]) -> Iterator[JointFault]:
    for first, second in near_pairs(set_out.pieces):
        shared = solids[first.id].intersect(solids[second.id])
        volume = float(shared.Volume())
        # Two trims may rest on each other as trim rests on a wall; what is cut to each other may not share a thing.
        if volume > COMMON_VOLUME and (first.trim.name == second.trim.name or thickness(_largest(shared)) > BITE):
            yield JointFault(first=first.id, second=second.id, kind=FaultKind.OVERLAP, amount=volume)


def _largest(shared: cq.Shape) -> cq.Solid:
    """The largest part of what two solids share."""
    return max(shared.Solids(), key=lambda part: float(part.Volume()))


def _gaps(set_out: SetOut, solids: Mapping[str, cq.Solid]) -> Iterator[JointFault]:
    for piece, side, mate, other in joints(set_out.pieces):
        gap = plane_gap(piece, side, mate, other)
        if gap is None:
            gap = _gap(solids[piece.id], solids[mate.id])
        if gap > OPEN_JOINT:
            yield JointFault(first=piece.id, second=mate.id, kind=FaultKind.GAP, amount=gap)


def _gap(solid: cq.Solid, other: cq.Solid) -> float:
    """The least distance of two solids, 0 where they touch.

    Those that touch mostly do so in a vertex of the first, which is found twenty times sooner than the distance.
    """
    return 0.0 if _touches(solid, other) else float(solid.distance(other))


def _touches(solid: cq.Solid, other: cq.Solid) -> bool:
    """True if a vertex of a solid lies on the surface of another."""
    where = BRepClass3d_SolidClassifier(other.wrapped)
    for vertex in solid.Vertices():
        where.Perform(gp_Pnt(*vertex.toTuple()), TOUCH)
        if where.State() == TopAbs_ON:
            return True
    return False


def _normals(hull: Hull) -> Iterator[PlanPoint]:
    """Unit normals of the sides in plan, but for a side without length (a return's back at the wall)."""
    for (ax, ay), (bx, by) in zip(hull.plan, (*hull.plan[1:], hull.plan[0]), strict=True):
        length = math.hypot(bx - ax, by - ay)
        if length > COINCIDENT:
            yield ((by - ay) / length, (ax - bx) / length)


def _overlap(first: tuple[PlanPoint, ...], second: tuple[PlanPoint, ...], normal: PlanPoint) -> float:
    """How far two polygons reach over each other along a normal; negative where there is a gap."""
    (a, b), (c, d) = (_reach(polygon, normal) for polygon in (first, second))
    return min(b, d) - max(a, c)


def _reach(polygon: tuple[PlanPoint, ...], normal: PlanPoint) -> tuple[float, float]:
    places = [x * normal[0] + y * normal[1] for x, y in polygon]
    return min(places), max(places)
