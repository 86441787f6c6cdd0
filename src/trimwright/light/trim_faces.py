"""Trims as patches in their true section, and the mouth of the channel as lamps."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from trimwright.light.aperture import Aperture
from trimwright.light.channel import Channel
from trimwright.light.enclosure import Floats, Patch
from trimwright.profile.outline import Point
from trimwright.setout.piece import Piece, Side
from trimwright.tolerance import TOUCH

__all__ = ["Lamp", "halves", "halves_of_each", "lamps", "piece_patches"]

GIRTH = 70.0
"""Facets of a trim are one patch up to this girth, mm."""

ROUND = 1.5
"""Chords of trims may leave their arcs by this for the light, mm."""

SHY = 0.1
"""Trims are drawn so much smaller all round, mm: two faces in one place would confuse the rays. Less than `LIFT`."""

NEAR, FINE = 120.0, 25.0
"""Within the first of these from the channel's mouth, mm, faces of trims are parted to the second."""

LAMP = 300.0
"""Greatest length of a shining patch, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp:
    """A stretch of the mouth that shines: a quad, anticlockwise from its bright side, and its exitance in lm/m²."""

    corners: Floats
    exitance: float


def lamps(channel: Channel, lumens: float) -> list[Lamp]:
    """The mouths of all pieces as quads that together send out so many lumens, the same from each mm² of mouth."""
    mouth = channel.mouth
    pieces = [p for run in channel.runs for leg in run for p in leg.pieces]
    quads = [quad for piece in pieces for quad in _facet(piece, mouth.end, mouth.start, LAMP)[:, ::-1]]
    area = sum(quad_area(quad) for quad in quads) * 1e-6
    return [Lamp(corners=quad, exitance=lumens / area) for quad in quads]


def quad_area(quad: Floats) -> float:
    """Area of a flat quad, mm²."""
    a, b, c, d = quad
    return float(np.linalg.norm(np.cross(c - a, d - b))) / 2


def piece_patches(piece: Piece, channel: Channel, reflectance: float, step: float) -> Iterator[Patch]:
    """The faces of a piece in stretches along it, facets of little girth together; of a channel all but its mouth."""
    mouth = channel.mouth
    carrier = piece.trim.name == channel.trim.name
    loop = _shrunk(mouth.closed if carrier else piece.trim.outline.points(ROUND))
    edges = list(pairwise(loop if carrier else [*loop, loop[0]]))
    groups = list(_grouped(edges, mouth))
    # By stretch, facet, half of the quad.
    both = _in_two(np.stack([_facet(piece, a, b, step) for facets in groups for a, b in facets], axis=1))
    ends = np.cumsum([len(facets) for facets in groups])[:-1]
    for part, has_area in zip(np.split(both, ends, axis=1), np.split(_has_area(both), ends, axis=1), strict=True):
        for stretch, whole in zip(part, has_area, strict=True):
            if whole.any():
                yield Patch(triangles=stretch[whole], reflectance=reflectance, surface="trim")
    for side in Side:
        yield Patch(triangles=_cap(piece, loop, side), reflectance=reflectance, surface="end")


def _shrunk(points: Sequence[Point]) -> list[Point]:
    """An anticlockwise loop with each edge moved inwards by `SHY`, sharp points by at most twice that."""
    loop = np.array(points)
    ahead = np.roll(loop, -1, axis=0) - loop
    inward = np.column_stack([-ahead[:, 1], ahead[:, 0]]) / np.linalg.norm(ahead, axis=1)[:, None]
    both = inward + np.roll(inward, 1, axis=0)
    moved = loop + SHY * both / np.maximum(0.5, (both**2).sum(axis=1) / 2)[:, None]
    return [(float(x), float(y)) for x, y in moved]


def _cap(piece: Piece, loop: Sequence[Point], side: Side) -> Floats:
    """The end of a piece, facing away from it."""
    from manifold3d import triangulate

    flat = np.array(loop)
    faces = np.asarray(triangulate([flat]))
    end, inward = piece.end(side), SHY if side is Side.LEFT else -SHY
    stations = [end.at(out) + inward for out, _ in loop]
    points = [
        piece.frame.room_point(s, out, piece.height(s, height)) for s, (out, height) in zip(stations, loop, strict=True)
    ]
    return np.asarray(np.array(points)[faces if side is Side.LEFT else faces[:, ::-1]])


def _most(edge: tuple[Point, Point], mouth: Aperture) -> float:
    """Greatest girth of a patch at an edge: little where the channel's light is near."""
    (x0, y0), (x1, y1) = edge
    ends = (mouth.start, mouth.end)
    near = min(math.dist(p, q) for p in (*edge, ((x0 + x1) / 2, (y0 + y1) / 2)) for q in ends)
    return FINE if near < NEAR else GIRTH


def _cut(edge: tuple[Point, Point], most: float) -> Iterator[tuple[Point, Point]]:
    """An edge in equal parts of at most a length."""
    (x0, y0), (x1, y1) = edge
    count = max(1, math.ceil(math.dist(*edge) / most))
    points = [(x0 + (x1 - x0) * k / count, y0 + (y1 - y0) * k / count) for k in range(count + 1)]
    yield from pairwise(points)


def _grouped(edges: Sequence[tuple[Point, Point]], mouth: Aperture) -> Iterator[list[tuple[Point, Point]]]:
    """Edges cut, then in groups that turn little from one to the next, each of no more girth than it may have."""
    group: list[tuple[Point, Point]] = []
    for edge in edges:
        most = _most(edge, mouth)
        for part in _cut(edge, most):
            turns = bool(group) and _turn(group[-1], part) > 60
            if group and (turns or sum(math.dist(*e) for e in [*group, part]) > most + TOUCH):
                yield group
                group = []
            group.append(part)
    if group:
        yield group


def _turn(one: tuple[Point, Point], two: tuple[Point, Point]) -> float:
    (ax, ay), (bx, by) = ((e[1][0] - e[0][0], e[1][1] - e[0][1]) for e in (one, two))
    return abs(math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by)))


def _facet(piece: Piece, a: Point, b: Point, step: float) -> Floats:
    """The face between two points of the section, carried from end to end, as quads no longer than a step: (n, 4, 3).

    Anticlockwise as seen from outside an anticlockwise section.
    """
    low, high = piece.extent
    count = max(1, math.ceil((high - low) / step))
    parts = np.linspace(0.0, 1.0, count + 1)

    def line(point: Point) -> Floats:
        left, right = piece.left.at(point[0]), piece.right.at(point[0])
        stations = left + parts * (right - left)
        return np.array([piece.frame.room_point(s, point[0], piece.height(s, point[1])) for s in stations])

    first, second = line(a), line(b)
    return np.stack([first[:-1], first[1:], second[1:], second[:-1]], axis=1)


def halves(quad: Floats) -> Floats:
    """A quad as its two triangles, those without area left out."""
    (both,) = halves_of_each(quad[None])
    return both


def halves_of_each(quads: Floats) -> list[Floats]:
    """The same for quads (n, 4, 3)."""
    both = _in_two(quads)
    return [two[whole] for two, whole in zip(both, _has_area(both), strict=True)]


def _in_two(quads: Floats) -> Floats:
    """Quads (..., 4, 3) as two triangles each: (..., 2, 3, 3)."""
    return np.asarray(quads[..., [[0, 1, 2], [0, 2, 3]], :])


def _has_area(triangles: Floats) -> NDArray[np.bool_]:
    """Whether twice the area of each triangle (..., 3, 3) is more than `TOUCH`."""
    one, two = triangles[..., 1, :] - triangles[..., 0, :], triangles[..., 2, :] - triangles[..., 0, :]
    return np.asarray(np.linalg.norm(np.cross(one, two), axis=-1) > TOUCH)
