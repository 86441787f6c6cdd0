"""All bodies as one set of triangles that rays can be cast at, with what a picture must know of each triangle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from trimwright.mesh.body import Body
from trimwright.picture.camera import Floats

__all__ = ["Indices", "Ints", "Scene", "scene_of"]

Ints = npt.NDArray[np.int32]
Indices = npt.NDArray[np.integer[Any]]

CREASE, BEND = 25.0, 3.0
"""Neighbouring triangles that turn by less than the first of these, degrees, belong to one smooth surface, by less than
the second to one facet of it."""

WELD = 0.01
"""Vertices of one body nearer than this, mm, are one vertex when neighbours are looked for."""


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """`normals`, `corners` (first vertex), `body`, `surface` and `facet` hold one row a triangle.

    `surface` numbers the smooth surfaces, between which lines are drawn, and `facet` what of them is nearly flat: light
    is carried over from one point to the next only within one. `edges` (n, 2, 3) are the edges of all triangles.
    """

    normals: Floats
    corners: Floats
    body: Ints
    surface: Ints
    facet: Ints
    edges: Floats
    embree: Any

    def hit(self, origins: Floats, directions: Floats) -> Ints:
        """Index of the triangle each ray meets first, -1 for none."""
        found: Ints = self.embree.run(origins, directions, query="INTERSECT")
        return found

    def reach(self, origins: Floats, directions: Floats, most: float) -> Floats:
        """How far each ray gets, in lengths of its direction; `most` where it meets nothing before that."""
        limits = np.full(len(origins), most, np.float32)
        distances: Floats = self.embree.run(origins, directions, limits, query="DISTANCE")
        return distances

    def points(self, eye: Floats, directions: Floats, triangles: Ints) -> Floats:
        """Where rays from `eye` meet the planes of their triangles (more exact than the distance of the cast)."""
        normals = self.normals.take(triangles, axis=0)
        above = np.einsum("ij,ij->i", normals, self.corners.take(triangles, axis=0) - eye)
        along = np.einsum("ij,ij->i", normals, directions)
        along[np.abs(along) < 1e-9] = 1e-9
        result: Floats = eye + directions * (above / along)[:, None]
        return result


def scene_of(bodies: Sequence[Body]) -> Scene:
    """Join bodies into a scene; triangles without area are left out."""
    from embreex.mesh_construction import TriangleMesh
    from embreex.rtcore_scene import EmbreeScene

    counts = [len(b.vertices) for b in bodies]
    starts = np.cumsum([0, *counts[:-1]])
    vertices = np.vstack([np.asarray(b.vertices, np.float64) for b in bodies])
    faces = np.vstack([np.asarray(b.faces, np.int64) + start for b, start in zip(bodies, starts, strict=True)])
    owner = np.repeat(np.arange(len(bodies), dtype=np.int32), [len(b.faces) for b in bodies])
    first, second, third = (vertices[faces[:, k]] for k in range(3))
    normals = np.cross(second - first, third - first)
    area = np.linalg.norm(normals, axis=1)
    kept = area > 1e-9
    faces, owner, normals = faces[kept], owner[kept], normals[kept] / area[kept, None]
    vertex_owner = np.repeat(np.arange(len(bodies)), counts)
    surface, facet = _smooth(vertices, vertex_owner, faces, normals)
    ends = np.sort(faces[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    _, once = np.unique(ends[:, 0] * len(vertices) + ends[:, 1], return_index=True)
    embree = EmbreeScene()
    TriangleMesh(embree, vertices.astype(np.float32), faces.astype(np.int32))
    return Scene(
        normals=normals.astype(np.float32),
        corners=vertices[faces[:, 0]].astype(np.float32),
        body=owner,
        surface=surface,
        facet=facet,
        edges=vertices[ends[once]].astype(np.float32),
        embree=embree,
    )


def _smooth(
    vertices: npt.NDArray[np.float64],
    owner: npt.NDArray[np.int64],
    faces: npt.NDArray[np.int64],
    normals: npt.NDArray[np.float64],
) -> tuple[Ints, Ints]:
    """Number the surfaces, and the facets: triangles of one body that share an edge and hardly turn at it."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    # Three odd multipliers make one integer of a grid cell and its body; arithmetic wraps, which does no harm.
    cells = np.round(vertices / WELD).astype(np.int64)
    keys = cells[:, 0] * 73856093 + cells[:, 1] * 19349663001 + cells[:, 2] * 83492791000003 + owner * 1000000007
    _, welded = np.unique(keys, return_inverse=True)
    corner = welded[faces]
    edges = np.sort(np.stack([corner, np.roll(corner, -1, axis=1)], axis=-1).reshape(-1, 2), axis=1)
    edge_key = edges[:, 0] * (int(welded.max()) + 1) + edges[:, 1]
    order = np.argsort(edge_key, kind="stable")
    same = edge_key[order][1:] == edge_key[order][:-1]
    left, right = order[:-1][same] // 3, order[1:][same] // 3
    level = np.einsum("ij,ij->i", normals[left], normals[right])

    def joined(turn: float) -> Ints:
        flat = level > np.cos(np.radians(turn))
        graph = coo_array((np.ones(flat.sum(), np.int8), (left[flat], right[flat])), shape=(len(faces), len(faces)))
        return np.asarray(connected_components(graph, directed=False)[1], np.int32)

    return joined(CREASE), joined(BEND)
