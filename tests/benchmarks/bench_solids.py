"""Exact solids of W(n, k) against plain CadQuery in one run: `python bench_solids.py [--imports]`.

*half-spaces*: each wall's section extruded too long, cut by the half-spaces of its mitres and by its own notches.
Both are timed without imports, interleaved; the growth is the exponent of n between the smallest and largest room.
`--imports` times the start of a process that needs the kernel, with cadquery and with its kernel modules alone.
"""

from __future__ import annotations

import argparse
import math
import statistics
import subprocess
import sys
import time
from collections.abc import Callable

import cadquery as cq
from workload import workload

from trimwright.profile.outline import Arc, Outline, Point
from trimwright.setout.piece import Notch, Piece, SetOut
from trimwright.solid.build import room_solids
from trimwright.solid.joints import joint_faults

CASES = ((4, 4), (12, 4), (60, 4), (240, 4), (12, 256))
SLOW = 60
FAR = 1e4
PROCESSES = {
    "cadquery": "import cadquery",
    "kernel modules alone": "import OCP.BRepBuilderAPI, OCP.BRepAlgoAPI, OCP.STEPCAFControl",
}


def half_spaces(job: SetOut) -> dict[str, cq.Solid]:
    """The room by plain CadQuery, a piece at a time."""
    return {piece.id: plain_piece(piece) for piece in job.pieces}


def plain_piece(piece: Piece) -> cq.Solid:
    """Extrude, cut off both ends, cut the notches, move to the wall."""
    low, high = piece.extent
    face = cq.Face.makeFromWires(plain_wire(piece.trim.outline))
    solid = cq.Solid.extrudeLinear(face.translate(cq.Vector(low - 5, 0, 0)), cq.Vector(high - low + 10, 0, 0))
    solid = solid.cut(half_space(piece.left.station, piece.left.slope, -1))
    solid = solid.cut(half_space(piece.right.station, piece.right.slope, 1))
    for notch in piece.notches:
        solid = solid.cut(*slot(notch))
    turn = math.degrees(math.atan2(piece.frame.along[1], piece.frame.along[0]))
    return solid.moved(cq.Location(cq.Vector(*piece.frame.origin, 0), cq.Vector(0, 0, 1), turn))


def plain_wire(outline: Outline) -> cq.Wire:
    """The section at station 0."""

    def vector(point: Point) -> cq.Vector:
        return cq.Vector(0.0, -point[0], point[1])

    edges = [
        cq.Edge.makeThreePointArc(vector(s.start), vector(s.middle), vector(s.end))
        if isinstance(s, Arc)
        else cq.Edge.makeLine(vector(s.start), vector(s.end))
        for s in outline.segments
    ]
    return cq.Wire.assembleEdges(edges)


def half_space(station: float, slope: float, side: int) -> cq.Shape:
    """All that lies beyond an end plane (a block large enough for the piece)."""
    away = station + side * 2 * FAR
    corners = [(station - FAR * slope, FAR), (station + FAR * slope, -FAR), (away, -FAR), (away, FAR)]
    return cq.Workplane("XY").polyline(corners).close().extrude(FAR).val()


def slot(notch: Notch) -> tuple[cq.Shape, cq.Shape]:
    """A round hole and the block between it and the wall."""
    hole = cq.Workplane("XY").center(notch.station, -notch.out).circle(notch.radius).extrude(FAR).val()
    block = cq.Workplane("XY").box(2 * notch.radius, notch.out + 5, FAR, centered=(True, False, False))
    return hole, block.translate((notch.station, -notch.out, 0)).val()


def timed(make: Callable[[SetOut], object], job: SetOut) -> float:
    """Seconds for one run."""
    start = time.perf_counter()
    make(job)
    return time.perf_counter() - start


def compare() -> None:
    """Print both ways side by side; the slow way is run once for the largest rooms."""
    print(f"{'n':>5}{'k':>5}{'pieces':>8}{'ours, s':>10}{'half-spaces, s':>16}{'ratio':>8}{'joint check, s':>16}")
    seconds: dict[tuple[int, int], float] = {}
    for walls, pipes in CASES:
        job = workload(walls, pipes)
        rounds = range(3 if walls <= SLOW and pipes < SLOW else 1)
        pairs = [(timed(room_solids, job), timed(half_spaces, job)) for _ in rounds]
        ours, plain = (statistics.median(column) for column in zip(*pairs, strict=True))
        seconds[walls, pipes] = ours
        solids = room_solids(job)
        joints = timed(lambda job, solids=solids: joint_faults(job, solids), job)
        print(f"{walls:5}{pipes:5}{len(job.pieces):8}{ours:10.3f}{plain:16.3f}{ours / plain:8.3f}{joints:16.3f}")
    print(f"growth from n = 4 to 240: n^{math.log(seconds[240, 4] / seconds[4, 4]) / math.log(60):.2f}")


def imports() -> None:
    """Print how long a process takes that imports the kernel and ends."""
    for name, code in PROCESSES.items():
        runs = []
        for _ in range(3):
            start = time.perf_counter()
            subprocess.run([sys.executable, "-c", code], check=True)
            runs.append(time.perf_counter() - start)
        print(f"{name}: {statistics.median(runs):.2f} s")


def main() -> None:
    """Run what was asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--imports", action="store_true", help="also time the imports")
    if parser.parse_args().imports:
        imports()
    compare()


if __name__ == "__main__":
    main()
