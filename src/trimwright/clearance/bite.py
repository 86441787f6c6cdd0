"""What two bodies have in common, and whether that is more than touching."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trimwright.clearance.convex import Convex, Points, Rod
from trimwright.tolerance import BITE

if TYPE_CHECKING:
    from manifold3d import Manifold

__all__ = ["bite", "hull_points", "thickness"]


def thickness(body: Manifold) -> float:
    """How thick a body is, mm: twice its volume over its surface, which is that of a slab. 0 for nothing."""
    surface = float(body.surface_area())
    return 2 * float(body.volume()) / surface if surface > 0 else 0.0


def bite(a: Manifold, b: Manifold) -> Manifold | None:
    """The largest part of what two bodies have in common; None if they only touch."""
    shared = a ^ b
    if shared.is_empty() or shared.volume() <= 0:
        return None
    largest = max(shared.decompose(), key=lambda part: float(part.volume()))
    return largest if thickness(largest) > BITE else None


def hull_points(part: Convex) -> Points:
    """Points whose hull is the shape, but for chords in a round one."""
    if isinstance(part, Rod):
        return _rod_points(part)
    return np.array([(*corner, height) for corner in part.plan for height in (part.bottom, part.top)])


def _rod_points(rod: Rod) -> Points:
    axis = (rod.end - rod.start) / np.linalg.norm(rod.end - rod.start)
    aside = np.cross(axis, np.eye(3)[np.abs(axis).argmin()])
    aside /= np.linalg.norm(aside)
    across = np.cross(axis, aside)
    turns = np.linspace(0, 2 * np.pi, 96, endpoint=False)[:, None]
    rim = rod.radius * (np.cos(turns) * aside + np.sin(turns) * across)
    return np.concatenate([rod.start + rim, rod.end + rim])
