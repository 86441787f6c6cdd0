from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from trimwright.mesh.body import Body, Kind
from trimwright.mesh.shape import Mesh
from trimwright.mesh.surroundings import WALL, surroundings
from trimwright.room import Opening, Room

CASING = 15.0
"""What a room file that says nothing of it takes a casing to stand out."""


def mesh(body: Body) -> Mesh:
    return Mesh(body.vertices, body.faces, body.name)


def named(room: Room) -> dict[str, Mesh]:
    return {body.name: mesh(body) for body in surroundings(room)}


@pytest.mark.parametrize("closed", [True, False])
@pytest.mark.parametrize("ceilings", [(2500, 2500, 2500, 2500), (2500, 2510, 2480, 2495)])
def test_every_body_is_closed_and_looks_outwards(
    oblong: Callable[..., Room], closed: bool, ceilings: tuple[float, ...]
) -> None:
    bodies = surroundings(oblong(closed, ceilings))
    assert len({body.name for body in bodies}) == len(bodies)
    for body in bodies:
        assert mesh(body).closed, body.name
        assert mesh(body).volume > 0, body.name
        assert mesh(body).areas.min() > 1e-6, body.name


def test_wall_is_its_face_mitred_outwards_less_its_openings(oblong: Callable[..., Room]) -> None:
    """Trapezium in plan: length and length + 2 * thickness at right-angled corners."""
    bodies = named(oblong())
    plan = (4000 + 4000 + 2 * WALL) / 2 * WALL
    assert bodies["wall A"].volume == pytest.approx(plan * 2500 - 838 * 2032 * WALL, rel=1e-9)
    plan = (3000 + 3000 + 2 * WALL) / 2 * WALL
    assert bodies["wall B"].volume == pytest.approx(plan * 2500 - 1200 * 1250 * WALL, rel=1e-9)


def test_walls_reach_the_ceiling_at_each_corner(oblong: Callable[..., Room]) -> None:
    room = oblong(True, (2500.0, 2510.0, 2480.0, 2495.0))
    bodies = named(room)
    for wall in room.walls:
        for plan, height in ((wall.start, room.ceilings[wall.index]), (wall.end, room.ceilings[(wall.index + 1) % 4])):
            at_corner = np.linalg.norm(bodies[f"wall {wall.name}"].vertices[:, :2] - plan, axis=1) < 1e-6
            assert bodies[f"wall {wall.name}"].vertices[at_corner, 2].max() == pytest.approx(height)
    lowest = bodies["ceiling"].vertices[:, 2].min()
    assert lowest == 2480.0


def test_casing_is_the_area_between_two_rectangles(oblong: Callable[..., Room]) -> None:
    bodies = named(oblong())
    door = sum(m.volume for name, m in bodies.items() if name.startswith("casing door 1"))
    assert door == pytest.approx(((838 + 140) * (2032 + 70) - 838 * 2032) * CASING)
    window = sum(m.volume for name, m in bodies.items() if name.startswith("casing bay"))
    assert window == pytest.approx(((1200 + 120) * (1250 + 120) - 1200 * 1250) * CASING)


def test_pipe_has_the_volume_of_its_cylinder_and_lies_where_it_was_measured(oblong: Callable[..., Room]) -> None:
    bodies = named(oblong())
    assert bodies["pipe flow"].volume == pytest.approx(math.pi * 11**2 * 2500, rel=1e-6)
    assert bodies["pipe gas"].volume == pytest.approx(math.pi * 7.5**2 * 1400, rel=1e-6)
    low, high = bodies["pipe flow"].vertices.min(axis=0), bodies["pipe flow"].vertices.max(axis=0)
    assert (low + high) / 2 == pytest.approx([260, -38, 1250], abs=0.05)
    # Wall D runs from (0, -3000) to the origin along +y; the pipe starts 100 along it, 30 out and ends at 1500.
    low, high = bodies["pipe gas"].vertices.min(axis=0), bodies["pipe gas"].vertices.max(axis=0)
    assert low == pytest.approx([22.5, -2900, 292.5], abs=0.05)
    assert high == pytest.approx([37.5, -1500, 307.5], abs=0.05)


def test_an_open_run_has_walls_and_a_floor_in_front_but_no_ceiling(oblong: Callable[..., Room]) -> None:
    bodies = surroundings(oblong(closed=False))
    assert not [body for body in bodies if body.kind is Kind.CEILING]
    assert len([body for body in bodies if body.kind is Kind.FLOOR]) == 1
    assert len([body for body in bodies if body.kind is Kind.WALL]) == 4


def with_opening(room: Room, **measures: float) -> Room:
    return replace(room, openings=(Opening(wall=0, kind="opening", **measures),))  # type: ignore[arg-type]


def test_an_opening_up_to_the_ceiling_leaves_two_stubs(oblong: Callable[..., Room]) -> None:
    room = with_opening(oblong(), station=1000.0, width=1500.0, sill=0.0, head=2500.0)
    wall = named(room)["wall A"]
    assert wall.closed
    assert wall.volume == pytest.approx(((4000 + 4000 + 2 * WALL) / 2 - 1500) * WALL * 2500)


def test_a_wall_that_is_all_opening_is_left_out(oblong: Callable[..., Room]) -> None:
    room = with_opening(oblong(), station=0.0, width=4000.0, sill=0.0, head=2500.0)
    assert "wall A" not in named(room)
    assert "wall B" in named(room)


def test_an_opening_flush_with_a_corner_leaves_the_mitre_of_the_wall(oblong: Callable[..., Room]) -> None:
    room = with_opening(oblong(), station=0.0, width=900.0, sill=0.0, head=2000.0)
    wall = named(room)["wall A"]
    assert wall.closed
    assert wall.volume == pytest.approx((4000 + 4000 + 2 * WALL) / 2 * WALL * 2500 - 900 * 2000 * WALL)
