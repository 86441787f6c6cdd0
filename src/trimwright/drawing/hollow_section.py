"""A piece cut across where something is let into its back: what is left of its section, and what is cut away."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trimwright.mesh.hollow import hollow_cutters
from trimwright.profile.outline import Point
from trimwright.setout.piece import Groove, Housing, Piece

if TYPE_CHECKING:
    from manifold3d import CrossSection

__all__ = ["CutAcross", "cut_across"]

BESIDE = 1e-3
"""The cut is made this far beside the station, so that it does not run along the end of a body."""

Loop = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class CutAcross:
    """Closed lines in (out, height): the section as it is left, and what is cut out of it."""

    left: tuple[Loop, ...]
    away: tuple[Loop, ...]


def cut_across(piece: Piece, hollow: Groove | Housing, station: float) -> CutAcross:
    """A piece cut square across at a station, at its heights in the room."""
    from manifold3d import CrossSection, FillRule, Manifold, Mesh64, OpType

    slices = []
    face = piece.frame.tangent(station)
    for cutter in hollow_cutters(piece, hollow):
        dx, dy = cutter.vertices[:, 0] - face.origin[0], cutter.vertices[:, 1] - face.origin[1]
        (ax, ay), (nx, ny) = face.along, face.outward
        # (out, height, station) is the room turned over: so are the faces.
        turned = np.column_stack([dx * nx + dy * ny, cutter.vertices[:, 2], dx * ax + dy * ay])
        body = Manifold(Mesh64(np.ascontiguousarray(turned), cutter.faces[:, ::-1].astype(np.uint64)))
        slices.append(body.slice(BESIDE))
    points = [(out, piece.height(station, height)) for out, height in piece.trim.outline.points()]
    whole = CrossSection([np.array(points)], FillRule.EvenOdd)
    cut = CrossSection.batch_boolean(slices, OpType.Add)
    return CutAcross(_loops((whole - cut).decompose()), _loops((whole ^ cut).decompose()))


def _loops(parts: Iterable[CrossSection]) -> tuple[Loop, ...]:
    return tuple(tuple((float(x), float(y)) for x, y in loop) for part in parts for loop in part.to_polygons())
