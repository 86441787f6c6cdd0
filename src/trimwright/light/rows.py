"""What is bought for the light besides the channel itself: strip, drivers, cable, fuses, clips."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from trimwright.light.run import LightRun, on_reel
from trimwright.stock.quantities import Category, Quantity

__all__ = ["light_rows"]


def light_rows(run: LightRun | None) -> tuple[Quantity, ...]:
    """Rows of the buying list, each with its reason; none without a light."""
    return () if run is None else tuple(_rows(run))


def _rows(run: LightRun) -> Iterator[Quantity]:
    strip, name = run.strip, run.channel.trim.name
    reels = math.ceil(sum(r.last - r.first for r in run.reels) / on_reel(strip) - 1e-9)
    why = f"{run.length / 1000:.2f} m in whole intervals of {strip.interval:g} mm"
    label = f"light strip {strip.voltage_v:g} V {strip.power_w:g} W/m, {strip.reel / 1000:g} m"
    yield _row(label, reels, "reel", why)
    for driver, count in sorted(Counter(driver.name for driver, _ in run.drivers).items()):
        loads = " and ".join(f"{power:.0f} W" for d, power in run.drivers if d.name == driver)
        yield _row(driver, count, "piece", f"for {loads}, {run.wiring.spare:.0%} spare")
    for section in sorted({c.section for c in run.circuits}):
        metres = sum(f.cable for c in run.circuits if c.section == section for f in c.feeds) / 1000
        yield _row(f"two-core cable {section:g} mm²", math.ceil(metres - 1e-9), "m", "from the drivers to every feed")
    for size, count in sorted(Counter(c.fuse for c in run.circuits for _ in c.feeds).items()):
        yield _row(f"fuse {size:g} A", count, "piece", "one a feed, with its holder")
    held = "clip" if run.asked.fixing == "clips" else "screw"
    count = sum(len(cut.fixings) for cut in run.cuts)
    yield _row(f"{name} {held}", count, "piece", f"at most {run.asked.fixing_spacing:g} mm apart, clear of joints")


def _row(item: str, quantity: int, unit: str, why: str) -> Quantity:
    return Quantity(item=item, quantity=Decimal(quantity), unit=unit, why=why, category=Category.LIGHT)
