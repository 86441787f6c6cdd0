"""Least distances against closed forms, against shapely in section and against another library's bodies."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from manifold3d import Manifold
from shapely import Polygon

from trimwright.clearance.bite import hull_points
from trimwright.clearance.convex import Convex, Points, Prism, Rod, arc_points
from trimwright.clearance.distance import box_gap, contains, least

SQUARE = np.array([(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)])


def triangles(body: Manifold) -> Points:
    mesh = body.to_mesh64()
    return np.asarray(mesh.vert_properties[:, :3])[np.asarray(mesh.tri_verts)]


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> Manifold:
    return Manifold.cube([h - low_ for low_, h in zip(low, high, strict=True)]).translate(low)


def rod(start: tuple[float, float, float], end: tuple[float, float, float], radius: float) -> Rod:
    return Rod(np.array(start), np.array(end), radius)


def test_cylinder_to_plane() -> None:
    """A slab's top at height 0, a level pipe's axis at 50: 50 less the radius; inclined, the lower rim decides."""
    slab = triangles(box((-500, -500, -10), (500, 500, 0)))
    assert least(slab, rod((-100, 0, 50), (100, 0, 50), 11)).distance == pytest.approx(39, abs=1e-6)
    tilt = math.radians(30)
    end = (200 * math.cos(tilt), 0.0, 50 + 200 * math.sin(tilt))
    assert least(slab, rod((0, 0, 50), end, 11)).distance == pytest.approx(50 - 11 * math.cos(tilt), abs=1e-6)


def test_cylinder_to_the_edge_of_a_box() -> None:
    """Axis parallel to an edge, 30 out and 40 up from it: 50 less the radius; square to it: by its height alone."""
    body = triangles(box((-200, -50, -50), (200, 0, 0)))
    assert least(body, rod((-100, 30, 40), (100, 30, 40), 11)).distance == pytest.approx(39, abs=1e-6)
    assert least(body, rod((0, -100, 40), (0, 100, 40), 11)).distance == pytest.approx(29, abs=1e-6)


@pytest.mark.parametrize(("rounded", "expected"), [(False, 25.0), (True, 14.0)])
def test_ends_of_pipes_are_flat_but_where_they_bend(rounded: bool, expected: float) -> None:
    ceiling = triangles(box((-500, -500, 100), (500, 500, 110)))
    pipe = Rod(np.array([0.0, 0, 0]), np.array([0.0, 0, 75.0]), 11, round_end=rounded)
    assert least(ceiling, pipe).distance == pytest.approx(expected, abs=1e-6)


def test_a_corner_to_the_rim_of_a_pipe() -> None:
    """A box corner 20 above the end of an upright pipe and 30 outside its rim."""
    body = triangles(box((41, -1e-9, 120), (80, 60, 160)))
    assert least(body, rod((0, 0, 0), (0, 0, 100), 11)).distance == pytest.approx(math.hypot(30, 20), abs=1e-5)


def test_what_meets_is_nothing_apart() -> None:
    body = triangles(box((0, 0, 0), (400, 40, 40)))
    assert least(body, rod((200, 20, -50), (200, 20, 90), 5)).distance == 0.0
    assert least(body, rod((200, -50, 20), (200, 90, 20), 5)).distance == 0.0
    assert least(body, Prism(SQUARE + np.array([100, -10]), 10, 20)).distance == 0.0
    inner = rod((150, 20, 20), (250, 20, 20), 5)
    assert least(body, inner).distance == pytest.approx(15, abs=1e-6)
    assert contains(body, inner.start)
    assert not contains(body, np.array([150.0, 20, 41]))


place = st.floats(-150, 150)
angle = st.floats(0, 2 * math.pi)


@given(st.tuples(place, place), angle, st.floats(0, 80), st.floats(0, 300), st.floats(20, 170))
def test_prisms_against_shapely(at: tuple[float, float], turn: float, rise: float, radius: float, swing: float) -> None:
    """Upright bodies: the distance is that of their plans (shapely) and of their heights, by Pythagoras."""
    cos, sin = math.cos(turn), math.sin(turn)
    plan = SQUARE @ np.array([[cos, sin], [-sin, cos]]) + at
    body = Manifold.hull_points([(*p, h) for p in plan for h in (0.0, 50.0)])
    sector = [(0.0, 0.0), *arc_points((0.0, 0.0), 50 + radius, 0.0, math.radians(swing), 0.2)]
    shape = Prism(np.array(sector), 50 + rise, 200)
    flat = Polygon(plan).distance(Polygon(sector))
    assert least(triangles(body), shape).distance == pytest.approx(math.hypot(flat, rise), abs=1e-5)


@given(st.tuples(place, place, place), angle, st.floats(-1.5, 1.5), st.floats(5, 40), st.floats(20, 300))
def test_rods_against_meshes(
    at: tuple[float, float, float], turn: float, lift: float, radius: float, length: float
) -> None:
    """Against manifold3d's own search between meshes; 96 sides take up to r (1 - cos(pi / 96)) off a round rod."""
    end = np.array(at) + length * np.array(
        [math.cos(lift) * math.cos(turn), math.cos(lift) * math.sin(turn), math.sin(lift)]
    )
    shape = Rod(np.array(at), end, radius)
    body = box((-30, -20, -25), (30, 20, 25))
    other = Manifold.hull_points(hull_points(shape))
    found = least(triangles(body), shape)
    sides = radius * (1 - math.cos(math.pi / 96)) + 1e-4
    if (body ^ other).volume() > 1e-3:
        inside = found.distance > 0 and contains(triangles(body), found.on_shape)
        assert inside or found.distance == pytest.approx(0.0, abs=1e-6)
    else:
        expected = body.min_gap(other, 1000.0)
        assert expected - sides <= found.distance <= expected + 1e-4
    assert np.linalg.norm(found.on_body - found.on_shape) == pytest.approx(found.distance, abs=1e-9)


@given(st.lists(st.tuples(place, place, place), min_size=6, max_size=6), st.floats(1, 30))
def test_points_of_shapes(points: list[tuple[float, float, float]], radius: float) -> None:
    """No point of a hull is nearer than the nearest or further out than the furthest (laws of a convex shape)."""
    at = np.round(np.array(points), 3)
    shapes: list[Convex] = [Prism(SQUARE, -10, 60)]
    if np.linalg.norm(at[0] - at[1]) > 1:
        shapes.append(Rod(at[0], at[1], radius))
    for shape in shapes:
        near = shape.nearest(at[2:])
        hull = hull_points(shape)
        assert (
            np.linalg.norm(at[2:] - near, axis=1) <= np.linalg.norm(at[2:, None] - hull, axis=2).min(1) + 1e-9
        ).all()
        assert np.allclose(shape.nearest(near), near, atol=1e-9)
        reach = (shape.furthest(at[2:]) * at[2:]).sum(axis=1)
        assert (reach >= (hull @ at[2:].T).max(axis=0) - 1e-6).all()
        assert box_gap(np.array([near[0], near[0]]), shape.box) <= 1e-9
