"""The camera: its angle of view, and uprights that stay upright."""

from __future__ import annotations

import math

import numpy as np
import pytest
from box_room import SIZE, VIEW, bodies

from trimwright.picture.camera import View, on_film, rays
from trimwright.picture.draw import seen

LOOKING_UP = View(name="up", title="up", eye=(100.0, 200.0, 900.0), target=(1400.0, 2900.0, 2400.0), field=60.0)


def angle(a: np.ndarray, b: np.ndarray) -> float:
    return math.degrees(math.acos(float(a @ b) / (np.linalg.norm(a) * np.linalg.norm(b))))


def test_the_middle_of_the_picture_is_the_target() -> None:
    (middle,) = rays(LOOKING_UP, SIZE, [SIZE[0] / 2], [SIZE[1] / 2])
    to_target = np.subtract(LOOKING_UP.target, LOOKING_UP.eye)
    assert angle(middle, to_target) == pytest.approx(0, abs=0.1)


def test_the_field_is_the_horizontal_angle_of_view() -> None:
    level = View(name="", title="", eye=(0, 0, 0), target=(0, 1000, 0), field=75.0)
    left, right = rays(level, SIZE, [0, SIZE[0]], [SIZE[1] / 2] * 2)
    assert angle(left, right) == pytest.approx(75, abs=1e-3)


def test_a_point_is_seen_where_its_ray_goes_through_the_film() -> None:
    columns, rows, depths = [3.0, 80.0, 150.5], [7.0, 50.0, 99.5], np.array([10.0, 900.0, 4000.0])
    points = np.array(LOOKING_UP.eye) + rays(LOOKING_UP, SIZE, columns, rows) * depths[:, None]
    film = on_film(LOOKING_UP, SIZE, points.astype(np.float32))
    assert film[:, 2] == pytest.approx(depths, rel=1e-4)
    assert film[:, :2] / film[:, 2:] == pytest.approx(np.column_stack([columns, rows]), abs=0.02)


def test_left_is_left_and_up_is_up() -> None:
    (corner,) = rays(VIEW, SIZE, [0], [0])  # facing +y: left is -x
    (middle,) = rays(VIEW, SIZE, [SIZE[0] / 2], [SIZE[1] / 2])
    assert corner[0] < middle[0]
    assert corner[2] > middle[2]


def test_a_column_of_the_picture_is_a_vertical_plane() -> None:
    column = rays(LOOKING_UP, SIZE, [37] * 3, [2, 50, 98])
    flat = column[:, :2] / np.linalg.norm(column[:, :2], axis=1, keepdims=True)
    assert np.abs(flat - flat[0]).max() < 1e-6


def test_a_pole_stays_upright_when_the_camera_looks_up() -> None:
    up = View(name="", title="", eye=VIEW.eye, target=(2000.0, 3000.0, 2600.0), field=75.0)
    names = [body.name for body in bodies()]
    pole = seen(bodies(), up, SIZE) == names.index("pole")
    assert pole.any()
    columns = [np.flatnonzero(row) for row in pole if row.any()]
    assert all(np.array_equal(c, columns[0]) for c in columns)
