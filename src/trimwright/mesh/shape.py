"""A closed surface of triangles: vertices in the room, faces anticlockwise from outside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Faces", "Mesh", "Vertices", "joined"]

Vertices = NDArray[np.float64]
Faces = NDArray[np.int32]


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Triangles of one body: `vertices` (n, 3) in mm, x and y of the plan and z the height; `faces` (m, 3)."""

    vertices: Vertices
    faces: Faces
    name: str = ""

    @property
    def triangles(self) -> Vertices:
        """Corner points of every face, (m, 3, 3)."""
        return self.vertices[self.faces]

    @property
    def crosses(self) -> Vertices:
        """Cross product of two sides of every face: its outward normal, as long as twice its area."""
        a, b, c = np.moveaxis(self.triangles, 1, 0)
        return np.cross(b - a, c - a)

    @property
    def areas(self) -> NDArray[np.float64]:
        """Area of every face, mm²."""
        return np.asarray(np.linalg.norm(self.crosses, axis=1) / 2)

    @property
    def volume(self) -> float:
        """Volume in mm³, positive when the faces look outwards (divergence theorem, taken about the middle)."""
        if not len(self.faces):
            return 0.0
        a, b, c = np.moveaxis(self.triangles - self.vertices.mean(axis=0), 1, 0)
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)

    @property
    def closed(self) -> bool:
        """True for a strict 2-manifold: each directed edge occurs once, and so does its opposite."""
        edges = self.faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2).astype(np.int64)
        count = len(self.vertices)
        forward = np.sort(edges[:, 0] * count + edges[:, 1])
        backward = np.sort(edges[:, 1] * count + edges[:, 0])
        once = len(forward) > 0 and bool(np.all(np.diff(forward) > 0))
        return once and np.array_equal(forward, backward) and not np.any(edges[:, 0] == edges[:, 1])


def joined(meshes: Sequence[Mesh], name: str = "") -> Mesh:
    """Several bodies as one list of triangles; each stays a closed component of its own."""
    if not meshes:
        return Mesh(np.empty((0, 3)), np.empty((0, 3), dtype=np.int32), name)
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes[:-1])])
    faces = [mesh.faces + np.int32(start) for mesh, start in zip(meshes, starts, strict=True)]
    return Mesh(np.concatenate([mesh.vertices for mesh in meshes]), np.concatenate(faces), name)
