from __future__ import annotations

import numpy as np
import pytest

from trimwright.mesh.shape import Mesh, joined
from trimwright.mesh.sweep import prism

CUBE = prism([(0, 0), (2, 0), (2, 3), (0, 3)], 0, 4, name="brick")


def test_volume_and_surface_of_a_brick() -> None:
    assert CUBE.volume == pytest.approx(24)
    assert CUBE.areas.sum() == pytest.approx(2 * (2 * 3 + 2 * 4 + 3 * 4))
    assert CUBE.closed


def test_faces_look_outwards() -> None:
    middles = CUBE.triangles.mean(axis=1) - [1, 1.5, 2]
    assert (np.einsum("ij,ij->i", middles, CUBE.crosses) > 0).all()


def test_volume_keeps_its_digits_far_from_the_origin() -> None:
    assert Mesh(CUBE.vertices + 1e6, CUBE.faces).volume == pytest.approx(24, rel=1e-9)


def test_a_missing_a_doubled_and_a_turned_face_are_each_noticed() -> None:
    turned = CUBE.faces.copy()
    turned[0] = turned[0, ::-1]
    assert not Mesh(CUBE.vertices, CUBE.faces[1:]).closed
    assert not Mesh(CUBE.vertices, np.concatenate([CUBE.faces, CUBE.faces[:1]])).closed
    assert not Mesh(CUBE.vertices, turned).closed
    assert not Mesh(CUBE.vertices, CUBE.faces[:0]).closed


def test_inside_out_has_a_negative_volume() -> None:
    assert Mesh(CUBE.vertices, CUBE.faces[:, ::-1]).volume == pytest.approx(-24)


def test_joined_bodies_stay_closed_and_add_up() -> None:
    two = joined([CUBE, Mesh(CUBE.vertices + 10, CUBE.faces)], "pair")
    assert two.name == "pair"
    assert two.closed
    assert two.volume == pytest.approx(48)
    assert len(joined([]).faces) == 0
