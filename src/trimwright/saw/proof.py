"""The proof of a card: the end that the virtual saw makes of it is the end of the piece in the model.

Symmetric difference of two ends is the section swept over the distance between their planes. That distance
f(out, height) is linear, so its volume is exact: with g the gradient of f, v the direction across it and F =
f |f| / (2 |g|), Green's theorem turns the area integral of |f| into the line integral of F dv round the section,
and on each straight edge the mean of f |f| is (|f1|³ - |f0|³) / (3 (f1 - f0)).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trimwright.errors import GeometryError
from trimwright.profile.outline import Point
from trimwright.profile.section import Section
from trimwright.saw.plane import EndPlane, opposite, plane_of
from trimwright.saw.settings import Setting
from trimwright.saw.virtual import cut
from trimwright.setout.piece import Piece, Side
from trimwright.tolerance import COINCIDENT, PRINTED_CUT, SAWN_VOLUME

__all__ = ["Proof", "checked", "prove", "prove_all", "tried", "volume_between"]


@dataclass(frozen=True, slots=True)
class Proof:
    """What came off the virtual saw. `difference` is the symmetric difference from the model's end at the exact
    setting, mm³; `off` the greatest distance from its plane when cut as printed, mm.
    """

    piece: str
    end: Side
    kept: bool
    difference: float
    off: float

    @property
    def holds(self) -> bool:
        """True if the right part is kept, the exact cut is the model's and the printed one is near enough."""
        return self.kept and self.difference <= SAWN_VOLUME and self.off <= PRINTED_CUT


def prove_all(pieces: Iterable[Piece], settings: Iterable[Setting]) -> tuple[Proof, ...]:
    """Every card proven. Raises GeometryError naming piece and end of the first that fails."""
    by_id = {piece.id: piece for piece in pieces}
    stock: dict[str, list[Point]] = {}
    proofs = []
    for setting in settings:
        piece = by_id[setting.piece]
        if piece.trim.name not in stock:
            stock[piece.trim.name] = piece.trim.outline.points()
        proofs.append(prove(piece, setting, stock[piece.trim.name]))
    return tuple(proofs)


def prove(piece: Piece, setting: Setting, points: Sequence[Point] | None = None) -> Proof:
    """The proof of one card; `points` is the section in chords if it is at hand. Raises GeometryError if it fails."""
    true, other = plane_of(piece, setting.end), plane_of(piece, opposite(setting.end))
    return checked(tried(piece.trim.section, points or piece.trim.outline.points(), setting, true, other))


def checked(proof: Proof) -> Proof:
    """A proof that holds. Raises GeometryError if it does not."""
    if not proof.holds:
        raise GeometryError(_fault(proof))
    return proof


def tried(section: Section, points: Sequence[Point], setting: Setting, true: EndPlane, other: EndPlane) -> Proof:
    """What the virtual saw makes of a card, good or bad, where the end should lie on `true`, the other on `other`."""
    exact = cut(section, points, setting.orders(printed=False), setting.end, other)
    printed = cut(section, points, setting.orders(printed=True), setting.end, other)
    return Proof(
        piece=setting.piece,
        end=setting.end,
        kept=exact.kept and printed.kept,
        difference=volume_between(points, true, exact.plane),
        off=max(abs(true.at(p) - printed.plane.at(p)) for p in points) / math.hypot(*true.normal),
    )


def volume_between(points: Sequence[Point], one: EndPlane, two: EndPlane) -> float:
    """Volume in mm³ between two end planes over a section, an anticlockwise polygon."""
    gap = EndPlane(*(a - b for a, b in zip(one, two, strict=True)))
    edges = list(zip(points, [*points[1:], points[0]], strict=True))
    slope = math.hypot(gap.per_out, gap.per_height)
    if slope < COINCIDENT * COINCIDENT:
        return abs(gap.at(points[0])) * abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in edges)) / 2
    cos, sin = gap.per_out / slope, gap.per_height / slope
    total = 0.0
    for a, b in edges:
        total += ((b[1] - a[1]) * cos - (b[0] - a[0]) * sin) * _mean(gap.at(a), gap.at(b))
    return total / (2 * slope)


def _mean(start: float, end: float) -> float:
    """Mean of f |f| where f goes evenly from start to end: (|f1|³ - |f0|³) / (3 (f1 - f0)), without the quotient
    where both have one sign.
    """
    if start * end >= 0:
        return math.copysign(start * start + start * end + end * end, start + end) / 3
    return (abs(end) ** 3 - abs(start) ** 3) / (3 * (end - start))


def _fault(proof: Proof) -> str:
    what = f"piece {proof.piece}, {proof.end} end: the card fails its proof on the virtual saw"
    if not proof.kept:
        return f"{what}: the waste would be kept"
    if proof.difference > SAWN_VOLUME:
        return f"{what}: the cut differs from the piece by {proof.difference:.3g} mm³, at most {SAWN_VOLUME:g} is right"
    return f"{what}: as printed it is {proof.off:.3f} mm off, at most {PRINTED_CUT:g} is right"
