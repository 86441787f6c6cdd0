"""Pipes as bodies of the picture and the 3D view."""

from __future__ import annotations

import math

import pytest

from trimwright.frame import Bend
from trimwright.mesh.surroundings import pipe_mesh
from trimwright.room import Pipe


@pytest.mark.parametrize("stations", [(200.0, 900.0), (900.0, 200.0)])
def test_a_pipe_along_a_curved_wall_may_be_told_from_either_end(stations: tuple[float, float]) -> None:
    """A torus's part: section times the way of its axis (Pappus and Guldin), 60 in front of a wall of radius 2000."""
    start, end = ((station, 60.0, 1500.0) for station in stations)
    frame = Bend.between((0.0, 0.0), (1200.0, 0.0), radius=2000.0, inward=True)
    body = pipe_mesh(Pipe(wall=0, name="riser", start=start, end=end, diameter=22.0), frame)
    assert body.closed
    assert body.volume == pytest.approx(math.pi * 11**2 * 700 / 2000 * 2060, rel=2e-3)
