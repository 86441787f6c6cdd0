"""View factors and illuminance against published closed forms and worked values.

Worked values: the shape-factor library of an equation solver (hs201, hs214, hs301, hs303, citing Siegel & Howell and
Howell's catalogue), and Incropera's chart values for a cube. Closed forms from the catalogue, numbers from memory, are
written out in the tests; strip and line source are superpositions of them and the handbook formulas of a diffuse line.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import dblquad

from light_boxes import Rectangle, exact, faces
from trimwright.light.direct import from_polygon
from trimwright.light.enclosure import enclosure
from trimwright.light.exchange import exchange

UP = np.array([[0.0, 0.0, 1.0]])
HERE = np.zeros((1, 3))


def over(a: float, b: float, c: float, x: float = 0.0, y: float = 0.0) -> np.ndarray:
    """A rectangle a by b facing down at height c, its corner over (x, y)."""
    return np.array([[[x, y, c], [x, y + b, c], [x + a, y + b, c], [x + a, y, c]]])


def parallel(a: float, b: float, c: float) -> float:
    """Element to parallel rectangle, its corner on the element's normal (X = a/c, Y = b/c)."""
    x, y = a / c, b / c
    p, q = math.hypot(1, x), math.hypot(1, y)
    return (x / p * math.atan(y / p) + y / q * math.atan(x / q)) / math.tau


def upright(a: float, b: float, c: float) -> float:
    """Element to perpendicular rectangle of height a and width b at distance c, its lower corner at the foot."""
    x, y = b / c, a / c
    return (math.atan(x) - math.atan(x / math.hypot(1, y)) / math.hypot(1, y)) / math.tau


@pytest.mark.parametrize("size", [(1, 1, 1), (0.5, 1, 2), (2, 3, 1), (30, 0.014, 2.4)])
def test_element_to_parallel_rectangle(size: tuple[float, float, float]) -> None:
    assert from_polygon(HERE, UP, over(*size))[0, 0] == pytest.approx(parallel(*size), rel=1e-9)


@pytest.mark.parametrize("size", [(1, 1, 1), (0.5, 1, 2), (2, 3, 1)])
def test_element_to_perpendicular_rectangle(size: tuple[float, float, float]) -> None:
    a, b, c = size
    quad = np.array([[[c, 0, 0], [c, 0, a], [c, b, a], [c, b, 0]]], float)
    assert from_polygon(HERE, UP, quad)[0, 0] == pytest.approx(upright(a, b, c), rel=1e-9)


@pytest.mark.parametrize(
    ("size", "value"), [((1, 1, 1), 0.13853161), ((0.5, 1, 2), 0.03309131), ((2, 3, 1), 0.21757521)]
)
def test_element_values(size: tuple[float, float, float], value: float) -> None:
    """Computed from the same formula by another hand, to eight places."""
    assert from_polygon(HERE, UP, over(*size))[0, 0] == pytest.approx(value, abs=1e-8)


def test_over_the_corner_of_a_huge_rectangle() -> None:
    """A quarter of the sky."""
    assert from_polygon(HERE, UP, over(1e6, 1e6, 1.0))[0, 0] == pytest.approx(0.25, abs=1e-5)


def test_behind_a_rectangle_there_is_no_light() -> None:
    assert from_polygon(HERE, UP, over(1, 1, 1)[:, ::-1])[0, 0] == 0


def test_strip_to_parallel_rectangle() -> None:
    """hs301: a strip of no width and length b, opposite an edge of a x b at c: 0.3886 for a = 3, b = 2, c = 0.5."""
    ends = np.linspace(0, 2, 401)
    middles = (ends[:-1] + ends[1:]) / 2
    points = np.column_stack([np.zeros(400), middles, np.zeros(400)])
    factor = from_polygon(points, np.tile(UP, (400, 1)), over(3, 2, 0.5)).mean()
    assert factor == pytest.approx(0.3886, abs=1e-4)


def test_strip_to_perpendicular_rectangle() -> None:
    """hs303: 0.2153 for a = 1, b = 2, c = 0.5."""
    middles = (np.arange(400) + 0.5) / 200
    points = np.column_stack([np.zeros(400), middles, np.zeros(400)])
    quad = np.array([[[0.5, 0, 0], [0.5, 0, 1], [0.5, 2, 1], [0.5, 2, 0]]], float)
    assert from_polygon(points, np.tile(UP, (400, 1)), quad).mean() == pytest.approx(0.2153, abs=1e-4)


def test_opposed_rectangles_by_integration() -> None:
    """hs201: 0.4756 for a = 1, b = 1.5, c = 0.5."""
    quad = over(1, 1.5, 0.5)

    def factor(y: float, x: float) -> float:
        return float(from_polygon(np.array([[x, y, 0.0]]), UP, quad)[0, 0])

    total, _ = dblquad(factor, 0, 1, 0, 1.5, epsabs=1e-4)
    assert total / 1.5 == pytest.approx(0.4756, abs=1e-4)


def rectangle(low: tuple[float, float, float], high: tuple[float, float, float], axis: int, sense: int) -> Rectangle:
    return Rectangle(low, high, axis, sense, "face")


def test_exact_factors_of_the_test_boxes() -> None:
    """The tests' own exact factors: Incropera's cube (0.1998, 0.2000), hs201 and hs214, and pairs by another hand."""
    cube = faces((1, 1, 1), 1)
    assert exact(cube[0], cube[1]) == pytest.approx(0.199824895698, abs=1e-12)
    assert exact(cube[0], cube[2]) == pytest.approx(0.200043776075, abs=1e-12)
    one, two = rectangle((0, 0, 0), (1, 1.5, 0), 2, 1), rectangle((0, 0, 0.5), (1, 1.5, 0.5), 2, -1)
    assert exact(one, two) / one.area == pytest.approx(0.475576, abs=1e-6)
    one, two = rectangle((0, 0, 0), (0.1, 0.1, 0), 2, 1), rectangle((0, 0, 0.05), (0.1, 0.1, 0.05), 2, -1)
    assert exact(one, two) / one.area == pytest.approx(0.415253, abs=1e-6)
    for h, w, length, value in ((2, 1, 1, 0.232853), (1, 2, 1, 0.116426), (0.5, 1, 1, 0.146187)):
        floor, wall = rectangle((0, 0, 0), (w, length, 0), 2, 1), rectangle((0, 0, 0), (0, length, h), 0, 1)
        assert exact(floor, wall) / floor.area == pytest.approx(value, abs=1e-6)


@pytest.mark.parametrize(("gap", "value"), [(0.5, 0.415253), (1.0, 0.199825), (2.0, 0.068590)])
def test_counted_factors_of_opposed_squares(gap: float, value: float) -> None:
    """Rays in a closed box, whole faces, within 0.5 % of the published value."""
    space = enclosure([r.patch(0.5, 0.0) for r in faces((1000.0, 1000.0, 1000.0 * gap), 1)])
    factors = exchange(space, 100_000).factors()
    assert factors[0, 1] == pytest.approx(value, rel=5e-3)


@pytest.mark.parametrize(("height", "value"), [(2.0, 0.232853), (1.0, 0.200044), (0.5, 0.146187)])
def test_counted_factors_of_perpendicular_squares(height: float, value: float) -> None:
    space = enclosure([r.patch(0.5, 0.0) for r in faces((1000.0, 1000.0, 1000.0 * height), 1)])
    factors = exchange(space, 100_000).factors()
    assert factors[0, 2:] == pytest.approx(np.full(4, value), rel=5e-3)


def aspect(angle: float) -> float:
    """Aspect factor of a uniform diffuse line on a plane parallel to it: (b + sin b cos b) / 2, the half restored."""
    return (angle + math.sin(angle) * math.cos(angle)) / 2


@pytest.mark.parametrize(("length", "above"), [(1.0, 1.0), (2.0, 1.0), (4.0, 1.0), (1.0, 0.5)])
def test_line_of_light(length: float, above: float) -> None:
    """A one-sided strip, 1000 lm/m, 2 mm wide, facing a point under its middle: E = I'/d * 2 AF(atan(l / 2d))."""
    width = 0.002
    quad = over(length, width, above, -length / 2, -width / 2)
    illuminance = from_polygon(HERE, UP, quad)[0, 0] * 1000 / width
    wanted = 1000 / math.pi / above * 2 * aspect(math.atan(length / 2 / above))
    assert illuminance == pytest.approx(wanted, rel=1e-4)


def test_line_of_light_values_and_limit() -> None:
    """By another hand: 274.908 lx under 1 m at 1 m, 204.578 opposite its end, 500 lx under a line without end."""
    width = 0.002

    def lux(start: float, end: float) -> float:
        quad = over(end - start, width, 1.0, start, -width / 2)
        return float(from_polygon(HERE, UP, quad)[0, 0]) * 1000 / width

    assert lux(-0.5, 0.5) == pytest.approx(274.908, rel=1e-4)
    assert lux(0.0, 1.0) == pytest.approx(204.578, rel=1e-4)
    assert lux(-500.0, 500.0) == pytest.approx(500.0, rel=1e-4)
