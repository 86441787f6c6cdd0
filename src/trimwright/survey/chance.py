"""The few figures of statistics that a survey needs, from the standard library alone.

Sources: Baarda, "A testing procedure for use in geodetic networks" (1968), for the test of single readings and the
slip it can find; the survival function of chi-square for whole degrees of freedom is its closed form.
"""

from __future__ import annotations

import math
from statistics import NormalDist

__all__ = ["DETECTABLE", "ELLIPSE_95", "chi_square_survival", "critical_w"]

ELLIPSE_95 = math.sqrt(-2 * math.log(0.05))
"""A 95 % ellipse is the standard one times this (2.448): two degrees of freedom have the closed form 1 - exp(-k²/2)."""

DETECTABLE = NormalDist().inv_cdf(1 - 0.001 / 2) + NormalDist().inv_cdf(0.80)
"""Four times in five a slip of so many standard deviations (4.13) is found by a test with one false alarm in 1,000."""

FALSE_ALARMS = 0.01
"""How often a room with nothing wrong may have any reading doubted."""


def critical_w(readings: int) -> float:
    """The standardized residual beyond which a reading is doubted, for so many readings (3.29 for ten, as Baarda's)."""
    return NormalDist().inv_cdf(1 - FALSE_ALARMS / max(1, readings) / 2)


def chi_square_survival(x: float, freedom: int) -> float:
    """How often chance alone makes chi-square exceed x: small means the readings disagree. 1 with nothing to compare.

    Even degrees of freedom: a Poisson sum; odd ones: erfc and the same sum at half steps. Terms are taken through
    logarithms so that hundreds of degrees of freedom do not underflow.
    """
    if freedom <= 0 or x <= 0:
        return 1.0
    half = x / 2
    odd = freedom % 2
    first = math.erfc(math.sqrt(half)) if odd else 0.0
    steps = (k + odd / 2 for k in range(freedom // 2))
    return min(1.0, first + sum(math.exp(k * math.log(half) - half - math.lgamma(k + 1)) for k in steps))
