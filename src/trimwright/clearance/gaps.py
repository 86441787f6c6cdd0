"""The least gap between each piece, as it is cut, and each thing near it: how wide, where, and whether it will do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from trimwright.clearance.convex import Convex, Points, Rod
from trimwright.clearance.distance import Near, box_gap, contains, least
from trimwright.clearance.obstacles import Kind, Obstacle, Wanted, obstacles
from trimwright.mesh.shape import Mesh
from trimwright.room import Frame, Room
from trimwright.setout.piece import Piece, SetOut

__all__ = ["NEAR", "Clearance", "Place", "clashes", "clearances", "gap_between"]

NEAR = 60.0
"""Gaps wider than this (mm) are not worth a line in the table."""

MESHED = 0.05
"""What the chords of a piece may take off a gap between true surfaces (mm): one short by less is as wanted."""


BITE = 0.5
"""What lies in something else by less than this (mm) only touches it: it is eased when it is fitted."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a point is, told on a wall: station, distance out, height."""

    wall: int
    station: float
    out: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """The least gap between a piece and an obstacle, 0 if they touch; `overlap`: they lie in each other.

    It is between the point `at` on the piece and the point `to` on the obstacle.
    """

    trim: str
    piece: str
    obstacle: str
    kind: Kind
    wanted: float
    actual: float
    overlap: bool
    at: Place
    to: Place

    @property
    def ok(self) -> bool:
        """True if the gap is as wide as wanted."""
        return not self.overlap and self.actual >= self.wanted - MESHED


def clearances(set_out: SetOut, meshes: Mapping[str, Mesh], wanted: Wanted) -> tuple[Clearance, ...]:
    """One line for each piece and obstacle nearer than `NEAR`, or than the gap wanted, by piece.

    Only pairs whose boxes come that near are measured, and they are found by a sweep along x.
    """
    ways = obstacles(set_out.room, wanted)
    return tuple(
        line
        for piece, obstacle in _near_pairs(set_out.pieces, meshes, ways)
        if (line := gap_between(set_out.room, piece, meshes[piece.id], obstacle)) is not None
    )


def clashes(found: Iterable[Clearance]) -> tuple[Clearance, ...]:
    """Those that do not have the gap wanted."""
    return tuple(c for c in found if not c.ok)


def gap_between(room: Room, piece: Piece, mesh: Mesh, obstacle: Obstacle) -> Clearance | None:
    """The gap between one piece and one obstacle; None if it is wider than anybody asks.

    It is measured in the piece's own frame, where the boxes of its long facets are slim.
    """
    frame = piece.frame.tangent(0.0)
    triangles = to_frame(frame, mesh.vertices)[mesh.faces]
    parts = [part.mapped(lambda points: to_frame(frame, points)) for part in obstacle.parts]
    reach = max(NEAR, obstacle.wanted)
    box = np.array([triangles.min(axis=(0, 1)), triangles.max(axis=(0, 1))])
    best = _least_of(triangles, box, parts, reach)
    if best is None:
        return None
    overlap = best.distance == 0.0 and any(
        _bite(mesh, whole) > BITE
        for whole, part in zip(obstacle.parts, parts, strict=True)
        if box_gap(box, part.box) == 0.0
    )
    return Clearance(
        trim=piece.trim.name,
        piece=piece.id,
        obstacle=obstacle.name,
        kind=obstacle.kind,
        wanted=obstacle.wanted,
        actual=best.distance,
        overlap=overlap,
        at=_place(room, piece.wall, frame, best.on_body),
        to=_place(room, piece.wall, frame, best.on_shape),
    )


def _least_of(triangles: Points, box: Points, parts: Sequence[Convex], reach: float) -> Near | None:
    """The nearest of several shapes, those with the nearest boxes first; None if it is beyond `reach`."""
    best: Near | None = None
    boxes = np.stack([triangles.min(axis=1), triangles.max(axis=1)], axis=1)
    for away, part in sorted(((float(box_gap(box, part.box)), part) for part in parts), key=lambda pair: pair[0]):
        limit = reach if best is None else best.distance
        if away > limit:
            break
        near_by = triangles[box_gap(boxes, part.box) <= limit]
        # None are: it lies deep in the body, or nowhere near.
        near = least(near_by if len(near_by) else triangles, part)
        if near.distance > 0 and away == 0.0 and contains(triangles, near.on_shape):
            near = Near(0.0, near.on_shape, near.on_shape)
        if near.distance <= reach and (best is None or near.distance < best.distance):
            best = near
    return best


def to_frame(frame: Frame, points: Points) -> Points:
    """Room coordinates as (station, out, height) of a straight frame; lengths stay, handedness does not."""
    (x, y), (ax, ay) = frame.origin, frame.along
    dx, dy = points[:, 0] - x, points[:, 1] - y
    return np.column_stack([dx * ax + dy * ay, dx * ay - dy * ax, points[:, 2]])


def _place(room: Room, wall: int, frame: Frame, point: Points) -> Place:
    station, out = room.walls[wall].frame.locate(frame.plan(float(point[0]), float(point[1])))
    return Place(wall, station, out, float(point[2]))


def _near_pairs(
    pieces: Sequence[Piece], meshes: Mapping[str, Mesh], ways: Sequence[Obstacle]
) -> Iterator[tuple[Piece, Obstacle]]:
    """Pairs whose boxes come as near as matters, by piece and then in the order of the obstacles."""
    own = [np.array([meshes[p.id].vertices.min(0), meshes[p.id].vertices.max(0)]) for p in pieces]
    boxes = [_box(way.parts, max(NEAR, way.wanted)) for way in ways]
    events = sorted((*((b[0, 0], 0, i) for i, b in enumerate(own)), *((b[0, 0], 1, j) for j, b in enumerate(boxes))))
    live: tuple[list[int], list[int]] = ([], [])
    pairs = []
    for x, which, k in events:
        mine, theirs = (own, boxes) if which == 0 else (boxes, own)
        other = live[1 - which]
        other[:] = [m for m in other if theirs[m][1, 0] >= x]
        met = [m for m in other if bool((theirs[m][0] <= mine[k][1]).all() and (mine[k][0] <= theirs[m][1]).all())]
        pairs += [(k, m) if which == 0 else (m, k) for m in met]
        live[which].append(k)
    for i, j in sorted(pairs):
        yield pieces[i], ways[j]


def _box(parts: Sequence[Convex], grown: float) -> Points:
    boxes = np.array([part.box for part in parts])
    return np.array([boxes[:, 0].min(axis=0) - grown, boxes[:, 1].max(axis=0) + grown])


def _bite(mesh: Mesh, part: Convex) -> float:
    """How thick what a piece and a shape have in common is, mm: twice its volume over its surface, that of a slab."""
    from manifold3d import Manifold, Mesh64

    body = Manifold(Mesh64(np.ascontiguousarray(mesh.vertices), mesh.faces.astype(np.uint64)))
    common = body ^ Manifold.hull_points(hull_points(part))
    surface = float(common.surface_area())
    return 2 * float(common.volume()) / surface if surface > 0 else 0.0


def hull_points(part: Convex) -> Points:
    """Points whose hull is the shape, but for chords in a round one."""
    if isinstance(part, Rod):
        return _rod_points(part)
    plan = part.plan
    return np.array([(*corner, height) for corner in plan for height in (part.bottom, part.top)])


def _rod_points(rod: Rod) -> Points:
    axis = (rod.end - rod.start) / np.linalg.norm(rod.end - rod.start)
    aside = np.cross(axis, np.eye(3)[np.abs(axis).argmin()])
    aside /= np.linalg.norm(aside)
    across = np.cross(axis, aside)
    turns = np.linspace(0, 2 * np.pi, 96, endpoint=False)[:, None]
    rim = rod.radius * (np.cos(turns) * aside + np.sin(turns) * across)
    return np.concatenate([rod.start + rim, rod.end + rim])
