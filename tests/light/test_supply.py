"""Drivers, feeds, cables and fuses of strips by themselves."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from test_route import legs_of

from trimwright.data import table
from trimwright.light.route import Route, lay
from trimwright.light.supply import Driver, Strip, Wiring, circuits

STRIP = Strip(voltage_v=24.0, power_w=9.6, lumens=1000, interval=50, copper=0.28, knee_v=17.0, reel=5000)
DRIVERS = tuple(Driver(power_w=p, name=f"{p:g}") for p in (30.0, 60.0, 100.0, 200.0))
WIRING = Wiring(spare=0.2, limit=0.05, feed="auto", cable=1000, section=None, copper_temperature=20, drivers=DRIVERS)


def straight(metres: float) -> Route:
    route = lay(legs_of((metres * 1000 + 20,), closed=False), False, 50.0, "link")
    assert route is not None
    assert route.length == pytest.approx(metres * 1000)
    return route


def test_a_short_strip_has_one_feed_and_the_smallest_driver_with_its_spare() -> None:
    (circuit,) = circuits(straight(2.0), STRIP, WIRING)
    assert circuit.power_w == pytest.approx(19.2)
    assert circuit.driver.power_w == 30
    assert len(circuit.feeds) == 1
    assert circuit.within


def test_spare_decides_the_driver() -> None:
    """6 m at 9.6 W are 57.6 W: a 60 W driver without spare, 100 W with 20 %."""
    run = straight(6.0)
    assert circuits(run, STRIP, replace(WIRING, spare=0.0))[0].driver.power_w == 60
    assert circuits(run, STRIP, WIRING)[0].driver.power_w == 100


def test_long_runs_are_parted_among_drivers() -> None:
    """40 m are 384 W, 461 W with spare: three circuits of a 200 W driver each, cut at marks."""
    made = circuits(straight(40.0), STRIP, WIRING)
    assert len(made) == 3
    assert made[0].first == 0
    assert made[-1].last == pytest.approx(40_000)
    assert all(a.last == b.first for a, b in itertools.pairwise(made))
    assert all(c.first % 50 == pytest.approx(0) for c in made)


def test_more_than_five_metres_want_more_than_one_end() -> None:
    """Common practice, no source: at 24 V feed past about 5 m from both ends, or from the middle."""
    one = circuits(straight(4.5), STRIP, WIRING)[0]
    assert [f.along for f in one.feeds] == [0]
    more = circuits(straight(9.0), STRIP, WIRING)[0]
    assert len(more.feeds) > 1 or 0 < more.feeds[0].along < more.length


def test_there_are_no_fewer_feeds_that_would_do() -> None:
    """With one feed less, at an end, in the middle or spread evenly, the drop is over its limit."""
    run = straight(16.0)
    (best,) = circuits(run, STRIP, WIRING)
    assert best.within
    assert len(best.feeds) > 1
    (fewer,) = circuits(run, STRIP, replace(WIRING, feed=len(best.feeds) - 1))
    assert not fewer.within
    assert fewer.drop > 0.05


@pytest.mark.parametrize("limit", [0.02, 0.03, 0.08])
def test_the_limit_is_kept(limit: float) -> None:
    (circuit,) = circuits(straight(10.0), STRIP, replace(WIRING, limit=limit))
    assert circuit.drop <= limit
    assert circuit.voltages.voltage.min() >= 24 * (1 - limit) - 1e-6


def test_cables_may_carry_their_fuses() -> None:
    carrying = table("conductors")["carrying"]
    most = dict(zip(carrying["sections"], carrying["current"], strict=True))
    for metres in (1.0, 5.0, 12.0, 20.0):
        for circuit in circuits(straight(metres), STRIP, WIRING):
            assert most[circuit.section] >= circuit.fuse
            assert all(circuit.fuse >= 1.25 * feed.current_a * 0.98 for feed in circuit.feeds)


def test_a_given_section_is_kept_and_a_given_feed() -> None:
    (circuit,) = circuits(straight(8.0), STRIP, replace(WIRING, section=2.5, feed="both"))
    assert circuit.section == 2.5
    assert [f.along for f in circuit.feeds] == [0, pytest.approx(8000)]


def test_warm_copper_and_long_cables_cost_voltage() -> None:
    run = straight(4.0)
    plain = circuits(run, STRIP, replace(WIRING, feed="start", section=1.0))[0]
    warm = circuits(run, STRIP, replace(WIRING, feed="start", section=1.0, copper_temperature=70))[0]
    far = circuits(run, STRIP, replace(WIRING, feed="start", section=1.0, cable=9000))[0]
    assert plain.drop < warm.drop
    assert plain.drop < far.drop


def test_brightness_follows_current() -> None:
    """A regulated strip stays even; one with resistors dims at its far end."""
    run = straight(5.0)
    steady = circuits(run, replace(STRIP, knee_v=None), replace(WIRING, feed="start"))[0]
    plain = circuits(run, STRIP, replace(WIRING, feed="start"))[0]
    assert steady.evenness == pytest.approx(1)
    assert plain.evenness < 1
    assert plain.voltages.brightness.argmin() == len(plain.places) - 1
