"""Pieces that should meet and stand apart: gaps that would show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trimwright.mesh.cut import body_of
from trimwright.mesh.shape import Mesh
from trimwright.setout.meets import joints, plane_gap
from trimwright.setout.piece import SetOut
from trimwright.tolerance import CHORD, OPEN_JOINT

__all__ = ["OpenJoint", "open_joints"]

FARTHEST = 1000.0
"""A mate further off than this is said to be this far, mm."""

CHORDS = 2 * CHORD
"""What the chords of two pieces may add to the gap between them, mm."""


@dataclass(frozen=True, slots=True)
class OpenJoint:
    """Two pieces that should meet but stand `gap` mm apart."""

    first: str
    second: str
    gap: float

    def __str__(self) -> str:
        return f"pieces {self.first} and {self.second} should meet but stand {self.gap:.2f} mm apart"


def open_joints(set_out: SetOut, meshes: Mapping[str, Mesh]) -> tuple[OpenJoint, ...]:
    """Every joint that is open by more than a saw can help: over the whole end where two ends share a plane, else at
    the nearest points of the two bodies."""
    found = []
    for piece, side, mate, other in joints(set_out.pieces):
        gap = plane_gap(piece, side, mate, other)
        if gap is None:
            gap = float(body_of(meshes[piece.id]).min_gap(body_of(meshes[mate.id]), FARTHEST)) - CHORDS
        if gap > OPEN_JOINT:
            found.append(OpenJoint(piece.id, mate.id, gap))
    return tuple(found)
