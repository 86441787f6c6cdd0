"""The furnace and the lit box: what must hold before any number of the radiosity is trusted."""

from __future__ import annotations

import numpy as np
import pytest

from light_boxes import FACES, Rectangle, box, exact
from trimwright.light.enclosure import Patch, enclosure
from trimwright.light.exchange import exchange
from trimwright.light.radiosity import solve

SIZE = (4600.0, 3600.0, 2500.0)
GREY = {"floor": 0.2, "ceiling": 0.8, "x0": 0.5, "x1": 0.6, "y0": 0.4, "y1": 0.7}


def true_factors(rectangles: list[Rectangle]) -> np.ndarray:
    return np.array([[exact(a, b) / a.area for b in rectangles] for a in rectangles])


def test_furnace() -> None:
    """All surfaces shine and reflect alike: everywhere B = M / (1 - rho), whatever the shape."""
    _, space = box(SIZE, 5, dict.fromkeys(FACES, 0.7), dict.fromkeys(FACES, 30.0))
    light = solve(exchange(space, 200), space.reflectance, space.exitance)
    assert light.radiosity == pytest.approx(np.full(space.count, 30.0 / (1 - 0.7)), rel=1e-3)
    assert light.irradiance == pytest.approx(np.full(space.count, 30.0 / (1 - 0.7)), rel=1e-3)


def test_rows_of_a_closed_box_sum_to_one() -> None:
    _, space = box(SIZE, 5, GREY, {})
    gives = exchange(space, 200)
    assert gives.factors().sum(axis=1) == pytest.approx(np.ones(space.count), abs=1e-3)
    assert gives.shared == pytest.approx(gives.shared.T)
    assert gives.lost == 0


@pytest.mark.parametrize("face", FACES)
def test_one_face_shines_on_black_ones(face: str) -> None:
    """Nothing comes back: each other face gets A F M, by the exact view factors."""
    rectangles, space = box(SIZE, 4, dict.fromkeys(FACES, 0.0), {face: 100.0})
    light = solve(exchange(space, 4096), space.reflectance, space.exitance)
    wanted = true_factors(rectangles) @ space.exitance
    for other in FACES:
        own = [k for k, r in enumerate(rectangles) if r.face == other]
        assert light.irradiance[own].mean() == pytest.approx(wanted[own].mean(), rel=5e-3, abs=1e-9)


@pytest.mark.parametrize("face", ["ceiling", "x0"])
def test_one_face_shines_on_grey_ones(face: str) -> None:
    """Against the solution with exact view factors of the same patches, each face within 0.5 %, each patch 6 %."""
    rectangles, space = box(SIZE, 5, GREY, {face: 100.0})
    light = solve(exchange(space, 4096), space.reflectance, space.exitance)
    factors = true_factors(rectangles)
    wanted = factors @ np.linalg.solve(np.eye(space.count) - space.reflectance[:, None] * factors, space.exitance)
    for other in FACES:
        own = [k for k, r in enumerate(rectangles) if r.face == other]
        assert light.irradiance[own].mean() == pytest.approx(wanted[own].mean(), rel=5e-3)
    assert light.irradiance == pytest.approx(wanted, rel=0.06)


def test_light_is_neither_lost_nor_made() -> None:
    _, space = box(SIZE, 5, GREY, {"ceiling": 100.0})
    gives = exchange(space, 300)
    light = solve(gives, space.reflectance, space.exitance)
    sent = float(gives.area @ space.exitance)
    assert float(gives.area @ ((1 - space.reflectance) * light.irradiance)) == pytest.approx(sent, rel=5e-3)
    assert light.balance == pytest.approx(1, abs=5e-3)
    assert light.underway == tuple(sorted(light.underway, reverse=True))
    assert light.underway[-1] <= 1e-5


def test_more_rays_come_nearer() -> None:
    rectangles, space = box(SIZE, 4, GREY, {"y0": 100.0})
    true = np.array([[exact(a, b) for b in rectangles] for a in rectangles])
    misses = [np.abs(exchange(space, rays).shared - true).sum() / true.sum() for rays in (100, 800, 6400)]
    assert misses[0] > 2 * misses[1] > 3 * misses[2]


def test_what_is_buried_in_a_block_does_not_count() -> None:
    """A block hides the floor under it, and its own underside is a screen; a leak would show in the sum."""
    size = (2000.0, 2000.0, 2000.0)
    rectangles, _ = box(size, 4, GREY, {})
    low, high = (500.0, 500.0, 0.1), (1500.0, 1500.0, 700.0)
    block = []
    for axis in range(3):
        for sense, level in ((-1, low), (1, high)):
            a, b = list(low), list(high)
            a[axis] = b[axis] = level[axis]
            block.append(Rectangle(tuple(a), tuple(b), axis, sense, "block"))
    patches = [r.patch(0.5, 10.0) for r in (*rectangles, *block)]
    space = enclosure(patches)
    gives = exchange(space, 400)
    free = [gives.area[k] for k in range(space.count) if space.surface[k] == "floor"]
    assert sum(free) == pytest.approx(2000**2 - 1000**2, rel=1e-3)
    assert "block" in space.surface
    assert sum(s == "block" for s in space.surface) == 5
    light = solve(gives, space.reflectance, space.exitance)
    assert light.radiosity == pytest.approx(np.full(space.count, 20.0), rel=2e-3)


def test_hits_from_behind_are_refused() -> None:
    """A plate between floor and lid, its back to the floor: the floor meets that back only and is no patch."""
    square = np.array([[0, 0, 0], [100, 0, 0], [100, 100, 0], [0, 100, 0]], float)

    def patch(name: str, height: float, up: bool) -> Patch:
        a, b, c, d = (square if up else square[::-1]) * (1 if name == "floor" else 50) + (0, 0, height)
        return Patch(triangles=np.array([[a, b, c], [a, c, d]]), reflectance=0.5, surface=name)

    space = enclosure([patch("floor", 0.0, True), patch("plate", 5.0, True), patch("lid", 90.0, False)])
    assert space.surface == ("plate", "lid")
    points = np.tile([50.0, 50.0, 1.0], (2, 1))
    assert (space.hit(points, np.array([[0.0, 0.0, 1.0], [0.1, 0.0, 1.0]])) == -1).all()
    assert space.hit(points + np.array([0, 0, 20]), np.array([[0.0, 0.0, 1.0], [0.0, 0.0, -1.0]])).tolist() == [1, 0]
