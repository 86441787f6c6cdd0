"""Time of the light of the reading room, part by part, and how its numbers settle with rays and patches.

Run by hand: .venv/bin/python tests/benchmarks/bench_light.py
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import numpy as np

from trimwright.light import brightness, surfaces
from trimwright.light.run import light_run
from trimwright.project.project import read_project
from trimwright.setout.set_out import set_out

Made = TypeVar("Made")
ROOM = Path(__file__).parents[2] / "examples" / "reading-room.toml"


def timed(work: Callable[[], Made]) -> tuple[float, Made]:
    start = time.perf_counter()
    made = work()
    return time.perf_counter() - start, made


def main() -> None:
    project = read_project(ROOM)
    done = set_out(project)
    assert project.light is not None
    asked = project.light
    seconds, run = timed(lambda: light_run(done, asked))
    print(f"strip, circuits, fixings: {seconds * 1000:.0f} ms")
    brightness.lit_room(done, run)  # libraries are loaded
    print("patch mm   rays  patches  seconds  floor lx  table lx   balance  missed by")
    for step in (450.0, 300.0):
        for rays in (100, 200, 400, 800):
            surfaces.COARSE, brightness.RAYS = step, rays
            seconds, bright = timed(lambda: brightness.brightness(done, run))
            assert bright is not None
            row = (step, rays, bright.patches, seconds, bright.floor.mean, bright.working.mean)
            print("{:8.0f} {:6d} {:8d} {:8.2f} {:9.1f} {:9.1f}".format(*row), end="")
            print(f"  {bright.balance:8.5f}  {bright.closure:9.2%}")
    print(f"bounces until {bright.underway[-1]:.0e} is left: {len(bright.underway)};", end=" ")
    print("after each:", np.array2string(np.array(bright.underway[:6]), precision=3))


if __name__ == "__main__":
    main()
