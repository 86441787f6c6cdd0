"""The light at a point against closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from box_room import box
from scipy.special import expn

from trimwright.mesh.body import Body, Kind
from trimwright.picture.light import REACH, gather, openness, spread_directions
from trimwright.picture.scene import scene_of

UP = np.array([[0.0, 0.0, 1.0]], np.float32)


def plate(height: float, size: float = 1e6) -> Body:
    return box("plate", (-size, -size, height), (size, size, height + 10), "#ffffff", Kind.CEILING)


def test_directions_follow_the_cosine_law() -> None:
    # Under the density cos/pi the mean of cos is 2/3 and that of cos² is 1/2 (integrals over the hemisphere).
    directions = spread_directions(400)
    assert np.allclose(np.linalg.norm(directions, axis=1), 1, atol=1e-6)
    assert directions[:, 2].mean() == pytest.approx(2 / 3, abs=2e-3)
    assert (directions[:, 2] ** 2).mean() == pytest.approx(1 / 2, abs=2e-3)
    assert np.abs(directions[:, :2].mean(axis=0)).max() < 5e-3


@pytest.mark.parametrize("normal", [(0, 0, 1), (0, 0, -1), (1, 0, 0), (0, -1, 0), (0.6, 0, -0.8)])
def test_an_open_surface_has_all_the_light(normal: tuple[float, float, float]) -> None:
    # Nothing in the way: the hemisphere is wholly open, whichever way the surface faces.
    far_away = scene_of([box("speck", (9e6, 9e6, 9e6), (9e6 + 50, 9e6 + 50, 9e6 + 50), "#ffffff", Kind.PIPE)])
    facing = np.array([normal], np.float32)
    light = gather(far_away, np.zeros((1, 3), np.float32), facing, facing[0], 80)
    assert light[0] == pytest.approx([1, 1], abs=2e-3)


@pytest.mark.parametrize("height", [30.0, 150.0, 600.0, 2400.0])
def test_light_under_a_wide_plate(height: float) -> None:
    # Distance to the plate is height/cos, so with the cosine law the open share is
    # 1 - 2 * integral of u exp(-x/u) over u in (0, 1) = 1 - 2 E3(x), x = height/REACH
    # (exponential integral, Abramowitz and Stegun 5.1.4).
    light = gather(scene_of([plate(height)]), np.zeros((1, 3), np.float32), UP, UP[0], 600)
    assert light[0, 0] == pytest.approx(1 - 2 * expn(3, height / REACH), abs=4e-3)


def test_light_turned_away_from_the_window_has_none_of_it() -> None:
    light = gather(scene_of([plate(5000)]), np.zeros((1, 3), np.float32), UP, -UP[0], 80)
    assert light[0, 1] == 0
    assert light[0, 0] > 0.9


def test_openness_runs_from_dark_to_open() -> None:
    distances = np.array([0, REACH, 1e30], np.float32)
    assert openness(distances) == pytest.approx([0, 1 - 1 / np.e, 1], abs=1e-6)
