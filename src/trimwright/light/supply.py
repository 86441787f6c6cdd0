"""Drivers, cables, fuses and feeds: the least that keeps the drop within its limit.

A run that is too much for the largest driver is parted in equal circuits. For each circuit places to feed are tried in
order: one end, the middle, both ends, then more; with each, cables from the thinnest that may carry the fuse. The first
that keeps the worst drop within the limit is taken, so there are as few feeds as can be.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from trimwright.data import table
from trimwright.light.electrical import Feed, Line, Load, Voltages, conductor, solve_line, warm
from trimwright.light.route import Route, Stretch

__all__ = ["Circuit", "Driver", "FeedPoint", "Strip", "Wiring", "circuits", "on_drivers"]

LINK = 0.75
"""Section of the wires that bridge corners and pipes, mm². Common practice, no source."""

Floats = NDArray[np.float64]

THICKEST = 2.5
"""Thicker cables, mm², do not go on a strip's pads or into small terminals. Common practice, no source."""

MOST_FEEDS = 12
"""More feeds than this on one circuit are not tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A strip as sold: `copper` is the section of one conductor in mm², `knee_v` None for one with regulators."""

    voltage_v: float
    power_w: float
    lumens: float
    interval: float
    copper: float
    knee_v: float | None
    reel: float

    @property
    def load(self) -> Load:
        """What a metre draws."""
        return Load(nominal_v=self.voltage_v, current_a=self.power_w / self.voltage_v, knee_v=self.knee_v)


@dataclass(frozen=True, slots=True, kw_only=True)
class Driver:
    """A driver by its rating, W; `name` is what it is bought as."""

    power_w: float
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wiring:
    """What is wanted: `spare` part of power, `limit` part of voltage, cable to the strip, feeds, temperatures.

    `feed` is "auto", "start", "end", "middle", "both" or a number of feeds; `cable` the length from the driver to the
    beginning of the run, mm; `section` a given cable, or None for the thinnest that serves.
    """

    spare: float
    limit: float
    feed: str | int
    cable: float
    section: float | None
    copper_temperature: float
    drivers: tuple[Driver, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedPoint:
    """A feed: mm of strip from the circuit's beginning, its cable in mm (one way), and the current it carries, A."""

    along: float
    cable: float
    current_a: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Circuit:
    """Strip on one driver: parts of the run's strip from `first` to `last` mm, how it is fed, and what comes of it.

    `on` is the number of its driver, from 1; another circuit may share it.
    """

    first: float
    last: float
    power_w: float
    driver: Driver
    on: int
    feeds: tuple[FeedPoint, ...]
    section: float
    fuse: float
    drop: float
    within: bool
    places: Floats
    voltages: Voltages

    @property
    def length(self) -> float:
        """Length of strip, mm."""
        return self.last - self.first

    @property
    def current_a(self) -> float:
        """Current of all feeds together."""
        return sum(feed.current_a for feed in self.feeds)

    @property
    def dimmest(self) -> float:
        """Brightness of the dimmest part over the nominal."""
        return float(self.voltages.brightness.min())

    @property
    def evenness(self) -> float:
        """Dimmest over brightest part."""
        return self.dimmest / float(self.voltages.brightness.max())


def circuits(route: Route, strip: Strip, wiring: Wiring) -> tuple[Circuit, ...]:
    """Part a run's strip among drivers and feed each part."""
    power = strip.power_w * route.length / 1000
    rated = sorted(wiring.drivers, key=lambda d: d.power_w)
    count = max(1, math.ceil(power * (1 + wiring.spare) / rated[-1].power_w - 1e-9))
    marks = round(route.length / strip.interval)
    ends = [strip.interval * round(marks * k / count) for k in range(count + 1)]
    return tuple(_circuit(route, strip, wiring, rated, a, b) for a, b in pairwise(ends))


def on_drivers(found: Sequence[Circuit], wiring: Wiring) -> list[Circuit]:
    """The same circuits on as few drivers as they fit (the largest first, each where there is room for it).

    Each driver is the smallest that has its spare above all its circuits.
    """
    rated = sorted(wiring.drivers, key=lambda d: d.power_w)
    room = rated[-1].power_w / (1 + wiring.spare) + 1e-9
    loads: list[list[int]] = []
    for k in sorted(range(len(found)), key=lambda k: -found[k].power_w):
        fits = (load for load in loads if sum(found[j].power_w for j in load) + found[k].power_w <= room)
        load = next(fits, None)
        if load is None:
            loads.append([k])
        else:
            load.append(k)
    placed = list(found)
    for number, load in enumerate(sorted(loads, key=min), 1):
        power = sum(found[k].power_w for k in load) * (1 + wiring.spare) - 1e-9
        driver = next((d for d in rated if d.power_w >= power), rated[-1])
        for k in load:
            placed[k] = replace(found[k], driver=driver, on=number)
    return placed


def _circuit(route: Route, strip: Strip, wiring: Wiring, rated: Sequence[Driver], first: float, last: float) -> Circuit:
    power = strip.power_w * (last - first) / 1000
    driver = next((d for d in rated if d.power_w >= power * (1 + wiring.spare) - 1e-9), rated[-1])
    line, places = _line(route, strip, wiring, first, last)
    best: Circuit | None = None
    for alongs in _patterns(wiring.feed, last - first, strip.interval):
        for section in _sections(wiring, power / strip.voltage_v / len(alongs)):
            tried = _fed(route, strip, wiring, driver, power, (first, last), line, places, alongs, section)
            if tried.within:
                return tried
            best = tried if best is None or tried.drop < best.drop else best
    assert best is not None
    return best


def _fed(
    route: Route,
    strip: Strip,
    wiring: Wiring,
    driver: Driver,
    power: float,
    ends: tuple[float, float],
    line: Line,
    places: Floats,
    alongs: Sequence[float],
    section: float,
) -> Circuit:
    """One way to feed a circuit, solved."""
    first, last = ends
    cables = [wiring.cable + _way(route, first + along) for along in alongs]
    ohm = 2 * conductor(section, "flexible", wiring.copper_temperature) / 1000
    feeds = [
        Feed(node=int(np.abs(places - along).argmin()), ohm=ohm * cable)
        for along, cable in zip(alongs, cables, strict=True)
    ]
    voltages = solve_line(line, strip.load, strip.voltage_v, feeds)
    points = zip(alongs, cables, voltages.feeds, strict=True)
    drop = voltages.drop(strip.voltage_v)
    return Circuit(
        first=first,
        last=last,
        power_w=power,
        driver=driver,
        on=0,
        feeds=tuple(FeedPoint(along=a, cable=c, current_a=i) for a, c, i in points),
        section=section,
        fuse=_fuse(power / strip.voltage_v / len(alongs)),
        drop=drop,
        within=drop <= wiring.limit + 1e-9,
        places=places,
        voltages=voltages,
    )


def _patterns(feed: str | int, length: float, interval: float) -> Iterator[list[float]]:
    """Places to feed, mm from the beginning, at marks: few feeds before many, ends before places in between."""

    def at(parts: Sequence[float]) -> list[float]:
        return sorted({min(length, interval * round(length * part / interval)) for part in parts})

    named = {"start": [0.0], "end": [1.0], "middle": [0.5], "both": [0.0, 1.0]}
    if isinstance(feed, str) and feed in named:
        yield at(named[feed])
        return
    counts = range(1, MOST_FEEDS + 1) if feed == "auto" else [int(feed)]
    for count in counts:
        yield at([0.0] if count == 1 else [k / (count - 1) for k in range(count)])
        yield at([(k + 0.5) / count for k in range(count)])


def _sections(wiring: Wiring, current: float) -> list[float]:
    """Cables to try: the given one, or the standard ones that may carry the fuse, thinnest first."""
    if wiring.section is not None:
        return [wiring.section]
    row = table("conductors")["carrying"]
    fuse = _fuse(current)
    fit = [s for s, most in zip(row["sections"], row["current"], strict=True) if most >= fuse]
    return [s for s in fit if s <= THICKEST] or fit[:1] or [row["sections"][-1]]


def _fuse(current: float) -> float:
    """The next fuse above a quarter more than the current, A (common practice, no source)."""
    sizes = table("conductors")["fuses"]["current"]
    return float(next((size for size in sizes if size >= 1.25 * current), sizes[-1]))


def _way(route: Route, along: float) -> float:
    """How far a cable runs along the channel from the beginning of the run; a closed run is gone round either way."""
    return min(along, route.length - along) if route.closed else along


def _line(route: Route, strip: Strip, wiring: Wiring, first: float, last: float) -> tuple[Line, Floats]:
    """The ladder of a circuit: a node at each mark, wires between the stretches; and where its nodes lie."""
    cell = strip.interval / 1000
    rho = float(table("conductors")["copper"]["resistivity"]) * warm(wiring.copper_temperature)
    step = 2 * rho / strip.copper * cell
    wire = 2 * conductor(LINK, "flexible", wiring.copper_temperature) / 1000
    count = round((last - first) / strip.interval)
    steps = np.full(count, step)
    at = -round(first / strip.interval)
    for one, two in pairwise(route.stretches):
        at += one.count
        if 0 < at < count:
            steps[at] += wire * _bridge(one, two)
    metres = np.full(count + 1, cell)
    metres[[0, -1]] /= 2
    return Line(steps=steps, metres=metres), np.asarray(np.arange(count + 1) * strip.interval, float)


def _bridge(one: Stretch, two: Stretch) -> float:
    """Length of wire from one stretch to the next, mm."""
    return one.rest + one.legs[-1].gap + two.start
