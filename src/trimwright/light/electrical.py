"""The strip as a ladder of copper and lamps: voltage and brightness along it for any number of feeds.

Both conductors of the strip are taken together: `steps` are ohms there and back from node to node, and each node draws
what its share of the strip draws. A load is either constant (a regulator on the strip holds the current) or resistive:
current rises in a straight line from the knee, the voltage at which the diodes begin to conduct, to its nominal value.
Each feed joins the driver to a node through its cable, there and back. Solved as a tridiagonal system (Thomas's
elimination).

For a uniform constant load fed at one end the drop is I R L / 2, as the current falls in a straight line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trimwright.data import table

__all__ = ["Feed", "Line", "Load", "Voltages", "conductor", "even_line", "solve_line", "warm"]

Floats = NDArray[np.float64]

STIFF = 1e-9
"""Ohms of a feed without cable."""

TURNS = 40
"""Rounds in which nodes below the knee are found; each round is one elimination."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What a metre of strip draws at its nominal voltage, A; `knee_v` is None for a constant current."""

    nominal_v: float
    current_a: float
    knee_v: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """A place where the strip is fed: a node, and the resistance of its cable there and back, ohm."""

    node: int
    ohm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line:
    """A strip: ohms there and back from each node to the next, and metres of strip that draw at each node."""

    steps: Floats
    metres: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Voltages:
    """`voltage` and `current` (A) at each node, `brightness` over nominal, and the current of each feed."""

    voltage: Floats
    current: Floats
    brightness: Floats
    feeds: tuple[float, ...]

    def drop(self, nominal_v: float) -> float:
        """Worst drop as a part of the nominal voltage, cable included."""
        return float(1 - self.voltage.min() / nominal_v)


def conductor(section: float, kind: str = "flexible", temperature: float = 20.0) -> float:
    """Resistance of one conductor, ohm per metre, at a temperature: IEC 60228 (see data/conductors.toml)."""
    row = table("conductors")[kind]
    return float(row["resistance"][row["sections"].index(section)]) / 1000 * warm(temperature)


def warm(temperature: float) -> float:
    """How much more copper resists at a temperature than at 20 °C."""
    return 1 + float(table("conductors")["copper"]["temperature_coefficient"]) * (temperature - 20)


def even_line(length_m: float, ohm_per_m: float, cells: int) -> Line:
    """A strip of one length without links, in equal cells; the nodes at its ends draw for half a cell each."""
    metres = np.full(cells + 1, length_m / cells)
    metres[[0, -1]] /= 2
    return Line(steps=np.full(cells, ohm_per_m * length_m / cells), metres=metres)


def solve_line(line: Line, load: Load, source_v: float, feeds: Sequence[Feed]) -> Voltages:
    """Voltages along a strip fed from a source through its feeds. Nodes below the knee draw nothing."""
    nominal = load.current_a * line.metres
    knee = load.knee_v or 0.0
    gain = np.zeros_like(nominal) if load.knee_v is None else nominal / (load.nominal_v - knee)
    lit = np.ones(len(nominal), bool)
    voltage = np.full(len(nominal), source_v)
    for _ in range(TURNS):
        fixed = nominal if load.knee_v is None else -gain * knee
        voltage = _eliminated(line, np.where(lit, gain, 0.0), np.where(lit, fixed, 0.0), source_v, feeds)
        now = voltage > knee
        if (now == lit).all():
            break
        lit = now
    drawn = np.where(lit, gain * (voltage - knee) if load.knee_v is not None else nominal, 0.0)
    return Voltages(
        voltage=voltage,
        current=drawn,
        brightness=np.divide(drawn, nominal, out=np.zeros_like(drawn), where=nominal > 0),
        feeds=tuple(float(source_v - voltage[f.node]) / max(f.ohm, STIFF) for f in feeds),
    )


def _eliminated(line: Line, gain: Floats, drawn: Floats, source_v: float, feeds: Sequence[Feed]) -> Floats:
    """Node voltages where each node draws gain * v + drawn: one sweep down the ladder and one back."""
    joins = 1 / np.maximum(line.steps, STIFF)
    diagonal = gain.copy()
    diagonal[:-1] += joins
    diagonal[1:] += joins
    right = -drawn
    for feed in feeds:
        diagonal[feed.node] += 1 / max(feed.ohm, STIFF)
        right[feed.node] += source_v / max(feed.ohm, STIFF)
    for k in range(1, len(diagonal)):
        part = joins[k - 1] / diagonal[k - 1]
        diagonal[k] -= part * joins[k - 1]
        right[k] += part * right[k - 1]
    voltage = right / diagonal
    for k in range(len(diagonal) - 2, -1, -1):
        voltage[k] = (right[k] + joins[k] * voltage[k + 1]) / diagonal[k]
    return np.asarray(voltage)
