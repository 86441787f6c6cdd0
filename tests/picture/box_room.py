"""A plain room with one trim, made by hand: a box seen from within, a bar along one wall, a pole."""

from __future__ import annotations

import numpy as np

from trimwright.mesh.body import Body, Kind
from trimwright.picture.camera import View

SIZE = (160, 100)
VIEW = View(name="room", title="room", eye=(2000.0, 300.0, 1600.0), target=(2000.0, 3000.0, 1300.0), field=90.0)

# Corners of a box by the bits of their number (x, y, z) and its twelve triangles, wound to be seen from outside.
BITS = np.array([[(k >> 2) & 1, (k >> 1) & 1, k & 1] for k in range(8)], float)
QUADS = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))
FACES = np.array([t for a, b, c, d in QUADS for t in ((a, b, c), (a, c, d))], np.int32)


def box(name: str, low: tuple[float, ...], high: tuple[float, ...], colour: str, kind: Kind) -> Body:
    vertices = np.array(low) + BITS * (np.array(high) - np.array(low))
    names = {"trim": name, "piece": "A1"} if kind is Kind.TRIM else {}
    return Body(name=name, vertices=vertices, faces=FACES, colour=colour, kind=kind, **names)


def bodies() -> list[Body]:
    return [
        box("floor", (0, 0, -60), (4000, 3000, 0), "#b59a78", Kind.FLOOR),
        box("ceiling", (0, 0, 2500), (4000, 3000, 2560), "#f6f5f1", Kind.CEILING),
        box("far wall", (0, 3000, 0), (4000, 3060, 2500), "#ece8df", Kind.WALL),
        box("left wall", (-60, 0, 0), (0, 3000, 2500), "#ece8df", Kind.WALL),
        box("right wall", (4000, 0, 0), (4060, 3000, 2500), "#ece8df", Kind.WALL),
        box("near wall", (0, -60, 0), (4000, 0, 2500), "#ece8df", Kind.WALL),
        box("rail", (0, 2960, 2100), (4000, 3000, 2160), "#8a6238", Kind.TRIM),
        box("pole", (980, 2480, 0), (1020, 2520, 2500), "#b87349", Kind.PIPE),
    ]
