"""Least squares: derivatives, statistics, and what is not held."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats

from trimwright.survey.chance import DETECTABLE, ELLIPSE_95, chi_square_survival, critical_w
from trimwright.survey.network import NotHeld, Tie, held, jacobian, solve, values

POINTS = np.array([[0.0, 0.0], [4000.0, 120.0], [3900.0, -2900.0], [150.0, -3100.0]])
TIES = [
    Tie((0, 1), 4000, 2.0),
    Tie((1, 2), 3000, 2.0),
    Tie((2, 3), 3750, 2.0),
    Tie((0, 2), 4860, 3.0),
    Tie((1, 0, 1, 2), 90, 0.3),
    Tie((2, 1, 2, 3), 90, 0.3),
    Tie((0, 1, 3, 2), 0, 0.5, period=180.0),
]
FREE = np.array([[False, False], [True, False], [True, True], [True, True]])


def test_the_derivatives_are_those_of_the_values():
    """Against central differences of `values`; 0.01 mm is small beside every line and large beside rounding."""
    step = 0.01
    numeric = np.zeros((len(TIES), POINTS.size))
    for k in range(POINTS.size):
        shift = np.zeros(POINTS.size)
        shift[k] = step
        there = values(POINTS + shift.reshape(POINTS.shape), TIES)
        back = values(POINTS - shift.reshape(POINTS.shape), TIES)
        numeric[:, k] = (there - back) / (2 * step)
    assert jacobian(POINTS, TIES) == pytest.approx(numeric, abs=1e-8)


def test_a_bearing_is_taken_in_the_turn_of_its_reading():
    near_zero = [Tie((0, 1, 0, 1), 359.9, 1.0), Tie((0, 1, 1, 0), 0.2, 1.0, period=180.0)]
    assert values(POINTS, near_zero) == pytest.approx([360.0, 0.0])


def test_what_is_minimal_has_no_slope():
    """At the least squares point the derivative of the sum of squares vanishes for every free coordinate."""
    found = solve(TIES, POINTS, FREE)
    sds = np.array([t.sd for t in TIES])
    slope = (jacobian(found.points, TIES) / sds[:, None]).T @ (found.residuals / sds)
    assert slope[FREE.ravel()] == pytest.approx(np.zeros(5), abs=1e-7)


def test_redundancy_numbers_add_up_to_the_degrees_of_freedom():
    found = solve(TIES, POINTS, FREE)
    assert found.freedom == len(TIES) - 5
    assert found.redundancy.sum() == pytest.approx(found.freedom)


def test_the_covariance_is_the_inverse_of_the_normal_matrix():
    found = solve(TIES, POINTS, FREE)
    rows = (jacobian(found.points, TIES) / np.array([t.sd for t in TIES])[:, None])[:, FREE.ravel()]
    inverse = np.linalg.inv(rows.T @ rows)
    covariance = found.covariance()
    assert covariance[np.ix_(FREE.ravel(), FREE.ravel())] == pytest.approx(inverse, rel=1e-8)
    assert not covariance[[0, 1, 3]].any()
    x, y = found.points[1]
    along = x / np.hypot(x, y)
    assert found.deviations([Tie((0, 1), 0, 1)])[0] == pytest.approx(along * np.sqrt(covariance[2, 2]))


@pytest.mark.parametrize("ties", [TIES[:4], [*TIES[:3], TIES[0], TIES[1]]])
def test_loose_points_are_refused(ties):
    assert not held(POINTS, ties, FREE)
    with pytest.raises(NotHeld):
        solve(ties, POINTS, FREE)


@pytest.mark.parametrize("freedom", [1, 2, 3, 8, 37, 501])
def test_chi_square_against_scipy(freedom):
    for x in (0.1, freedom, 2 * freedom, 3 * freedom):
        assert chi_square_survival(x, freedom) == pytest.approx(scipy.stats.chi2.sf(x, freedom), abs=1e-12)
    assert chi_square_survival(3.0, 0) == 1.0


def test_the_constants_of_the_trade():
    """Baarda 1968: 3.29 at 0.1 %, and a detectable slip of 4.13 (noncentrality 17.07) at 80 % power."""
    assert critical_w(10) == pytest.approx(3.29, abs=0.005)
    noncentrality, squared_radius = DETECTABLE**2, ELLIPSE_95**2
    assert noncentrality == pytest.approx(17.07, abs=0.01)
    assert squared_radius == pytest.approx(scipy.stats.chi2.ppf(0.95, 2))
