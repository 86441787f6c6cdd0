"""The cut through a least gap shows that gap at its true width."""

from __future__ import annotations

import math

import pytest
from shapely import Polygon

from example_rooms import EXAMPLES
from trimwright.clearance.gaps import clearances
from trimwright.clearance.obstacles import obstacles
from trimwright.clearance.section import cut_through
from trimwright.drawing.gap_sheets import gap_sheets, worth_a_picture
from trimwright.mesh.piece import piece_meshes
from trimwright.project.project import read_project
from trimwright.room import Pipe
from trimwright.setout.set_out import set_out


@pytest.mark.parametrize("name", ["reading-room", "alcove"])
def test_cuts_show_the_gap(name: str) -> None:
    """Between the loops of piece and obstacle shapely finds the least gap again; a pipe is cut as its own circle."""
    project = read_project(EXAMPLES / f"{name}.toml")
    done = set_out(project)
    meshes = piece_meshes(done)
    ways = {way.name: way for way in obstacles(done.room, project.clearance)}
    lines = [line for line in clearances(done, meshes, project.clearance) if worth_a_picture(line)]
    assert lines
    for line in lines:
        cut = cut_through(done, meshes, line, ways[line.obstacle])
        assert math.dist(cut.at, cut.to) == pytest.approx(line.actual, abs=1e-3)
        own = [Polygon(loop) for name, loop in cut.trims if name == line.piece]
        (other,) = [Polygon(loop) for loop in cut.obstacle]
        assert min(p.distance(other) for p in own) == pytest.approx(line.actual, abs=0.03)
        pipe = ways[line.obstacle].source
        if isinstance(pipe, Pipe) and not cut.upright:
            assert other.area == pytest.approx(math.pi * pipe.radius**2, rel=2e-3)


def test_sheets_hold_every_picture() -> None:
    project = read_project(EXAMPLES / "reading-room.toml")
    done = set_out(project)
    meshes = piece_meshes(done)
    found = clearances(done, meshes, project.clearance)
    sheets = gap_sheets(done, meshes, found, obstacles(done.room, project.clearance), "A4")
    assert sum(len(sheet.views) for sheet in sheets) == sum(worth_a_picture(line) for line in found)
    for view in (v for sheet in sheets for v in sheet.views):
        assert view.window is not None
        assert view.window[0] < view.window[2]
        assert view.window[1] < view.window[3]
