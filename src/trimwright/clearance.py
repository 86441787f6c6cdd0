"""Gaps between every piece of trim and everything else near it, measured on the bodies as they are cut."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from trimwright.mesh.shape import Mesh
from trimwright.mesh.surroundings import fitting_mesh, pipe_mesh
from trimwright.room import Room
from trimwright.setout.piece import SetOut

if TYPE_CHECKING:
    from manifold3d import Manifold

__all__ = ["NEAR", "Clearance", "Wanted", "clashes", "clearances"]

NEAR = 60.0
"""Gaps wider than this (mm) are not worth a line in the table."""

MESHED = 0.1
"""What chords may take off a gap between true surfaces (mm): a gap short by less is as wanted."""


class Wanted(Protocol):
    """The gaps wanted, mm."""

    @property
    def pipe(self) -> float: ...  # noqa: D102
    @property
    def fitting(self) -> float: ...  # noqa: D102


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """The least gap between a piece and an obstacle; 0 if they touch or lie in each other."""

    trim: str
    piece: str
    obstacle: str
    wanted: float
    actual: float

    @property
    def ok(self) -> bool:
        """True if the gap is as wide as wanted."""
        return self.actual >= self.wanted - MESHED


@dataclass(frozen=True, slots=True)
class _Obstacle:
    name: str
    wanted: float
    mesh: Mesh


def clearances(set_out: SetOut, meshes: Mapping[str, Mesh], wanted: Wanted) -> tuple[Clearance, ...]:
    """One line for each piece and obstacle nearer than `NEAR`, or than the gap wanted; tightest first by piece.

    Only pairs whose boxes come that near are measured.
    """
    obstacles = list(_obstacles(set_out.room, wanted))
    solids: dict[int, Any] = {}
    found = []
    for piece in set_out.pieces:
        for k, obstacle in enumerate(obstacles):
            reach = max(NEAR, obstacle.wanted)
            if _box_gap(meshes[piece.id], obstacle.mesh) > reach:
                continue
            for key, mesh in ((k, obstacle.mesh), (-1, meshes[piece.id])):
                if key not in solids:
                    solids[key] = _manifold(mesh)
            gap = float(solids[-1].min_gap(solids[k], reach + 1.0))
            if gap <= reach:
                found.append(
                    Clearance(
                        trim=piece.trim.name,
                        piece=piece.id,
                        obstacle=obstacle.name,
                        wanted=obstacle.wanted,
                        actual=gap,
                    )
                )
        solids.pop(-1, None)
    return tuple(found)


def _obstacles(room: Room, wanted: Wanted) -> Iterator[_Obstacle]:
    for pipe in room.pipes:
        yield _Obstacle(f"pipe {pipe.name}", wanted.pipe, pipe_mesh(pipe, room.walls[pipe.wall].frame))
    for fitting in room.fittings:
        yield _Obstacle(fitting.name, wanted.fitting, fitting_mesh(fitting, room.walls[fitting.wall].frame))


def _box_gap(a: Mesh, b: Mesh) -> float:
    """Distance between the boxes of two bodies: never more than the distance of the bodies."""
    apart = np.maximum(a.vertices.min(0) - b.vertices.max(0), b.vertices.min(0) - a.vertices.max(0))
    return float(np.linalg.norm(np.maximum(apart, 0.0)))


def _manifold(mesh: Mesh) -> Manifold:
    from manifold3d import Manifold, Mesh64

    return Manifold(Mesh64(np.ascontiguousarray(mesh.vertices), mesh.faces.astype(np.uint64)))


def clashes(found: Iterable[Clearance]) -> tuple[Clearance, ...]:
    """Those that do not have the gap wanted."""
    return tuple(c for c in found if not c.ok)
