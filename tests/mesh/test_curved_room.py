"""Curved walls and what hangs in them: closed, of the right area, and facing the room all along."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from curved_rooms import CURVE, curved_room, sweep_of, trim
from trimwright.mesh.body import Body, Kind
from trimwright.mesh.shape import Mesh
from trimwright.mesh.sketched import FACE, WALL, upright
from trimwright.mesh.surroundings import surroundings
from trimwright.project.project import Project

RADIUS, CHORD = 2400.0, 3000.0
LENGTH = RADIUS * sweep_of(RADIUS, CHORD)
WINDOW = f'[[opening]]\nwall = "{CURVE}"\nkind = "window"\nfrom_left = 700\nwidth = 1800\nsill = 600\nhead = 2100\n'
PIPES = (
    f'[[pipe]]\nwall = "{CURVE}"\nname = "flow"\ndirection = "horizontal"\nheight = 200\nout = 40\ndiameter = 22\n'
    f'[[fitting]]\nwall = "{CURVE}"\nname = "track"\nfrom_left = 500\nwidth = 2200\n'
    f"bottom = 2200\ntop = 2230\nout = 60\n"
)

ProjectOf = Callable[[str], Project]


def bodies(project_of: ProjectOf, bow: str, *tables: str) -> dict[str, Body]:
    room = project_of(curved_room(trim('material = "softwood"'), WINDOW, PIPES, *tables, bow=bow)).room
    return {body.name: body for body in surroundings(room)}


def mesh(body: Body) -> Mesh:
    return Mesh(body.vertices, body.faces, body.name)


@pytest.mark.parametrize("bow", ["out", "in"])
def test_everything_is_closed(project_of: ProjectOf, bow: str) -> None:
    for body in bodies(project_of, bow).values():
        assert mesh(body).closed, body.name
        assert mesh(body).volume > 0, body.name


@pytest.mark.parametrize("bow", ["out", "in"])
def test_the_face_of_a_curved_wall_is_all_that_looks_into_the_room(project_of: ProjectOf, bow: str) -> None:
    """Length of arc x height, less the window; reveals, ends and back look elsewhere."""
    wall = bodies(project_of, bow)[f"wall {CURVE}"]
    shape = mesh(wall)
    normals = shape.crosses / np.linalg.norm(shape.crosses, axis=1)[:, None]
    facing = (normals * wall.inward_at(shape.triangles.mean(axis=1))).sum(axis=1) > 0.95
    assert shape.areas[facing].sum() == pytest.approx(LENGTH * 2500 - 1800 * 1500, rel=1e-4)


@pytest.mark.parametrize("bow", ["out", "in"])
def test_a_curved_wall_is_as_thick_as_the_others(project_of: ProjectOf, bow: str) -> None:
    shape = mesh(bodies(project_of, bow)[f"wall {CURVE}"])
    wall = project_of(curved_room(trim('material = "softwood"'), bow=bow)).room.walls[1]
    outs = [wall.frame.locate((x, y))[1] for x, y, _ in shape.vertices]
    assert max(outs) == pytest.approx(0, abs=FACE)
    assert min(outs) > -2 * WALL


def test_floor_and_ceiling_follow_the_curve(project_of: ProjectOf) -> None:
    sweep = sweep_of(RADIUS, CHORD)
    segment = RADIUS**2 * (sweep - math.sin(sweep)) / 2
    made = bodies(project_of, "out")
    for name in ("floor", "ceiling"):
        assert mesh(made[name]).volume == pytest.approx((4000 * 3000 + segment) * WALL, rel=1e-5)


def test_a_level_pipe_follows_the_wall(project_of: ProjectOf) -> None:
    """Pappus: area of its circle x the arc of its axis."""
    pipe = mesh(bodies(project_of, "out")["pipe flow"])
    assert pipe.volume == pytest.approx(math.pi * 11**2 * LENGTH * (RADIUS - 40) / RADIUS, rel=1e-4)


def test_a_fitting_follows_the_wall(project_of: ProjectOf) -> None:
    """A sector of a ring, its height times t (R2^2 - R1^2) / 2."""
    track = mesh(bodies(project_of, "in")["fitting track"])
    assert track.volume == pytest.approx(30 * 2200 / RADIUS * ((RADIUS + 60) ** 2 - RADIUS**2) / 2, rel=1e-4)


def test_a_mitred_board_is_bent(project_of: ProjectOf) -> None:
    """A trapezium whose ends run to a point keeps its shape along the face: volume by its mean line."""
    wall = project_of(curved_room(trim('material = "softwood"'))).room.walls[1]
    board = upright([(460, 2160), (1540, 2160), (1600, 2220), (400, 2220)], (0.0, 20.0), wall.frame, "head")
    assert board.closed
    area = (1080 + 1200) / 2 * 60
    assert board.volume == pytest.approx(area * 20 * (RADIUS - 10) / RADIUS, rel=1e-4)


def test_windows_face_the_room_too(project_of: ProjectOf) -> None:
    for body in bodies(project_of, "out").values():
        if body.kind is Kind.OPENING:
            assert body.centre is not None
