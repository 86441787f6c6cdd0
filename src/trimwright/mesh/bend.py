"""A section carried along an arc: rings of points on true circles, near enough for the chords between them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from trimwright.frame import Bend
from trimwright.mesh.shape import Faces, Mesh, Vertices
from trimwright.mesh.sweep import Stencil
from trimwright.room import segments_within
from trimwright.tolerance import CHORD

__all__ = ["bent_sweep", "in_bend", "ring_faces"]


def in_bend(bend: Bend, stations: ArrayLike, outs: ArrayLike, heights: ArrayLike) -> Vertices:
    """Room coordinates of places in a curved frame; the three broadcast to (..., 3)."""
    angles = bend.start + bend.side * np.asarray(stations) / bend.radius
    reach = bend.radius + bend.side * np.asarray(outs)
    x, y = bend.centre[0] + reach * np.cos(angles), bend.centre[1] + reach * np.sin(angles)
    return np.stack(np.broadcast_arrays(x, y, np.asarray(heights, dtype=np.float64)), axis=-1)


def bent_sweep(
    shape: Stencil, bend: Bend, left: Sequence[float], right: Sequence[float], name: str, chord: float = CHORD
) -> Mesh:
    """The body of a section along an arc. `left` and `right` are the stations at which each of its points begins and
    ends, so that the ends may be any planes.

    Raises ValueError naming the body if the ends cross within the section.
    """
    first, last = np.asarray(left, dtype=np.float64), np.asarray(right, dtype=np.float64)
    if (last - first).min() <= 0:
        raise ValueError(f"the two ends of {name} cross each other: it would be {(last - first).min():.3f} mm long")
    out, height = shape.points.T
    widest = max((out.min(), out.max()), key=bend.radius_at)
    count = segments_within(bend, float((last - first).max()), chord, float(widest))
    parts = np.linspace(0.0, 1.0, count + 1)[:, None]
    rings = in_bend(bend, first + parts * (last - first), out, height)
    return Mesh(rings.reshape(-1, 3), ring_faces(shape, count), name)


def ring_faces(shape: Stencil, count: int) -> Faces:
    """Of `count` + 1 rings of points: a cap on the first, bands between each and the next, a cap on the last."""
    size = len(shape.points)
    caps = len(shape.cap)
    pair = shape.faces  # cap, cap on the second ring, band
    band = pair[2 * caps :]
    bands = [band + np.int32(size * k) for k in range(count)]
    return np.concatenate([pair[:caps], shape.cap[:, ::-1] + np.int32(size * count), *bands])
