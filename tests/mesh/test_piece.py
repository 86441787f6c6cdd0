"""The example rooms as meshes: every piece a strict solid, every STL one that any program takes for solid."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from trimwright.errors import GeometryError
from trimwright.mesh.piece import piece_mesh, piece_meshes, trim_bodies, trim_meshes
from trimwright.mesh.shape import Mesh
from trimwright.mesh.stl import trim_stl
from trimwright.mesh.surroundings import surroundings
from trimwright.project.project import read_project
from trimwright.setout.piece import End, Joint, SetOut
from trimwright.setout.set_out import set_out
from trimwright.tolerance import JOINT_GAP

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@cache
def job_of(path: Path) -> SetOut:
    return set_out(read_project(path))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_body_of_every_example_is_a_strict_solid(path: Path) -> None:
    job = job_of(path)
    bodies = (*trim_bodies(job), *surroundings(job.room))
    assert [body.piece for body in bodies if body.piece] == [piece.id for piece in job.pieces]
    for body in bodies:
        mesh = Mesh(body.vertices, body.faces, body.name)
        assert mesh.closed, body.name
        assert mesh.volume > 0, body.name
        assert mesh.areas.min() > 1e-9, body.name


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_stl_of_every_example_is_watertight(path: Path) -> None:
    trimesh = pytest.importorskip("trimesh")
    job = job_of(path)
    meshes = piece_meshes(job)
    for trim in job.trims:
        pieces = job.of_trim(trim)
        read = trimesh.load(io.BytesIO(trim_stl(job, trim)), file_type="stl")
        assert read.is_watertight, trim.name
        assert read.body_count == len(pieces), trim.name
        # What the gaps take: at most one gap's slice, at 45 degrees twice as wide, off each end of each piece.
        lost = sum(meshes[piece.id].volume for piece in pieces) - read.volume
        most = 2 * len(pieces) * trim.outline.area * JOINT_GAP * 2
        assert -1e-5 * read.volume <= lost <= most + 1e-5 * read.volume, trim.name


def test_a_gap_sets_pieces_apart_and_no_more() -> None:
    """The mitre planes of two neighbours lie a gap apart, measured square to the cut."""
    job = job_of(EXAMPLES[[path.stem for path in EXAMPLES].index("alcove")])
    trim, gap = next(t for t in job.trims if t.joints.internal is Joint.MITRE), 0.5
    pieces = job.of_trim(trim)
    k = next(k for k, piece in enumerate(pieces) if piece.right.joint is Joint.MITRE)
    meshes = trim_meshes(job, trim, gap=gap)
    piece = pieces[k]
    normal = np.array([*piece.frame.along, 0.0]) - piece.right.slope * np.array([*piece.frame.outward, 0.0])
    normal /= np.linalg.norm(normal)
    assert (meshes[k + 1].vertices @ normal).min() - (meshes[k].vertices @ normal).max() == pytest.approx(gap)


def test_ends_that_cross_are_told_by_name() -> None:
    job = job_of(EXAMPLES[0])
    piece = job.pieces[0]
    wrong = replace(piece, right=End(joint=Joint.SQUARE, station=piece.left.station - 2000))
    with pytest.raises(GeometryError, match=f"{piece.trim.name} {piece.id} cross"):
        piece_mesh(wrong, job)


def test_a_cope_at_an_external_corner_is_refused() -> None:
    job = job_of(EXAMPLES[0])
    piece = job.pieces[0]
    wrong = replace(piece, left=replace(piece.left, joint=Joint.COPE, corner=270.0, mate=job.pieces[1].id))
    with pytest.raises(GeometryError, match=f"piece {piece.id}: only an internal corner can be coped"):
        piece_mesh(wrong, job)
