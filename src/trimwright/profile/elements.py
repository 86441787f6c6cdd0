"""The trade's elements of a moulding: each a function from its two ends to lines and true arcs.

A profile file gives an element its end point; it starts where the step before it ended. Which way a curve bulges
is not given: its name says whether it is round (swells away from the material) or hollow (eats into it), and the
reader knows on which side the material lies. So a file may run round its outline either way.

All quarter curves are one arc on the chord, tangent to the longer side of the box between the two ends. For a
square box that is the quadrant of the handbooks. For an unequal box Nicholson (The Mechanic's Companion, figs 6-7)
takes a radius equal to the height, which bulges out of a narrow box; the arc used here never does, so the box of
a section stays what its drop and projection say.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from trimwright.profile.outline import Arc, Line, Point, Segment, arc_through
from trimwright.tolerance import COINCIDENT

__all__ = ["ELEMENTS", "Element", "Form", "Shape"]

FLAT_HALF_SWEEP = math.radians(30)
"""Half the arc of each half of a flat cyma: the half chord carries an equilateral triangle, so the arc is 60°."""


class Form(StrEnum):
    """How full a cyma is: 60° arcs, or quadrants."""

    FLAT = "flat"
    THICK = "thick"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """What an element is told besides its ends.

    `material` is +1 if the material lies on the left of the way along, -1 if on the right. `through` belongs to
    an arc, `depth` to a quirk, `form` to the two cymas.
    """

    material: int = 1
    through: Point | None = None
    depth: float = 0.0
    form: Form = Form.FLAT


Element = Callable[[Point, Point, Shape], list[Segment]]


def line(start: Point, end: Point, shape: Shape) -> list[Segment]:
    """A straight edge."""
    return [Line(start, end)]


def arc(start: Point, end: Point, shape: Shape) -> list[Segment]:
    """A circular arc to `end` that passes `through` a third point; three points in line make a line."""
    if shape.through is None:
        raise ValueError("an arc needs 'through', a third point on it")
    return [arc_through(start, shape.through, end)]


def band(start: Point, end: Point, shape: Shape) -> list[Segment]:
    """Fillet (narrow) and fascia (broad): a flat band square to wall or ceiling, that binds other members."""
    if min(abs(end[0] - start[0]), abs(end[1] - start[1])) > COINCIDENT:
        raise ValueError("a fillet or fascia runs square, along or across the wall; a sloping flat is a bevel")
    return [Line(start, end)]


def bevel(start: Point, end: Point, shape: Shape) -> list[Segment]:
    """A sloping flat."""
    return [Line(start, end)]


def quirk(start: Point, end: Point, shape: Shape) -> list[Segment]:
    """A narrow square channel sunk `depth` into the material, its mouth from `start` to `end`."""
    if shape.depth < 0:
        raise ValueError("a quirk's 'depth' cannot be negative")
    if shape.depth < COINCIDENT or _same(start, end):
        return [Line(start, end)]
    left = _left(start, end)
    into = (shape.material * shape.depth * left[0], shape.material * shape.depth * left[1])
    first, last = (start[0] + into[0], start[1] + into[1]), (end[0] + into[0], end[1] + into[1])
    return [Line(start, first), Line(first, last), Line(last, end)]


def ovolo(start: Point, end: Point, shape: Shape) -> list[Segment]:
    """A quarter round (Roman ovolo): the quadrant where height equals projection; else see the module's note."""
    return _bow(start, end, _quarter(start, end), hollow=False, shape=shape)


def cavetto(start: Point, end: Point, shape: Shape) -> list[Segment]:
    """A quarter hollow, the ovolo's reverse. Swept under a ceiling it is the plain cove."""
    return _bow(start, end, _quarter(start, end), hollow=True, shape=shape)


def cyma_recta(start: Point, end: Point, shape: Shape) -> list[Segment]:
    """Double curve, hollow in the part that stands out, round in the part that lies back; a crowning member.

    Bisect the chord; each half carries an arc, and the two are turned about the middle so that they meet with one
    tangent. `flat` (Nicholson fig. 11; Sheraton and Moxon alike): an equilateral triangle on each half chord, its
    apex the centre, so the arc is 60°, its radius half the chord. `thick` (Nicholson fig. 10): two quadrants.
    In a box so narrow that the 60° arcs would leave it, both forms are the thick one.
    """
    return _cyma(start, end, shape, hollow_stands_out=True)


def cyma_reversa(start: Point, end: Point, shape: Shape) -> list[Segment]:
    """The ogee: round in the part that stands out, hollow in the part that lies back. Drawn as cyma recta is."""
    return _cyma(start, end, shape, hollow_stands_out=False)


def scotia(start: Point, end: Point, shape: Shape) -> list[Segment]:
    """A deep hollow between two members of a base: two quadrants that meet upright.

    Nicholson fig. 9 divides the height h in three: the quadrant at the end that stands back has radius h/3, that
    at the end that stands out 2h/3, both centres on the line between, so the ends differ by h/3 in projection. Any
    other difference p gives radii (h - p)/2 and (h + p)/2, the same figure; p must be less than h.
    """
    (x0, y0), (x1, y1) = start, end
    height, difference = abs(y1 - y0), abs(x1 - x0)
    if difference > height - COINCIDENT:
        raise ValueError("a scotia must be higher than its ends differ in projection")
    up = 1 if y1 > y0 else -1
    # Going up with the material on the left the void is to the right (greater out); every other case mirrors it.
    void = up * shape.material
    first_stands_out = (x0 - x1) * void > 0
    first = (height + difference) / 2 if first_stands_out else (height - difference) / 2
    level = y0 + up * first
    join = (x0 - void * first, level)
    clockwise = shape.material > 0
    return [Arc(start, join, (x0, level), clockwise), Arc(join, end, (x1, level), clockwise)]


def torus(start: Point, end: Point, shape: Shape) -> list[Segment]:
    """A half round on the chord: bead and astragal when small, torus when large (Nicholson)."""
    return _bow(start, end, math.pi / 2, hollow=False, shape=shape)


ELEMENTS: Mapping[str, Element] = {
    "line": line,
    "arc": arc,
    "fillet": band,
    "fascia": band,
    "bevel": bevel,
    "quirk": quirk,
    "ovolo": ovolo,
    "cavetto": cavetto,
    "cyma_recta": cyma_recta,
    "cyma_reversa": cyma_reversa,
    "scotia": scotia,
    "torus": torus,
    "bead": torus,
}
"""The names a profile file may use."""


def _cyma(start: Point, end: Point, shape: Shape, *, hollow_stands_out: bool) -> list[Segment]:
    """Two like arcs on the half chords, one hollow and one round; a level chord has no part that stands out."""
    if _same(start, end):
        return []
    if abs(end[0] - start[0]) < COINCIDENT:
        raise ValueError("a cyma's two ends must differ in projection")
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    quarter = _quarter(start, end)
    half_sweep = quarter if shape.form is Form.THICK else min(quarter, FLAT_HALF_SWEEP)
    first_hollow = (start[0] > end[0]) == hollow_stands_out
    return [
        *_bow(start, middle, half_sweep, hollow=first_hollow, shape=shape),
        *_bow(middle, end, half_sweep, hollow=not first_hollow, shape=shape),
    ]


def _bow(start: Point, end: Point, half_sweep: float, *, hollow: bool, shape: Shape) -> list[Segment]:
    """The arc on a chord that turns through twice `half_sweep`, towards the material if hollow, else away.

    The centre lies on the chord's perpendicular bisector, chord / (2 tan(half_sweep)) from it on the other side.
    """
    if _same(start, end) or half_sweep < COINCIDENT:
        return [Line(start, end)]
    bulge = shape.material if hollow else -shape.material
    left = _left(start, end)
    away = -bulge * math.dist(start, end) / 2 / math.tan(half_sweep)
    centre = ((start[0] + end[0]) / 2 + away * left[0], (start[1] + end[1]) / 2 + away * left[1])
    # An arc that bulges to the left of its chord turns right, that is clockwise.
    return [Arc(start, end, centre, clockwise=bulge > 0)]


def _quarter(start: Point, end: Point) -> float:
    """Half the sweep of the arc tangent to the longer side of the box: the angle of the chord from that side."""
    across, up = abs(end[0] - start[0]), abs(end[1] - start[1])
    return math.atan2(min(across, up), max(across, up))


def _left(start: Point, end: Point) -> Point:
    """Unit vector to the left of the way from start to end."""
    length = math.dist(start, end)
    return (-(end[1] - start[1]) / length, (end[0] - start[0]) / length)


def _same(start: Point, end: Point) -> bool:
    return math.dist(start, end) < COINCIDENT
