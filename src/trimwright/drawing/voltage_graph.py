"""Voltage and brightness along the strip of every circuit, as a graph at paper size."""

from __future__ import annotations

from collections.abc import Iterator

from trimwright.drawing.marks import Anchor, Drawing, Layer, Mark, Text, polyline
from trimwright.light.run import LightRun
from trimwright.light.supply import Circuit

__all__ = ["voltage_graph"]

HEIGHT = 36.0
"""Height of the graph, paper mm."""

WIDEST = 250.0
"""Its width at most, paper mm."""

MARGIN = 18.0
"""Kept at both sides for the figures of the scales, paper mm."""


def voltage_graph(run: LightRun, space: float) -> Drawing:
    """Volts at the left, brightness in per cent at the right, metres of strip below; feeds as upright lines."""
    width = min(WIDEST, space - 2 * MARGIN)
    nominal = run.strip.voltage_v
    low = min(float(c.voltages.voltage.min()) for c in run.circuits)
    floor = min(nominal * (1 - 1.2 * run.wiring.limit), low - 0.1)
    total = sum(c.length for c in run.circuits)
    marks: list[Mark] = [*_frame(width, nominal, floor, total, nominal * (1 - run.wiring.limit))]
    at = 0.0
    for number, circuit in enumerate(run.circuits, 1):
        marks += _curves(circuit, number, at, width / total, floor, nominal)
        at += circuit.length * width / total
    return Drawing("voltage", tuple(marks))


def _frame(width: float, nominal: float, floor: float, total: float, limit: float) -> Iterator[Mark]:
    def up(volts: float) -> float:
        return HEIGHT * (volts - floor) / (nominal - floor)

    yield polyline([(0, 0), (width, 0), (width, HEIGHT), (0, HEIGHT)], Layer.DIMENSION, closed=True)
    for volts in (nominal, limit):
        yield Text((-1.5, up(volts)), f"{volts:.2f} V", 2.5, Layer.DIMENSION, Anchor.RIGHT)
    yield polyline([(0, up(limit)), (width, up(limit))], Layer.HIDDEN)
    for percent in (100, 50):
        yield Text((width + 1.5, HEIGHT * percent / 100), f"{percent} %", 2.5, Layer.DIMENSION, Anchor.LEFT)
    step = 1 if total < 12_000 else 2 if total < 30_000 else 5
    for metre in range(0, int(total / 1000) + 1, step):
        x = metre * 1000 * width / total
        yield polyline([(x, 0), (x, -1.5)], Layer.DIMENSION)
        yield Text((x, -2.2), f"{metre} m", 2.5, Layer.DIMENSION, Anchor.TOP)
    yield Text(
        (width / 2, HEIGHT + 3.5), "Along the strip: volts (blue), brightness (amber)", 3.5, Layer.LABEL, Anchor.BASE
    )


def _curves(circuit: Circuit, number: int, at: float, along: float, floor: float, nominal: float) -> Iterator[Mark]:
    xs = [at + float(x) * along for x in circuit.places]
    volts = [HEIGHT * (float(v) - floor) / (nominal - floor) for v in circuit.voltages.voltage]
    bright = [HEIGHT * float(b) for b in circuit.voltages.brightness]
    yield polyline(zip(xs, volts, strict=True), Layer.SETTING_OUT)
    yield polyline(zip(xs, bright, strict=True), Layer.STRIP)
    for k, feed in enumerate(circuit.feeds, 1):
        x = at + feed.along * along
        yield polyline([(x, 0), (x, HEIGHT)], Layer.CENTRE)
        side = Anchor.BASE_RIGHT if x > at + circuit.length * along * 0.9 else Anchor.BASE_LEFT
        shift = -1.0 if side is Anchor.BASE_RIGHT else 1.0
        yield Text((x + shift, 1.5), f"F{number}.{k}", 2.5, Layer.LABEL, side, ground=True)
