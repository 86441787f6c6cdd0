"""The least gap between each piece, as it is cut, and each thing near it: how wide, where, and whether it will do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from trimwright.clearance.bite import hull_points, thickness
from trimwright.clearance.clearance import Clearance, place_of, to_frame
from trimwright.clearance.convex import Convex, Points
from trimwright.clearance.distance import Near, box_gap, contains, least
from trimwright.clearance.obstacles import Obstacle, Wanted, obstacles
from trimwright.clearance.overlaps import overlaps
from trimwright.mesh.cut import body_of
from trimwright.mesh.shape import Mesh
from trimwright.room import Room
from trimwright.setout.piece import Piece, SetOut
from trimwright.tolerance import BITE

__all__ = ["NEAR", "clearances", "gap_between"]

NEAR = 60.0
"""Gaps wider than this (mm) are not worth a line in the table."""


def clearances(set_out: SetOut, meshes: Mapping[str, Mesh], wanted: Wanted) -> tuple[Clearance, ...]:
    """One line for each piece and obstacle nearer than `NEAR`, or than the gap wanted, by piece; then the overlaps.

    Only pairs whose boxes come that near are measured, and they are found by a sweep along x.
    """
    ways = obstacles(set_out.room, wanted)
    near = (
        gap_between(set_out.room, piece, meshes[piece.id], obstacle)
        for piece, obstacle in _near_pairs(set_out.pieces, meshes, ways)
    )
    return (*(line for line in near if line is not None), *overlaps(set_out, meshes))


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
    met = [whole for whole, part in zip(obstacle.parts, parts, strict=True) if box_gap(box, part.box) == 0.0]
    deep = _depth(mesh, met) if best.distance == 0.0 else 0.0
    return Clearance(
        trim=piece.trim.name,
        piece=piece.id,
        obstacle=obstacle.name,
        kind=obstacle.kind,
        wanted=obstacle.wanted,
        actual=-deep if deep > BITE else best.distance,
        at=place_of(room, piece.wall, frame, best.on_body),
        to=place_of(room, piece.wall, frame, best.on_shape),
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


def _depth(mesh: Mesh, parts: Sequence[Convex]) -> float:
    """How thick what a piece has in common with the thickest-met of some shapes is, mm."""
    from manifold3d import Manifold

    body = body_of(mesh)
    return max((thickness(body ^ Manifold.hull_points(hull_points(part))) for part in parts), default=0.0)
