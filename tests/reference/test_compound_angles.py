"""Saw settings against published tables, and against rotation matrices worked here."""

from __future__ import annotations

import math

import numpy as np
import pytest

from trimwright.saw.answer import answers
from trimwright.saw.blade import Blade, blade_for
from trimwright.saw.holding import Method
from trimwright.saw.plane import EndPlane
from trimwright.setout.piece import Side

# A compound-angle setting chart printed in a saw manual (p. 29), to the closest 0.005 degrees: slope of the face
# above level, number of sides, mitre, bevel. A face sprung at s from the wall slopes 90 - s; a regular n-gon has
# corners of 180 - 360/n.
CHART = [
    (15, 4, 44.01, 10.55),
    (30, 4, 40.89, 20.70),
    (45, 4, 35.26, 30.00),
    (60, 4, 26.57, 37.76),
    (75, 4, 14.51, 43.08),
    (20, 6, 28.48, 9.85),
    (40, 6, 23.86, 18.75),
    (60, 6, 16.10, 25.66),
    (25, 8, 20.58, 9.31),
    (50, 8, 14.91, 17.05),
]


def held(corner: float, spring: float, side: Side, method: Method) -> Blade:
    """The exact blade of the first way of a method: nested, or flat on the back with the ceiling edge at the fence."""
    return next(s.exact for s in answers(corner, spring) if s.method is method and s.end is side)


def lying(corner: float, spring: float, side: Side) -> Blade:
    return held(corner, spring, side, Method.FLAT)


@pytest.mark.parametrize(("slope", "sides", "mitre", "bevel"), CHART)
def test_the_published_chart(slope: float, sides: int, mitre: float, bevel: float) -> None:
    blade = lying(180 - 360 / sides, 90 - slope, Side.RIGHT)
    assert abs(blade.swing) == pytest.approx(mitre, abs=0.006)
    assert abs(blade.lean) == pytest.approx(bevel, abs=0.006)


# Widely printed for a true corner (from memory): spring 38: 31.62 and 33.86; 45: 35.26 and 30.00; 52: 38.24 and 25.81.
@pytest.mark.parametrize(("spring", "mitre", "bevel"), [(38, 31.62, 33.86), (45, 35.26, 30.0), (52, 38.24, 25.81)])
def test_sprung_true_corner(spring: float, mitre: float, bevel: float) -> None:
    blade = lying(90, spring, Side.LEFT)
    assert (abs(blade.swing), abs(blade.lean)) == pytest.approx((mitre, bevel), abs=0.006)


@pytest.mark.parametrize(
    ("corner", "side", "arm", "kept"),
    [
        # Common practice, no source: nested and upside down, at a true corner, seen from the front of the saw.
        (90, Side.RIGHT, "right", Side.RIGHT),  # internal, piece left of the corner
        (90, Side.LEFT, "left", Side.LEFT),
        (270, Side.RIGHT, "left", Side.RIGHT),  # external
        (270, Side.LEFT, "right", Side.LEFT),
    ],
)
def test_hands_of_a_nested_cut(corner: float, side: Side, arm: str, kept: Side) -> None:
    blade = held(corner, 45, side, Method.NESTED)
    assert abs(blade.swing) == pytest.approx(45)
    assert ("right" if blade.swing > 0 else "left") == arm
    assert blade.kept is kept
    assert blade.lean == pytest.approx(0)


@pytest.mark.parametrize("corner", [45, 91.4, 135, 225, 270, 315])
@pytest.mark.parametrize("spring", [25.0, 38.0, 52.0, 65.0])
@pytest.mark.parametrize("side", [Side.LEFT, Side.RIGHT])
def test_the_blade_cuts_the_plane_of_the_corner(corner: float, spring: float, side: Side) -> None:
    """Backwards: a blade set so, carried from the saw to the wall, contains the mitre line and the vertical.

    The blade plane is built here from its two motions: leaned about the line it draws on the bed, then swung about
    the vertical. The holding is undone by the inverse of its matrix.
    """
    sign = -1 if side is Side.RIGHT else 1
    slope = sign / math.tan(math.radians(corner / 2))
    for way in {s.holding for s in answers(corner, spring)}:
        blade = blade_for(way, EndPlane(0.0, slope), side)
        swing, lean = math.radians(blade.swing), math.radians(blade.lean)
        # Square blade: normal +x. Leaned left about y its normal tips up; swung right about z (seen from above,
        # clockwise is to the right at the far side, so the near end goes right): normal turns towards +y.
        leaned = np.array([math.cos(lean), 0.0, math.sin(lean)])
        turn = np.array([[math.cos(swing), -math.sin(swing), 0], [math.sin(swing), math.cos(swing), 0], [0, 0, 1]])
        normal = np.linalg.inv(np.array(way.turn)) @ (turn @ leaned)
        mitre_line, upright = np.array([slope, 1.0, 0.0]), np.array([0.0, 0.0, 1.0])
        assert normal @ mitre_line == pytest.approx(0, abs=1e-9)
        assert normal @ upright == pytest.approx(0, abs=1e-9)


def test_holding_is_a_motion_not_a_mirror() -> None:
    """(station, out, height) is a left-handed frame, so a rigid holding has determinant -1 into the saw's."""
    for setting in answers(90, 38):
        assert np.linalg.det(np.array(setting.holding.turn)) == pytest.approx(-1)
    assert {setting.method for setting in answers(90, 38)} == {Method.NESTED, Method.STANDING, Method.FLAT}
