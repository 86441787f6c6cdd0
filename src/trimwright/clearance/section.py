"""The cut in which the least gap between a piece and an obstacle shows at its true width."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from manifold3d import CrossSection, Manifold, Mesh64

from trimwright.clearance.bite import hull_points
from trimwright.clearance.clearance import Clearance, Place, to_frame
from trimwright.clearance.convex import Points
from trimwright.clearance.obstacles import Obstacle
from trimwright.mesh.shape import Faces, Mesh
from trimwright.profile.outline import Point
from trimwright.room import Frame
from trimwright.setout.piece import SetOut

__all__ = ["Cut", "cut_through"]

INTO = 0.25
"""The cut is moved this far (mm) into what it should show where the gap lies in an end of it."""

Loop = tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """What one plane cuts: upright across the wall (x out, y height), or level (x station, y minus out).

    `level` is the height of a level cut, `station` the place of an upright one on the wall; the gap runs from `at` on
    the piece to `to` on the obstacle.
    """

    upright: bool
    station: float
    level: float
    trims: tuple[tuple[str, Loop], ...]
    obstacle: tuple[Loop, ...]
    shared: tuple[Loop, ...]
    at: Point
    to: Point


def cut_through(set_out: SetOut, meshes: Mapping[str, Mesh], line: Clearance, obstacle: Obstacle | None) -> Cut:
    """The cut through the least gap: upright, or level where the gap runs along the wall.

    `obstacle` is the one of the line; None where that is a piece of another trim.
    """
    frame = set_out.room.walls[line.at.wall].frame.tangent(line.at.station)
    here, there = (np.array(_local(p, line.at)) for p in (line.at, line.to))
    upright = abs(there[0] - here[0]) <= np.linalg.norm((there - here)[1:]) + 1e-9
    parts = [to_frame(frame, hull_points(part)) for part in obstacle.parts] if obstacle else []
    depth = _depth(frame, meshes[line.piece], parts, here, there, 0 if upright else 2)
    pieces = [p for p in set_out.pieces if p.wall == line.at.wall or p.id in (line.piece, line.other)]
    bodies = {p.id: _body(frame, meshes[p.id].vertices, meshes[p.id].faces, upright) for p in pieces}
    cuts = {name: body.slice(depth) for name, body in bodies.items()}
    cross = [_hull(part, upright).slice(depth) for part in parts]
    met = cross if obstacle else [cuts[line.other]]
    common = [loop for c in met for loop in _loops([cuts[line.piece] ^ c])]
    return Cut(
        upright=bool(upright),
        station=line.at.station,
        level=float(here[2]),
        trims=tuple((name, loop) for name, cut in cuts.items() for loop in _loops([cut])),
        obstacle=tuple(_loops(cross)),
        shared=tuple(common) if line.overlap else (),
        at=_flat(here, upright),
        to=_flat(there, upright),
    )


def _local(place: Place, origin: Place) -> tuple[float, float, float]:
    """(station, out, height) in the straight frame that touches the wall at `origin`."""
    return (place.station - origin.station, place.out, place.height)


def _flat(point: Points, upright: bool) -> Point:
    return (float(point[1]), float(point[2])) if upright else (float(point[0]), -float(point[1]))


def _body(frame: Frame, vertices: Points, faces: Faces, upright: bool) -> Manifold:
    """A body turned so that what it is cut across is its third coordinate."""
    turned, flipped = _turned(to_frame(frame, vertices), upright)
    return Manifold(Mesh64(np.ascontiguousarray(turned), (faces[:, ::-1] if flipped else faces).astype(np.uint64)))


def _turned(points: Points, upright: bool) -> tuple[Points, bool]:
    """(out, height, station), which is the room mirrored, or (station, minus out, height), which is the room turned."""
    station, out, height = points.T
    return (
        (np.column_stack([out, height, station]), True)
        if upright
        else (np.column_stack([station, -out, height]), False)
    )


def _hull(points: Points, upright: bool) -> Manifold:
    return Manifold.hull_points(_turned(points, upright)[0])


def _depth(frame: Frame, mesh: Mesh, parts: Sequence[Points], here: Points, there: Points, axis: int) -> float:
    """Where to cut: at the gap, moved off the ends of the piece and of the obstacle's parts so that both show."""
    middle = float(here[axis] + there[axis]) / 2
    if not parts:
        return middle
    own, others = to_frame(frame, mesh.vertices)[:, axis], np.concatenate(parts)[:, axis]
    low, high = max(own.min(), others.min()) + INTO, min(own.max(), others.max()) - INTO
    return float(np.clip(middle, low, high)) if low < high else middle


def _loops(cuts: Iterable[CrossSection]) -> list[Loop]:
    """Outer loops of what was cut; a section has no holes."""
    return [tuple((float(x), float(y)) for x, y in loop) for cut in cuts for loop in cut.to_polygons()]
