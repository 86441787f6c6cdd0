"""Cutting plans: time and gap for rooms, for a large list, and for published instances: `python bench_plan.py`.

Rooms: pieces of 280 to 4,100 mm and three stock lengths at about the same price a metre, so that no length is plainly
the best; each is planned to the end, and once with 0.2 s. Large: 1,000 pieces of 60 lengths. Sites: up to 10,000
pieces, without a clock. Published: the files in the folder named by TRIMWRIGHT_CSP, if it is set.
"""

from __future__ import annotations

import json
import os
import random
import statistics
import time
from decimal import Decimal
from pathlib import Path

from trimwright.stock.parts import StockLength
from trimwright.stock.plan import CutPlan, cut_plan

Wanted = list[tuple[float, int]]
KERF = 3.0
ROOMS = ((8, 8), (20, 20), (40, 20), (40, 40), (60, 30), (60, 60))
SEEDS = 20


def a_list(seed: int, pieces: int, lengths: int, longest: int) -> tuple[Wanted, list[StockLength]]:
    """So many pieces of so many lengths, and three stock lengths."""
    chance = random.Random(seed)
    chosen = [float(chance.randint(280, longest)) for _ in range(lengths)]
    chosen += [chance.choice(chosen) for _ in range(pieces - lengths)]
    stock = [
        StockLength(length, Decimal(price + chance.randint(-60, 60)) / 100)
        for length, price in ((2400.0, 1420), (3000.0, 1710), (4200.0, 2450))
    ]
    return [(length, 1) for length in chosen], stock


def timed(wanted: Wanted, stock: list[StockLength], kerf: float, seconds: float) -> tuple[CutPlan, float]:
    """A plan and the seconds it took."""
    begun = time.perf_counter()
    plan = cut_plan(wanted, stock, kerf, time_limit=seconds)
    return plan, time.perf_counter() - begun


def rooms() -> None:
    """Median, ninth tenth and worst time to the proof; worst excess of a plan made in 0.2 s."""
    print("rooms         proven   median     9/10    worst   excess after 0.2 s (its worst time)")
    for pieces, lengths in ROOMS:
        times, proven, excess, hasty = [], 0, 0.0, 0.0
        for seed in range(SEEDS):
            wanted, stock = a_list(seed, pieces, lengths, 4100)
            quick, quick_time = timed(wanted, stock, KERF, 0.2)
            plan, seconds = timed(wanted, stock, KERF, 20)
            times.append(seconds)
            proven += plan.status == "optimal"
            excess = max(excess, float(quick.cost / plan.cost) - 1)
            hasty = max(hasty, quick_time)
        times.sort()
        shares = f"{statistics.median(times):7.3f}s {times[int(SEEDS * 0.9)]:7.3f}s {times[-1]:7.3f}s"
        print(f"{pieces:3} of {lengths:2}     {proven:3}/{SEEDS}  {shares}   {excess:.2%} ({hasty:.2f} s)")


def large() -> None:
    """Time and gap of lists for a whole site."""
    print("1,000 pieces of 60 lengths: gap to the bound, time (3 s allowed)")
    for seed in range(5):
        plan, seconds = timed(*a_list(seed, 1000, 60, 2900 if seed % 2 else 4100), KERF, 3)
        print(f"  {plan.gap:.3%}  {seconds:.2f} s  {len(plan.bars)} bars")


def sites() -> None:
    """Gap and work of plans without a clock, for lists of whole sites."""
    print("by so much work: pieces, lengths, gap to the bound, processor time")
    for pieces, lengths in ((1000, 60), (10_000, 60), (400, 400), (1000, 1000), (8000, 8000)):
        wanted, stock = a_list(1, pieces, lengths, 4100)
        begun = time.process_time()
        plan = cut_plan(wanted, stock, KERF, time_limit=None)
        print(f"  {pieces:6} {lengths:5}  {plan.gap:.3%}  {time.process_time() - begun:.2f} s  {len(plan.bars)} bars")


def published() -> None:
    """Bars, bound and time against the published optimum."""
    for path in sorted(Path(os.environ["TRIMWRIGHT_CSP"]).glob("*.json")):
        instance = json.loads(path.read_text(encoding="utf-8"))
        wanted = [(float(length), count) for length, count in instance["items"]]
        plan, seconds = timed(wanted, [StockLength(instance["capacity"])], 0, 10)
        print(f"{path.stem:22} optimum {instance['optimal']:4}  {plan.cost:4} (bound {plan.bound:4})  {seconds:6.2f} s")


if __name__ == "__main__":
    rooms()
    large()
    sites()
    if os.environ.get("TRIMWRIGHT_CSP"):
        published()
