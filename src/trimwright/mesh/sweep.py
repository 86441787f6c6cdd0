"""A polygon carried between two vertical planes: trim, boards, pipes and slabs are all made this way.

No boolean is needed for it: each point of the section slides along the wall onto either plane, and the two
rings are stitched. The frame of a swept body is (station, -out, height), which is the room turned about the
vertical, so nothing is mirrored on the way into the room.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trimwright.mesh.shape import Faces, Mesh, Vertices
from trimwright.profile.outline import Outline
from trimwright.room import Frame
from trimwright.tolerance import CHORD, COINCIDENT

__all__ = ["Plane", "Stencil", "prism", "stencil", "stencil_of", "sweep"]

Plane = tuple[float, float]
"""A vertical plane in a wall frame: station where out is 0, and station gained per mm out."""


@dataclass(frozen=True, slots=True, eq=False)
class Stencil:
    """A section as chords: `points` (n, 2) as (out, height), anticlockwise, and the triangles that fill it."""

    points: NDArray[np.float64]
    cap: Faces

    @property
    def faces(self) -> Faces:
        """Faces of the swept body: left ring 0 to n-1, right ring n to 2n-1."""
        count = len(self.points)
        here = np.arange(count, dtype=np.int32)
        after = np.roll(here, -1)
        sides = np.stack([after, here, here + count, after, here + count, after + count], axis=1).reshape(-1, 3)
        return np.concatenate([self.cap, self.cap[:, ::-1] + count, sides])


def stencil(outline: Outline, chord: float = CHORD) -> Stencil:
    """The stencil of an outline, arcs as chords within `chord` mm that keep the area."""
    return stencil_of(outline.points(chord))


def stencil_of(points: ArrayLike) -> Stencil:
    """The stencil of an anticlockwise polygon."""
    from manifold3d import triangulate

    loop = np.ascontiguousarray(points, dtype=np.float64)
    return Stencil(loop, np.asarray(triangulate([loop]), dtype=np.int32))


def sweep(
    shape: Stencil, frames: Sequence[Frame], lefts: Sequence[Plane], rights: Sequence[Plane], names: Sequence[str]
) -> list[Mesh]:
    """One body a frame, between its left and its right plane; all in one pass.

    Where the two planes meet (the back of a return) the rings are welded and what has no area is dropped, so the
    body stays closed. Raises ValueError naming the body if the planes cross within the section.
    """
    if not frames:
        return []
    out, height = shape.points.T
    left, right = (np.asarray(planes, dtype=np.float64)[:, :, None] for planes in (lefts, rights))
    stations = np.concatenate([left[:, 0] + left[:, 1] * out, right[:, 0] + right[:, 1] * out], axis=1)
    local = np.empty((*stations.shape, 3))
    local[..., 0], local[..., 1], local[..., 2] = stations, np.tile(-out, 2), np.tile(height, 2)
    vertices = _in_room(local, frames)
    lengths = stations[:, len(out) :] - stations[:, : len(out)]
    faces = shape.faces
    bodies = []
    for points, length, shortest, name in zip(vertices, lengths, lengths.min(axis=1), names, strict=True):
        if shortest < -COINCIDENT:
            raise ValueError(f"the two ends of {name} cross each other: it would be {shortest:.3f} mm long")
        bodies.append(Mesh(points, faces, name) if shortest > COINCIDENT else _welded(points, faces, length, name))
    return bodies


def prism(loop: ArrayLike, low: float, high: float, frame: Frame | None = None, name: str = "") -> Mesh:
    """A plan polygon carried up from one height to another; (station, -out) of `frame`, or plan points without.

    `loop` runs anticlockwise seen from above.
    """
    flat = stencil_of(loop)
    count = len(flat.points)
    local = np.column_stack([np.tile(flat.points, (2, 1)), np.repeat([high, low], count)])
    vertices = local if frame is None else _in_room(local[None], [frame])[0]
    return Mesh(vertices, flat.faces, name)


def _in_room(local: Vertices, frames: Sequence[Frame]) -> Vertices:
    """Turn (station, -out, height) of each frame into room coordinates."""
    along = np.array([frame.along for frame in frames])[:, None, :]
    origin = np.array([frame.origin for frame in frames])[:, None, :]
    station, back = local[..., 0], local[..., 1]
    room = np.empty_like(local)
    room[..., 0] = origin[..., 0] + station * along[..., 0] - back * along[..., 1]
    room[..., 1] = origin[..., 1] + station * along[..., 1] + back * along[..., 0]
    room[..., 2] = local[..., 2]
    return room


def _welded(points: Vertices, faces: Faces, length: NDArray[np.float64], name: str) -> Mesh:
    """Join each right point to its left one where the length is nothing; drop what collapses.

    A cap triangle with all three corners welded lies in the line where the planes meet: it and its twin of the
    other cap cancel.
    """
    count = len(length)
    weld = np.arange(2 * count, dtype=np.int32)
    short = np.flatnonzero(length <= COINCIDENT)
    weld[short + count] = short
    faces = weld[faces]
    a, b, c = faces.T
    kept = (a != b) & (b != c) & (c != a) & ~np.isin(faces, short).all(axis=1)
    faces = faces[kept]
    used, places = np.unique(faces, return_inverse=True)
    return Mesh(points[used], places.reshape(-1, 3).astype(np.int32), name)
