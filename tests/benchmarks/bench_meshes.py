"""Meshes of W(n, k) against two other ways to make the same files, in one run: `python bench_meshes.py [--kernel]`.

*numpy*: the least that could be written by hand: a loop over the pieces, manifold3d for the notched ones.
*kernel*: CadQuery, one wall at a time extruded and cut by the half-spaces of its mitres, its own notches cut, then
triangles. Work is timed without imports (median of interleaved runs), then the whole process cold, with its memory.
"""

from __future__ import annotations

import argparse
import json
import math
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from workload import CHORD, workload

from trimwright.mesh.stl import trim_stl
from trimwright.setout.piece import Piece, SetOut

Way = Callable[[SetOut], int]
CASES = ((12, 4), (60, 4), (240, 4), (12, 256))


def ours(job: SetOut) -> int:
    """Bytes of all files, made by the program."""
    return sum(len(trim_stl(job, trim, CHORD)) for trim in job.trims)


def raw_numpy(job: SetOut) -> int:
    """The same without names, gaps, checks or messages."""
    import numpy as np
    from manifold3d import Manifold, Mesh64, OpType, triangulate

    def tube(points: np.ndarray, cap: np.ndarray, piece: Piece) -> tuple[np.ndarray, np.ndarray]:
        n, i = len(points), np.arange(len(points))
        j = (i + 1) % n
        out, height = points.T
        vertices = np.array(
            [
                (*piece.frame.plan(end.station + end.slope * o, o), h)
                for end in (piece.left, piece.right)
                for o, h in zip(out, height, strict=True)
            ]
        )
        sides = np.stack([j, i, i + n, j, i + n, j + n], axis=1).reshape(-1, 3)
        return vertices, np.concatenate([cap, cap[:, ::-1] + n, sides])

    def slot(piece: Piece, station: float, out: float, r: float) -> Manifold:
        arc = np.linspace(math.pi, 2 * math.pi, 12)
        loop = [(station + r * math.cos(t), -out + r * math.sin(t)) for t in arc] + [(station + r, 5), (station - r, 5)]
        flat = np.array([piece.frame.plan(s, -y) for s, y in loop])
        cap, n = np.asarray(triangulate([flat])), len(flat)
        i = np.arange(n)
        j = (i + 1) % n
        low, high = piece.trim.edges.bottom - 5, piece.trim.edges.top + 5
        vertices = np.column_stack([np.tile(flat, (2, 1)), np.repeat([high, low], n)])
        sides = np.stack([j, i, i + n, j, i + n, j + n], axis=1).reshape(-1, 3)
        return Manifold(Mesh64(vertices, np.concatenate([cap, cap[:, ::-1] + n, sides]).astype(np.uint64)))

    total = 0
    for trim in job.trims:
        points = np.array(trim.outline.points(CHORD))
        cap = np.asarray(triangulate([points]))
        parts = []
        for piece in job.of_trim(trim):
            vertices, faces = tube(points, cap, piece)
            if piece.notches:
                slots = [slot(piece, notch.station, notch.out, notch.radius) for notch in piece.notches]
                body = Manifold(Mesh64(vertices, faces.astype(np.uint64)))
                made = Manifold.batch_boolean([body, *slots], OpType.Subtract).to_mesh64()
                vertices, faces = np.asarray(made.vert_properties), np.asarray(made.tri_verts)
            parts.append(vertices[faces])
        corners = np.concatenate(parts)
        records = np.zeros(len(corners), dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
        cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        records["n"] = cross / np.linalg.norm(cross, axis=1, keepdims=True)
        records["v"] = corners
        total += len(bytes(80) + len(records).to_bytes(4, "little") + records.tobytes())
    return total


def kernel(job: SetOut) -> int:
    """CadQuery: extrude, cut by half-spaces, notch, triangles as the kernel writes them."""
    import tempfile

    import cadquery as cq

    class Wire:
        def __init__(self) -> None:
            self.edges: list[cq.Edge] = []

        def move_to(self, point: tuple[float, float]) -> None:
            self.first = self.at = point

        def line_to(self, point: tuple[float, float]) -> None:
            self.edges.append(cq.Edge.makeLine(vector(self.at), vector(point)))
            self.at = point

        def arc_to(self, end: tuple[float, float], centre: tuple[float, float], clockwise: bool) -> None:
            from trimwright.profile.outline import Arc

            middle = Arc(self.at, end, centre, clockwise).middle
            self.edges.append(cq.Edge.makeThreePointArc(vector(self.at), vector(middle), vector(end)))
            self.at = end

        def close(self) -> None:
            if math.dist(self.at, self.first) > 1e-9:
                self.line_to(self.first)

    def vector(point: tuple[float, float]) -> cq.Vector:
        return cq.Vector(0.0, -point[0], point[1])

    def half_space(station: float, slope: float, sign: int) -> cq.Solid:
        far = 1e4
        base = cq.Workplane("XY").polyline(
            [
                (station - far * slope, far),
                (station + far * slope, -far),
                (station + sign * 2 * far + far * slope, -far),
                (station + sign * 2 * far - far * slope, far),
            ]
        )
        return base.close().extrude(far).val()

    total = 0
    for trim in job.trims:
        pen = Wire()
        trim.outline.draw(pen)
        face = cq.Face.makeFromWires(cq.Wire.assembleEdges(pen.edges))
        solids = []
        for piece in job.of_trim(trim):
            low, high = piece.extent
            solid = cq.Solid.extrudeLinear(face.translate(cq.Vector(low - 5, 0, 0)), cq.Vector(high - low + 10, 0, 0))
            cutters = [half_space(*planes) for planes in ((piece.left.station, piece.left.slope, -1),)]
            cutters.append(half_space(piece.right.station, piece.right.slope, 1))
            for notch in piece.notches:
                slot = cq.Workplane("XY").center(notch.station, -notch.out).circle(notch.radius)
                cutters.append(slot.extrude(1e4).val())
                box = cq.Workplane("XY").box(2 * notch.radius, notch.out + 5, 1e4, centered=(True, False, False))
                cutters.append(box.translate((notch.station, -notch.out, 0)).val())
            turn = math.degrees(math.atan2(piece.frame.along[1], piece.frame.along[0]))
            placed = cq.Location(cq.Vector(*piece.frame.origin, 0), cq.Vector(0, 0, 1), turn)
            solids.append(solid.cut(*cutters).moved(placed))
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / f"{trim.name}.stl"
            cq.exporters.export(cq.Workplane(cq.Compound.makeCompound(solids)), str(path), tolerance=CHORD)
            total += path.stat().st_size
    return total


WAYS: dict[str, Way] = {"ours": ours, "numpy": raw_numpy, "kernel": kernel}


def timed(way: Way, job: SetOut) -> float:
    """Seconds of one run."""
    start = time.perf_counter()
    way(job)
    return time.perf_counter() - start


def cold(way: str, case: tuple[int, int]) -> tuple[float, float]:
    """Seconds and MB of a process of its own that makes the files once."""
    start = time.perf_counter()
    command = [sys.executable, __file__, "--once", way, *map(str, case)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return time.perf_counter() - start, json.loads(done.stdout)


def once(way: str, walls: int, pipes: int) -> None:
    """Make the files and print the greatest memory in MB (Linux): what `cold` runs."""
    WAYS[way](workload(walls, pipes))
    # Not getrusage: its peak is handed down from the process that started this one.
    status = Path("/proc/self/status").read_text()
    print(int(status.split("VmHWM:")[1].split()[0]) / 1024)


def main() -> None:
    """Print one line a case and way."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kernel", action="store_true", help="measure the kernel too (minutes)")
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--once", nargs=3, metavar=("WAY", "WALLS", "PIPES"))
    asked = parser.parse_args()
    if asked.once:
        once(asked.once[0], int(asked.once[1]), int(asked.once[2]))
        return
    ways = [way for way in WAYS if way != "kernel" or asked.kernel]
    for case in CASES:
        job = workload(*case)
        runs: dict[str, list[float]] = {way: [] for way in ways}
        for way in ways:
            WAYS[way](job)
        for _ in range(asked.runs):
            for way in ways:
                runs[way].append(timed(WAYS[way], job))
        for way in ways:
            seconds, memory = cold(way, case)
            work = statistics.median(runs[way])
            print(f"W{case} {way:7} work {work:8.4f} s   cold {seconds:6.2f} s   {memory:5.0f} MB", flush=True)


if __name__ == "__main__":
    main()
