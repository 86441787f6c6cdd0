"""Saw settings against worked roof values: boards at unequal slopes that meet in a plan corner.

A fascia or sheathing board at slope p whose joint runs at plan angle D from its eave is cut at mitre M and bevel B.
Worked values to five decimals: geocities.ws/web_sketches/hip_valley_dimensioning/jack_compound_calcs.html (J. Bartok,
roof geometry), plan corner 90. The saw knows the same board as a sprung section: back at 90 - p from the wall.
"""

from __future__ import annotations

import math

import pytest

from trimwright.saw.answer import answers
from trimwright.saw.blade import blade_for
from trimwright.saw.holding import Method
from trimwright.saw.plane import EndPlane
from trimwright.setout.piece import Side

# Rise over run of the board's slope, D, M, B.
WORKED = [
    (10 / 12, 47.72631, 34.92979, 25.50784),
    (11 / 12, 42.27369, 39.03754, 29.99972),
    (12 / 12, 33.69007, 46.68614, 36.03989),
    (8 / 12, 56.30993, 29.01714, 17.92021),
]


@pytest.mark.parametrize(("pitch", "plan", "mitre", "bevel"), WORKED)
@pytest.mark.parametrize("side", list(Side))
def test_unequal_slopes(pitch: float, plan: float, mitre: float, bevel: float, side: Side) -> None:
    spring = 90 - math.degrees(math.atan(pitch))
    slope = (-1 if side is Side.RIGHT else 1) / math.tan(math.radians(plan))
    backs = [s.holding for s in answers(90, spring) if s.method is Method.FLAT and "ceiling edge" in s.against_fence]
    blade = blade_for(backs[0], EndPlane(0.0, slope), side)
    assert abs(blade.swing) == pytest.approx(mitre, abs=6e-6)
    assert abs(blade.lean) == pytest.approx(bevel, abs=6e-6)


@pytest.mark.parametrize(("first", "second"), [(10 / 12, 11 / 12), (12 / 12, 8 / 12)])
def test_plan_angle_of_unequal_slopes(first: float, second: float) -> None:
    """The worked D follows from the slopes: tan D1 = sin W / (tan S1 / tan S2 + cos W), here W = 90."""
    plan = {pitch: d for pitch, d, _, _ in WORKED}
    assert plan[first] == pytest.approx(math.degrees(math.atan(second / first)), abs=6e-6)
    assert plan[first] + plan[second] == pytest.approx(90, abs=2e-5)
