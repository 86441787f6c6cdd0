"""How long a survey takes: `python tests/benchmarks/bench_survey.py`. Wanted: 12 corners 20 ms, 240 corners 0.5 s."""

from __future__ import annotations

import math
import time

import numpy as np

from trimwright.survey.adjust import adjust
from trimwright.survey.reading import Reading, angle, diagonal, length


def round_room(corners: int, diagonals: int) -> list[Reading]:
    """Readings with their own random errors of a regular room of 2 m walls and some diagonals."""
    rng = np.random.default_rng(1)
    radius = 1000 / math.sin(math.pi / corners)
    readings = [length(i, 2000 + rng.normal(0, 2.1)) for i in range(corners)]
    readings += [angle(i, 180 - 360 / corners + rng.normal(0, 0.3)) for i in range(corners)]
    for _ in range(diagonals):
        i, j = sorted(int(k) for k in rng.choice(corners, 2, replace=False))
        if (j - i) % corners not in (1, corners - 1):
            readings.append(diagonal(i, j, 2 * radius * math.sin(math.pi * (j - i) / corners)))
    return readings


def main() -> None:
    for corners, diagonals in ((4, 2), (12, 6), (60, 10), (240, 20)):
        readings = round_room(corners, diagonals)
        times = []
        for _ in range(5):
            start = time.perf_counter()
            adjust(readings)
            times.append(time.perf_counter() - start)
        best, worst = 1000 * min(times), 1000 * max(times)
        print(f"{corners:4} corners {len(readings):4} readings  best {best:7.1f} ms  worst {worst:7.1f} ms")


if __name__ == "__main__":
    main()
