"""One ray for many pixels between edges shows what a ray for each pixel shows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from box_room import VIEW, bodies, box

from trimwright.mesh.body import Kind
from trimwright.picture.camera import View
from trimwright.picture.scene import Scene, scene_of
from trimwright.picture.sight import cast, seen_triangles

SIZE = (321, 203)
"""No multiple of a cell."""


def pixel_by_pixel(scene: Scene, view: View) -> np.ndarray:
    rows, columns = np.indices(SIZE[::-1]).reshape(2, -1).astype(np.float32) + np.float32(0.5)
    return cast(scene, view, SIZE, columns, rows).reshape(SIZE[::-1])


@pytest.mark.parametrize("target", [VIEW.target, (300.0, 2900.0, 2400.0), (2010.0, 400.0, 0.0)])
def test_the_room_pixel_by_pixel(target: tuple[float, float, float]) -> None:
    scene, view = scene_of(bodies()), replace(VIEW, target=target)
    assert np.array_equal(seen_triangles(scene, view, SIZE), pixel_by_pixel(scene, view))


def test_rods_thinner_than_a_pixel_are_not_missed() -> None:
    rods = [
        box(f"rod {k}", (0, 2500 - 90 * k, 1200 + 37 * k), (4000, 2503 - 90 * k, 1203 + 37 * k), "#000000", Kind.PIPE)
        for k in range(9)
    ]
    scene = scene_of([*bodies(), *rods])
    assert np.array_equal(seen_triangles(scene, VIEW, SIZE), pixel_by_pixel(scene, VIEW))


def test_solids_that_pass_through_each_other_are_parted_where_they_meet() -> None:
    # No edge of a triangle runs where the slanting slab comes out of the wall.
    slab = box("slab", (1000, 2000, 1000), (3000, 2100, 1900), "#ffffff", Kind.WALL)
    turn = np.array([[0.9, -0.3, 0.1], [0.3, 0.9, 0.2], [-0.1, -0.2, 0.95]])
    slab = replace(slab, vertices=(slab.vertices - [2000, 2050, 1450]) @ turn * 1.3 + [2000, 2900, 1450])
    scene = scene_of([*bodies(), slab])
    assert np.array_equal(seen_triangles(scene, VIEW, SIZE), pixel_by_pixel(scene, VIEW))


def test_nothing_is_seen_beside_what_stands_alone() -> None:
    scene = scene_of([box("speck", (1990, 1500, 1300), (2010, 1520, 1320), "#ffffff", Kind.PIPE)])
    found = seen_triangles(scene, VIEW, SIZE)
    assert np.array_equal(found, pixel_by_pixel(scene, VIEW))
    assert 0 < np.count_nonzero(found >= 0) < 100
