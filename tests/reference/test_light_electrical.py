"""Ladder network and conductors against closed forms, an independent solver and published tables.

IEC 60228:2004 as tabled at mycableengineering.com; temperature factors of uecables.com's table for copper; IEC 60028.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.sparse import diags_array
from scipy.sparse.linalg import spsolve

from trimwright.data import table
from trimwright.light.electrical import Feed, Line, Load, conductor, even_line, solve_line, warm

STEADY = Load(nominal_v=24.0, current_a=0.4)
DIODES = Load(nominal_v=24.0, current_a=0.4, knee_v=17.0)


def test_uniform_current_fed_at_one_end() -> None:
    """Current falls in a straight line from I to 0, so the drop is I R L / 2."""
    length, ohm = 10.0, 0.12
    end = solve_line(even_line(length, ohm, 80), STEADY, 24.0, [Feed(node=0, ohm=0.0)]).voltage[-1]
    assert 24.0 - end == pytest.approx(0.4 * length * ohm * length / 2, rel=1e-6)


def test_uniform_current_fed_at_both_ends_and_in_the_middle() -> None:
    """Either way each half is a strip of half the length with its feed at one end: a quarter of the drop."""
    line, alone = even_line(10.0, 0.12, 80), 0.4 * 10 * 0.12 * 10 / 2
    both = solve_line(line, STEADY, 24.0, [Feed(node=0, ohm=0.0), Feed(node=80, ohm=0.0)])
    middle = solve_line(line, STEADY, 24.0, [Feed(node=40, ohm=0.0)])
    assert 24 - both.voltage.min() == pytest.approx(alone / 4, rel=1e-6)
    assert 24 - middle.voltage.min() == pytest.approx(alone / 4, rel=1e-6)
    assert both.feeds == pytest.approx((2.0, 2.0), rel=1e-4)


def test_cable_there_and_back() -> None:
    """5 A over 10 m of 2.5 mm² flexible: 2 x 10 x 7.98e-3 x 5 = 0.798 V before the strip begins."""
    load = Load(nominal_v=24.0, current_a=5.0)
    ohm = 2 * 10 * conductor(2.5)
    fed = solve_line(even_line(1.0, 1e-9, 4), load, 24.0, [Feed(node=0, ohm=ohm)])
    assert 24.0 - fed.voltage[0] == pytest.approx(0.798, abs=1e-4)


def test_diodes_follow_the_hyperbola() -> None:
    """Above the knee the load is a conductance g a metre: V - K = (V0 - K) cosh(a (L - x)) / cosh(a L), a² = r g."""
    length, ohm, cells = 12.0, 0.12, 2400
    found = solve_line(even_line(length, ohm, cells), DIODES, 24.0, [Feed(node=0, ohm=0.0)])
    a = math.sqrt(ohm * 0.4 / (24 - 17))
    x = np.linspace(0, length, cells + 1)
    wanted = 17 + 7 * np.cosh(a * (length - x)) / np.cosh(a * length)
    assert found.voltage == pytest.approx(wanted, abs=1e-5)
    assert found.brightness[-1] == pytest.approx(1 / math.cosh(a * length), rel=1e-4)


@pytest.mark.parametrize("load", [STEADY, DIODES], ids=["constant", "diodes"])
@pytest.mark.parametrize("nodes", [(0,), (0, 150), (40, 110), (0, 75, 150)])
def test_against_a_sparse_solver(load: Load, nodes: tuple[int, ...]) -> None:
    """The same network written as a matrix and solved by scipy, steps and loads of all sizes."""
    spread = np.random.default_rng(7)
    steps, metres = spread.uniform(0.002, 0.02, 150), spread.uniform(0.02, 0.08, 151)
    feeds = [Feed(node=n, ohm=0.05 + 0.01 * k) for k, n in enumerate(nodes)]
    found = solve_line(Line(steps=steps, metres=metres), load, 24.0, feeds)
    nominal = load.current_a * metres
    gain = nominal / (24 - load.knee_v) if load.knee_v else np.zeros(151)
    drawn = -gain * load.knee_v if load.knee_v else nominal
    diagonal = gain + np.append(1 / steps, 0) + np.append(0, 1 / steps)
    right = -drawn
    for feed in feeds:
        diagonal[feed.node] += 1 / feed.ohm
        right[feed.node] += 24 / feed.ohm
    matrix = diags_array([diagonal, -1 / steps, -1 / steps], offsets=[0, 1, -1], format="csc")
    assert found.voltage == pytest.approx(spsolve(matrix, right), abs=1e-9)
    assert sum(found.feeds) == pytest.approx(found.current.sum(), rel=1e-9)


def test_below_the_knee_nothing_shines() -> None:
    """A source of 16 V does not open diodes that begin at 17 V: no current, no drop."""
    found = solve_line(even_line(5.0, 0.12, 40), DIODES, 16.0, [Feed(node=0, ohm=0.1)])
    assert found.voltage == pytest.approx(np.full(41, 16.0))
    assert (found.brightness == 0).all()
    assert found.feeds == pytest.approx((0.0,), abs=1e-9)


@pytest.mark.parametrize(
    ("kind", "values"),
    [
        ("fixed", {0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41, 4.0: 4.61}),
        ("flexible", {0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95}),
    ],
)
def test_resistances_of_iec_60228(kind: str, values: dict[float, float]) -> None:
    row = table("conductors")[kind]
    assert dict(zip(row["sections"], row["resistance"], strict=True)) == values
    for section, ohm in values.items():
        assert conductor(section, kind) * 1000 == pytest.approx(ohm)


def test_no_conductor_is_better_than_its_copper() -> None:
    """IEC 60028: 0.017241 ohm mm²/m. The standard's greatest resistances lie above it, by 4 to 15 %."""
    for kind in ("fixed", "flexible"):
        for section in table("conductors")[kind]["sections"]:
            over = conductor(section, kind) * section / 0.017241
            assert 1.04 < over < 1.16


@pytest.mark.parametrize(("celsius", "divisor"), [(5, 1.064), (30, 0.962), (50, 0.893), (70, 0.833)])
def test_warm_copper(celsius: float, divisor: float) -> None:
    """Published Kt with R20 = Rt Kt; that table rounds 250 / (230 + t), the coefficient 0.00393 is within 0.4 %."""
    assert 1 / warm(celsius) == pytest.approx(divisor, rel=4e-3)
