"""This program beside the same room made with the libraries directly: `python tests/benchmarks/side_by_side.py`.

Prints, as tables that can go into a document: meshes and exact solids of W(n, k) without imports, and the exponent of
their growth with n; a process from its start to the STL files, with its memory; the commands cold; and the reading
room's pack stage by stage. Numbers are seconds of processor time, so that other work on the machine counts for little;
medians of runs in turns. `--kernel` measures the kernel's rows at 240 walls too, which take minutes.
"""

from __future__ import annotations

import argparse
import math
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import other_ways
from workload import CHORD, workload

ROOM = Path(__file__).parents[2] / "examples" / "reading-room.toml"
CASES = ((4, 4), (12, 4), (60, 4), (240, 4), (12, 256))
SLOW = 60
"""Walls, or pipes, beyond which the kernel's rows are measured only when asked for, and once."""

Way = Callable[[Any], object]


QUICK = ["--no-pictures", "--no-step"]

USUAL = """
import gc, sys
from trimwright import cli, process
process.begin = lambda: gc.set_threshold(700, 10, 10)
sys.exit(cli.main(sys.argv[1:]))
"""
"""The program with Python's own number of new objects after which its first process looks for cycles."""


def ours(job: Any) -> int:
    """Bytes of all STL files, by the program."""
    from trimwright.mesh.stl import trim_stl

    return sum(len(trim_stl(job, trim, CHORD)) for trim in job.trims)


def exact(job: Any) -> object:
    """The program's exact solids."""
    from trimwright.solid.build import room_solids

    return room_solids(job)


def kernel_stl(job: Any) -> int:
    """Half-spaces, and triangles as the kernel writes them."""
    return other_ways.triangulated(other_ways.half_spaces(job))


MESHES: dict[str, Way] = {
    "trimwright": ours,
    "numpy by hand": other_ways.numpy_limit,
    "manifold3d": other_ways.manifold,
    "CadQuery, half-spaces": kernel_stl,
}
SOLIDS: dict[str, Way] = {
    "trimwright": exact,
    "CadQuery, half-spaces": other_ways.half_spaces,
    "CadQuery, sweep and cut": other_ways.sweep_and_cut,
}


def processor_time(work: Callable[[], object]) -> float:
    """Seconds of processor time that a piece of work takes in this process."""
    start = time.process_time()
    work()
    return time.process_time() - start


def table(title: str, heads: Sequence[str], rows: Sequence[Sequence[object]]) -> None:
    """Print a table; numbers to three figures."""
    print(f"\n| {title} | {' | '.join(heads)} |\n|{' --- |' * (len(heads) + 1)}")
    for row in rows:
        print(f"| {' | '.join(f'{cell:.3g}' if isinstance(cell, float) else str(cell) for cell in row)} |", flush=True)


def compare(title: str, ways: Mapping[str, Way], runs: int, kernel: bool) -> None:
    """One table of a kind of work: a row a way, a column a case, the growth with n last."""
    found: dict[str, list[float | str]] = {name: [] for name in ways}
    for walls, pipes in CASES:
        job = workload(walls, pipes)
        slow = walls > SLOW or pipes > SLOW
        asked = {n: w for n, w in ways.items() if kernel or not slow or not n.startswith("CadQuery")}
        took: dict[str, list[float]] = {name: [] for name in asked}
        for _ in range(1 if slow and kernel else runs):
            for name, way in asked.items():
                took[name].append(processor_time(lambda way=way, job=job: way(job)))  # type: ignore[misc]
        for name in ways:
            found[name].append(statistics.median(took[name]) if name in took else "")
    sizes = [walls for walls, pipes in CASES if pipes == CASES[0][1]]
    rows = [[name, *seconds, _growth(sizes, seconds)] for name, seconds in found.items()]
    table(title, [*(f"W({n}, {k})" for n, k in CASES), "growth"], rows)


def _growth(sizes: Sequence[int], seconds: Sequence[float | str]) -> str:
    """The exponent of n between the two largest rooms measured."""
    known = [(n, s) for n, s in zip(sizes, seconds, strict=False) if isinstance(s, float)]
    (n0, s0), (n1, s1) = known[-2:]
    return f"n^{math.log(s1 / s0) / math.log(n1 / n0):.2f}"


def process(command: Sequence[str]) -> tuple[float, float, float]:
    """Seconds of processor time of a process and its children, seconds by the clock, and its greatest memory in MB."""
    path = os.pathsep.join([str(Path(__file__).parents[2] / "src"), os.environ.get("PYTHONPATH", "")])
    start = time.perf_counter()
    child = subprocess.Popen(
        [sys.executable, *command],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        # Bytecode is kept, as it is for everybody who does not ask otherwise; nothing that was made before is.
        env={
            **os.environ,
            "PYTHONPATH": path,
            "OPENBLAS_NUM_THREADS": "1",
            "PYTHONDONTWRITEBYTECODE": "",
            "TRIMWRIGHT_CACHE": "no",
        },
    )
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode not in (0, 1):
        raise SystemExit(f"{' '.join(command)}: ended with {child.returncode}")
    return used.ru_utime + used.ru_stime, time.perf_counter() - start, used.ru_maxrss / 1024


def cold(runs: int, kernel: bool) -> None:
    """From the start of a process to the STL files, and the commands of the program."""

    def row(name: str, command: Sequence[str]) -> list[object]:
        work, clock, memory = zip(*(process(command) for _ in range(runs)), strict=True)
        return [name, statistics.median(work), statistics.median(clock), f"{max(memory):.0f} MB"]

    rows: list[list[object]] = []
    for name in MESHES:
        cells: list[object] = [name]
        for walls, pipes in ((12, 4), (240, 4)):
            if walls > SLOW and name.startswith("CadQuery") and not kernel:
                cells += ["", "", ""]
                continue
            cells += row(name, [__file__, "--once", name, str(walls), str(pipes)])[1:]
        rows.append(cells)
    table("process, cold", ["W(12, 4)", "by the clock", "", "W(240, 4)", "by the clock", ""], rows)
    loads = {"cadquery": "import cadquery", "the kernel as the program loads it": "import trimwright.solid"}
    table("loading", ["work", "by the clock", "memory"], [row(name, ["-c", code]) for name, code in loads.items()])
    room = str(ROOM)
    commands = [["--help"], ["angles", "--corner", "90"], ["check", room], ["cuts", room], ["buy", room]]
    rows = [row(command[0], ["-m", "trimwright", *command]) for command in commands]
    with tempfile.TemporaryDirectory() as folder:
        build = ["-m", "trimwright", "build", room, "--out", f"{folder}/pack"]
        for less in (QUICK, ["--no-pictures"], []):
            rows.append(row(" ".join(["build", *less]), [*build, *less]))
        rows.append(row("the first build, looking for cycles as Python does", ["-c", USUAL, *build[2:], *QUICK]))
    table("command on the reading room, cold", ["work", "by the clock", "largest process"], rows)


def stages() -> None:
    """The reading room's pack in one process, stage by stage, imports apart."""
    from trimwright.drawing.dxf import dxf_text
    from trimwright.drawing.pdf import pdf_bytes
    from trimwright.drawing.svg import svg_text
    from trimwright.drawing.titled import kind_of
    from trimwright.light.brightness import brightness
    from trimwright.mesh.piece import trim_bodies
    from trimwright.mesh.surroundings import surroundings
    from trimwright.pack.job import job_of
    from trimwright.pack.printing import drawing_set
    from trimwright.picture.album import album, draw_album
    from trimwright.project.project import read_project
    from trimwright.solid.build import room_solids
    from trimwright.solid.joints import joint_faults

    day, rows = date(2026, 10, 12), []

    def stage(name: str, work: Callable[[], Any]) -> Any:
        start = time.process_time()
        made = work()
        rows.append([name, time.process_time() - start])
        return made

    project = stage("room file read", lambda: read_project(ROOM))
    job = stage("set out, settings, clearances, buying", lambda: job_of(project))
    done = job.set_out
    bright = stage("light followed through the room", lambda: brightness(done, job.light))
    sheets = stage("sheets composed", lambda: drawing_set(job, day, bright=lambda: bright))
    stage(f"{len(sheets)} sheets as SVG", lambda: [svg_text(sheet) for sheet in sheets])
    stage("the same as PDF", lambda: pdf_bytes(sheets, "drawings", day))
    walls = [sheet for sheet in sheets if kind_of(sheet) == "Elevation"]
    stage("elevations as DXF", lambda: dxf_text(walls, day))
    bodies = [*surroundings(done.room, project.finish), *trim_bodies(done)]
    stage("two pictures", lambda: draw_album(bodies, album(done, False)))
    solids = stage("exact solids", lambda: room_solids(done))
    stage("joints checked on them", lambda: joint_faults(done, solids))
    table("stage of the pack", ["seconds"], rows)


def main() -> None:
    """Run what is asked for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--kernel", action="store_true", help="measure the kernel at 240 walls and 256 pipes too")
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--once", nargs=3, metavar=("WAY", "WALLS", "PIPES"), help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.once:
        MESHES[asked.once[0]](workload(int(asked.once[1]), int(asked.once[2])))
        return
    load = os.getloadavg()[0]
    print(f"numpy {np.__version__}, {os.cpu_count()} processors, load {load:.1f}; medians of {asked.runs}")
    cold(asked.runs, asked.kernel)  # first: a process hands its peak of memory down to those it starts
    for way in (*MESHES.values(), *SOLIDS.values()):
        way(workload(4, 4))  # so that no row pays for imports
    compare("meshes and STL", MESHES, asked.runs, asked.kernel)
    compare("exact solids", SOLIDS, asked.runs, asked.kernel)
    stages()


if __name__ == "__main__":
    main()
