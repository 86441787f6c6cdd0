"""Light carried between points: right where it is smooth, gathered for itself where it is not."""

from __future__ import annotations

import numpy as np

from trimwright.picture.carry import fill_in

SHAPE = (101, 163)


class Gathering:
    """Light given by a formula of row and column, and how many points it was asked for."""

    def __init__(self, slope: float, step_at: int | None = None) -> None:
        self.slope, self.step_at, self.asked = slope, step_at, 0

    def __call__(self, rows: np.ndarray, columns: np.ndarray) -> np.ndarray:
        self.asked += len(rows)
        step = 0.0 if self.step_at is None else (columns >= self.step_at)
        return np.stack([self.slope * (rows + 2 * columns) + step, self.slope * columns + step], axis=1)

    def everywhere(self) -> np.ndarray:
        rows, columns = np.indices(SHAPE)
        return self(rows.ravel(), columns.ravel()).reshape(*SHAPE, 2)


def test_smooth_light_is_carried_exactly_from_few_points() -> None:
    gathering = Gathering(slope=1e-3)  # linear: what lies between four points is exact
    light = fill_in(np.zeros(SHAPE, np.int32), gathering)
    assert gathering.asked < SHAPE[0] * SHAPE[1] / 40
    assert np.abs(light - gathering.everywhere()).max() < 1e-6


def test_a_shadow_edge_stays_where_it_is() -> None:
    gathering = Gathering(slope=0.0, step_at=80)
    light = fill_in(np.zeros(SHAPE, np.int32), gathering)
    assert gathering.asked < SHAPE[0] * SHAPE[1] / 40
    assert np.abs(light - gathering.everywhere()).max() < 1e-6


def test_along_a_slanting_edge_light_comes_from_points_along_it() -> None:
    # Right against the edge there is no room for four points; light that is even along it still needs few.
    surface = np.zeros(SHAPE, np.int32)
    rows, columns = np.indices(SHAPE)
    surface[columns > 20 + rows] = 1
    gathering = Gathering(slope=0.0, step_at=None)
    light = fill_in(surface, gathering)
    along_it = SHAPE[0]
    assert gathering.asked < SHAPE[0] * SHAPE[1] / 40 + along_it
    assert np.abs(light - gathering.everywhere()).max() < 1e-6


def test_light_is_not_carried_from_one_surface_to_another() -> None:
    surface = np.zeros(SHAPE, np.int32)
    surface[:, 80:] = 1
    gathering = Gathering(slope=0.0, step_at=80)
    assert np.abs(fill_in(surface, gathering) - gathering.everywhere()).max() < 1e-6


def test_nothing_is_gathered_where_nothing_is_seen() -> None:
    surface = np.full(SHAPE, -1, np.int32)
    surface[40:60, 50:90] = 3
    gathering = Gathering(slope=1e-3)
    light = fill_in(surface, gathering)
    seen = surface >= 0
    assert gathering.asked <= np.count_nonzero(seen)
    assert np.abs(light - gathering.everywhere())[seen].max() < 1e-6
    assert not light[~seen].any()
