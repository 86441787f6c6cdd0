"""What grooves and housings take away from a piece, as meshes."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from trimwright.frame import Bend, Frame
from trimwright.mesh.bend import bent_sweep, ring_faces
from trimwright.mesh.shape import Mesh
from trimwright.mesh.sweep import stencil, sweep
from trimwright.profile.outline import Arc, chord_points
from trimwright.setout.cutouts.hollows import Bar, Block, Rod, Winding, hollow_parts
from trimwright.setout.piece import Groove, Housing, Piece
from trimwright.tolerance import CHORD

__all__ = ["hollow_cutters"]


def hollow_cutters(piece: Piece, hollow: Groove | Housing, chord: float = CHORD) -> Iterator[Mesh]:
    """The parts of what is cut out of the back of a piece, closed bodies in the room that lie in each other."""
    name = f"hollow for {hollow.pipe}"
    for part in hollow_parts(hollow, piece):
        if isinstance(part, Bar):
            yield _bar(part, name, chord)
        elif isinstance(part, Block):
            yield _block(part, name, chord)
        elif isinstance(part, Winding):
            yield _winding(part, name, chord)
        else:
            yield _rod(part, name, chord)


def _bar(part: Bar, name: str, chord: float) -> Mesh:
    ends = [(0.0, part.slope)], [(part.length, part.slope)]
    made = sweep(stencil(part.section, chord), [Frame((0.0, 0.0), (1.0, 0.0))], *ends, [name])[0]
    return Mesh(np.array(part.origin) + made.vertices @ np.array(part.axes), made.faces, name)


def _block(part: Block, name: str, chord: float) -> Mesh:
    shape = stencil(part.section, chord)
    if not isinstance(part.frame, Bend):
        return sweep(shape, [part.frame], [(part.low, 0.0)], [(part.high, 0.0)], [name])[0]
    count = len(shape.points)
    return bent_sweep(shape, part.frame, [part.low] * count, [part.high] * count, name, chord)


def _winding(part: Winding, name: str, chord: float) -> Mesh:
    shape = stencil(part.section, chord)
    rings = [np.array(p) + shape.points @ np.array([np.negative(aside), across]) for p, aside, across in part.places]
    return Mesh(np.concatenate(rings), ring_faces(shape, len(rings) - 1), name)


def _rod(part: Rod, name: str, chord: float) -> Mesh:
    """Rings of points about the way to the wall, each as wide as to keep its area."""
    r = part.radius
    chord /= 2  # facets lie within the ball across and along: each takes its half
    quarter = Arc((0.0, -r), (r, 0.0), (0.0, 0.0), clockwise=False)
    across, along = np.array([*chord_points(quarter, chord), (r, part.length)]).T
    count = max(8, math.ceil(math.pi / math.acos(1 - min(1.0, chord / r))))
    turn = 2 * math.pi / count
    turns = turn * np.arange(count)
    rims = math.sqrt(turn / math.sin(turn)) * across[:, None, None] * np.column_stack([np.cos(turns), np.sin(turns)])
    rings = np.concatenate([rims, np.broadcast_to(along[:, None, None], (*rims.shape[:2], 1))], axis=2)
    local = np.concatenate([[[0.0, 0.0, -r], [0.0, 0.0, part.length]], rings.reshape(-1, 3)])
    mouth = np.array(part.mouth)
    aside = np.cross(mouth, (0.0, 0.0, 1.0))
    faces = _turned(count, len(rims))
    return Mesh(np.array(part.middle) + local @ np.array([aside, np.cross(mouth, aside), mouth]), faces, name)


def _turned(count: int, rings: int) -> np.ndarray[tuple[int, ...], np.dtype[np.int32]]:
    """Faces of a body of rings of `count` points, those numbered from 2 on, between vertex 0 and vertex 1."""
    here = np.arange(count)
    after = np.roll(here, -1)
    first, last = 2 + here, 2 + (rings - 1) * count + here
    faces = [np.column_stack([np.zeros(count), 2 + after, first]), np.column_stack([np.ones(count), last, last[after]])]
    for k in range(rings - 1):
        low, high = 2 + k * count, 2 + (k + 1) * count
        faces.append(np.column_stack([low + here, low + after, high + here]))
        faces.append(np.column_stack([low + after, high + after, high + here]))
    return np.concatenate(faces).astype(np.int32)
