"""What is said of the light on its sheets, on the page and in the terminal: whole sentences, from one place."""

from __future__ import annotations

from collections.abc import Iterator

from trimwright.light.brightness import Brightness
from trimwright.light.run import LightRun

__all__ = ["bright_words", "circuit_words", "light_words", "strip_words"]

JOINS = {
    "link": "soldered wires of 0.75 mm²",
    "connector": "connectors",
    "bend": "bends, made at a cut mark",
}


def light_words(run: LightRun, bright: Brightness | None) -> Iterator[str]:
    """Everything worth a sentence, warnings first."""
    yield from (f"warning: {warning}" for warning in run.warnings)
    yield from strip_words(run)
    yield from circuit_words(run)
    if bright is None:
        yield "How bright it gets is not told for an open run of walls."
    else:
        yield from bright_words(bright, run)


def strip_words(run: LightRun) -> Iterator[str]:
    """The strip: how much, how it runs, how dark the corners stay."""
    strip, mouth = run.strip, run.channel.mouth
    yield (
        f"Strip {strip.voltage_v:g} V, {strip.power_w:g} W/m, {strip.lumens:g} lm/m, cut every {strip.interval:g} mm:"
        f" {run.length / 1000:.2f} m in {len(run.stretches)} lengths, {run.power_w:.0f} W."
    )
    yield (
        f"It lies in {run.channel.trim.name}, which opens {mouth.words} by a mouth of {mouth.width:.1f} mm. A wedge"
        " shows which way it runs; it passes corners by " + JOINS[run.asked.corners] + "."
    )
    worst = max(run.darks, key=lambda dark: dark.length)
    corners = [d.length for d in run.darks if d.where.startswith("corner")]
    most = f"; at corners at most {max(corners):.0f} mm" if corners and worst.length > max(corners) else ""
    yield f"Longest dark length {worst.length:.0f} mm at {worst.where}{most}: no other start makes it shorter."
    bends = [b for route in run.routes for b in route.bends]
    if bends:
        yield f"The bends lie up to {max(bends):.0f} mm from a cut mark: fold the strip there, between two lamps."
    yield "The hole for a cable is 8 mm, in the bed of the channel, its edge free of burrs and with a grommet."


def circuit_words(run: LightRun) -> Iterator[str]:
    """Each circuit: length, power, driver, feeds, cable, fuse, and what is left at the far end."""
    for number, c in enumerate(run.circuits, 1):
        feeds = "1 feed" if len(c.feeds) == 1 else f"{len(c.feeds)} feeds"
        yield (
            f"Circuit {number}: {c.length / 1000:.2f} m, {c.power_w:.0f} W, {c.power_w / run.strip.voltage_v:.1f} A;"
            f" on {c.driver.name}{_number(run, c.on)} (spare {_spare(run, c.on):.0%}); {feeds} by two-core cable of"
            f" {c.section:g} mm², fuse {c.fuse:g} A each; lowest voltage {float(c.voltages.voltage.min()):.2f} V"
            f" (drop {c.drop:.1%} of at most {run.wiring.limit:.0%}),"
            f" brightness {c.dimmest:.0%} to {float(c.voltages.brightness.max()):.0%}."
        )
        cables = ", ".join(f"{e.name} {e.cable / 1000:.1f} m" for e in run.entries if e.circuit == number)
        yield f"Cables of circuit {number}, driver to hole: {cables}."


def _number(run: LightRun, on: int) -> str:
    """Which driver it is, where there are several."""
    return f" (no. {on})" if len(run.drivers) > 1 else ""


def _spare(run: LightRun, on: int) -> float:
    driver, power = run.drivers[on - 1]
    return driver.power_w / power - 1


def bright_words(bright: Brightness, run: LightRun) -> Iterator[str]:
    """The room: lumens, lux, glow, and how far the numbers can be trusted."""
    floor, working = bright.floor, bright.working
    yield (
        f"{bright.lumens:.0f} lm leave the channel ({run.asked.transmission:.0%} through the diffuser, drop included),"
        f" spread evenly (Lambert's law) about the way its mouth faces: {run.channel.mouth.words}."
    )
    yield (
        f"Floor: mean {floor.mean:.0f} lx, least {floor.least:.0f}, uniformity {floor.uniformity:.2f}. At"
        f" {working.height / 1000:g} m: mean {working.mean:.0f} lx, least {working.least:.0f}, uniformity"
        f" {working.uniformity:.2f}; {bright.straight:.0%} of it straight from the channel."
    )
    yield (
        f"Ceiling before the trims: luminance {bright.glow.mean:.0f} cd/m² in the mean, {bright.glow.most:.0f} at its"
        " brightest."
    )
    asked = run.asked.reflectance
    yield (
        f"Reflectances: ceiling {asked.ceiling:g}, walls {asked.walls:g}, floor {asked.floor:g}, trim {asked.trim:g}."
        " Furniture and curtains take light away; lamps fade by a fifth over their life (common practice, no source)."
    )
    yield (
        f"Computed on {bright.patches} patches; after {len(bright.underway)} bounces {bright.underway[-1]:.3%} of the"
        f" light is on its way; light absorbed over light sent {bright.balance:.4f}; counts of rays missed by"
        f" {bright.closure:.1%} before they were adjusted."
    )
