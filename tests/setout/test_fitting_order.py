"""Every piece can be brought to its place: its way is gone along with the bodies themselves, past all that are up."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from manifold3d import Manifold, Mesh64
from shapely import Polygon, box

from trimwright.errors import TrimwrightError
from trimwright.mesh.piece import piece_meshes
from trimwright.mesh.shape import Mesh
from trimwright.setout.piece import Joint, SetOut
from trimwright.setout.plan_shapes import bite, hull, shared, swept
from trimwright.setout.ways_in import HAND, Approach, standing, way_in

MOVED = (Approach.STRAIGHT, Approach.SLANTING, Approach.BELOW, Approach.ABOVE)


def manifold(mesh: Mesh) -> Manifold:
    return Manifold(Mesh64(np.ascontiguousarray(mesh.vertices), mesh.faces.astype(np.uint64)))


def thickness(body: Manifold) -> float:
    """Of what two bodies share: that of a slab with its volume and surface."""
    return 2 * body.volume() / body.surface_area() if body.volume() > 0 else 0.0


def check_ways(done: SetOut) -> None:
    """Along each way, in steps, no piece comes more than the play of a joint into one that is up."""
    bodies = {name: manifold(mesh) for name, mesh in piece_meshes(done, 0.1).items()}
    up: list[str] = []
    for name in done.order:
        piece = done.piece(name)
        own = standing(piece)
        way = way_in(own, [standing(done.piece(other)) for other in up], done.room)
        assert way is not None, name
        if way.approach in MOVED:
            for part in (0.02, 0.1, 0.3, 0.6, 1.0):
                far = part * (own.depth + HAND)
                steps = [(way.out[0] * far, way.out[1] * far, way.lift)]
                steps += [(0.0, 0.0, way.lift * part)] if way.lift else []
                for step in steps:
                    moved = bodies[name].translate(step)
                    met = [thickness(moved ^ bodies[other]) for other in up]
                    assert max(met, default=0.0) < 0.3, (name, way, step)
        up.append(name)


def test_examples_can_be_fitted(example: SetOut) -> None:
    check_ways(example)
    assert sorted(example.order) == sorted(piece.id for piece in example.pieces)


def test_what_is_coped_over_is_up_first(example: SetOut) -> None:
    """Common practice, no source: the mate first, then the cope; a return after the piece that it ends."""
    place = {name: k for k, name in enumerate(example.order)}
    for piece in example.pieces:
        for end in (piece.left, piece.right):
            if end.joint is Joint.COPE or (piece.is_return and end.mate):
                assert place[end.mate or ""] < place[piece.id]


def test_battens_then_channels_then_downwards(example: SetOut) -> None:
    kinds = [example.piece(name).trim for name in example.order]
    ranks = [{"batten": 0, "channel": 1}.get(t.section.kind, 2) for t in kinds]
    assert ranks == sorted(ranks)
    tops = [t.edges.top for t, rank in zip(kinds, ranks, strict=True) if rank == 2]
    assert tops == sorted(tops, reverse=True)


ROOM = """
format = 1
[room]
name = "Quad"
ceiling = 2400
[[wall]]
name = "a"
length = {0}
[[wall]]
name = "b"
length = {1}
[[wall]]
name = "c"
length = {2}
[[wall]]
name = "d"
length = {3}
[[diagonal]]
corners = [1, 3]
length = {4}
[[trim]]
name = "cornice"
profile = "{5}"
back = "wall"
top = "ceiling"
material = "{6}"
joints = {{ internal = "{7}" }}
stock = [{{ length = 2400 }}]
"""

side = st.integers(1500, 5000)


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    side,
    side,
    st.floats(-60, 60),
    st.floats(-60, 60),
    st.sampled_from(["cove", "rail-ogee"]),
    st.sampled_from(["cope", "mitre"]),
)
def test_rooms_out_of_square_can_be_fitted(
    set_out_of: Callable[[str], SetOut], a: int, b: int, skew: float, slant: float, profile: str, joint: str
) -> None:
    """Four walls, corners up to some degrees off: whichever wall the round begins at, there is one that closes it."""
    corners = [(0.0, 0.0), (float(a), 0.0), (a + skew, -float(b)), (slant, -float(b))]
    walls = [math.dist(p, q) for p, q in zip(corners, [*corners[1:], corners[0]], strict=True)]
    text = ROOM.format(*walls, math.dist(corners[0], corners[2]), profile, "softwood", joint)
    try:
        done = set_out_of(text)
    except TrimwrightError:
        return
    check_ways(done)


point = st.tuples(st.integers(-50, 50), st.integers(-50, 50)).map(lambda p: (float(p[0]), float(p[1])))


@given(st.lists(point, min_size=3, max_size=8), st.integers(-40, 40), st.integers(5, 60), point)
def test_plan_shapes_against_shapely(
    points: list[tuple[float, float]], x: int, size: int, by: tuple[float, float]
) -> None:
    outline = hull(points)
    if len(outline) < 3 or Polygon(outline).area < 1:
        return
    square = [(float(x), 0.0), (float(x + size), 0.0), (float(x + size), float(size)), (float(x), float(size))]
    assert Polygon(outline).area == pytest.approx(Polygon(points).convex_hull.area if len(points) > 2 else 0)
    both = Polygon(outline).intersection(box(x, 0, x + size, size))
    common = shared(square, outline)
    assert (Polygon(common).area if len(common) > 2 else 0.0) == pytest.approx(both.area, abs=1e-6)
    assert (bite(outline, square) > 1e-9) == (both.area > 1e-9)
    moved = Polygon([(px + by[0], py + by[1]) for px, py in outline])
    assert Polygon(swept(outline, by)).area == pytest.approx(Polygon(outline).union(moved).convex_hull.area)
