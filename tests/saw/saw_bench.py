"""Sections and ends at the saw, for every test of settings and proofs."""

from __future__ import annotations

import math

from trimwright.profile.file import list_profiles
from trimwright.profile.outline import Point
from trimwright.profile.section import Section
from trimwright.saw.holding import ways_to_hold
from trimwright.saw.plane import EndPlane
from trimwright.saw.settings import Setting, set_up
from trimwright.setout.piece import Side

CORNERS = (45.0, 60.0, 91.4, 120.0, 135.0, 163.5, 200.0, 225.0, 269.0, 290.0, 315.0)
SPRINGS = (25.0, 38.0, 45.0, 52.0, 65.0)
LENGTH = 700.0


def section_of(name: str, **sizes: float) -> Section:
    return next(p for p in list_profiles() if p.name == name).section(sizes)


def crown(spring: float) -> Section:
    """The shipped sprung crown, its back at `spring` degrees from the wall."""
    tangent = math.tan(math.radians(spring))
    drop = min(150.0, 150.0 / tangent)
    return section_of("sprung-crown", drop=drop, projection=drop * tangent)


def mitre_plane(corner: float, side: Side) -> EndPlane:
    """The end of a piece at a corner, from the half angle: the corner itself lies at station 0 or LENGTH."""
    half_cot = 1 / math.tan(math.radians(corner / 2))
    return EndPlane(LENGTH, -half_cot) if side is Side.RIGHT else EndPlane(0.0, half_cot)


def other_end(side: Side) -> EndPlane:
    """A slightly slanting far end, so that the stop meets a point and not a face."""
    return EndPlane(0.0, 0.1) if side is Side.RIGHT else EndPlane(LENGTH, -0.1)


def all_ways(section: Section, plane: EndPlane, side: Side, points: list[Point] | None = None) -> list[Setting]:
    points = points or section.outline.points()
    return [set_up("T1", side, way, points, plane, other_end(side)) for way in ways_to_hold(section)]
