"""Values at the end of a notebook's cell, shown by IPython's own formatter."""

from __future__ import annotations

import re
from pathlib import Path
from types import SimpleNamespace

import pytest
from IPython.core.formatters import DisplayFormatter
from lxml import etree

from example_rooms import EXAMPLES, example_set_out
from trimwright import load_ipython_extension, unload_ipython_extension
from trimwright.notebook import svg_of
from trimwright.pack.job import job_of
from trimwright.profile.file import read_profile
from trimwright.profile.library import shipped_profiles
from trimwright.project.project import read_project
from trimwright.setout.piece import SetOut

SVG = "image/svg+xml"


@pytest.fixture
def shell() -> SimpleNamespace:
    return SimpleNamespace(display_formatter=DisplayFormatter())


def words(svg: str) -> str:
    return " ".join(etree.fromstring(svg.encode()).itertext())


def test_values_show_themselves_once_the_extension_is_loaded(shell: SimpleNamespace) -> None:
    done = example_set_out("reading-room")
    values = (done, done.room, done.pieces[0], done.trims[0].section, read_profile(shipped_profiles()["cove"]))
    for value in values:
        assert SVG not in shell.display_formatter.format(value)[0]
    load_ipython_extension(shell)
    for value in values:
        shown, _ = shell.display_formatter.format(value)
        assert shown[SVG] == svg_of(value)
        assert "text/plain" in shown
    unload_ipython_extension(shell)
    assert SVG not in shell.display_formatter.format(done.room)[0]


def test_a_room_is_its_plan_and_a_job_has_its_trims(example: SetOut) -> None:
    room, job = words(svg_of(example.room)), words(svg_of(example))
    for wall in example.room.walls:
        assert wall.name in room
        assert wall.name in job
    assert not any(piece.id in room.split() for piece in example.pieces)
    assert all(trim.letter in re.sub(r"[0-9]", "", job) for trim in example.trims)


def test_a_job_is_drawn_as_its_setting_out_and_a_project_as_its_room() -> None:
    project = read_project(EXAMPLES / "box-room.toml")
    job = job_of(project)
    assert svg_of(job) == svg_of(job.set_out)
    assert svg_of(project) == svg_of(job.set_out.room)


def test_each_piece_tells_its_lengths(example: SetOut) -> None:
    for piece in example.pieces:
        said = words(svg_of(piece))
        assert f"{piece.id}: {piece.trim.name}, length {piece.length:.1f} mm" in said
        lengths = [f"{length:.1f}" for length in (piece.back_length, piece.front_length)]
        assert all(length in said for length in lengths if length != "0.0")  # a return is nothing long at its back


def test_nothing_of_a_piece_lies_off_its_slip(example: SetOut) -> None:
    for piece in example.pieces:
        tree = etree.fromstring(svg_of(piece).encode())
        _, _, width, height = map(float, tree.get("viewBox").split())
        lines = " ".join(path.get("d") for path in tree.iter("{*}path"))
        points = [(float(x), float(y)) for x, y in re.findall(r"[ML] ?(-?[\d.]+)[ ,](-?[\d.]+)", lines)]
        assert len(points) > 8
        assert all(0 <= x <= width and 0 <= y <= height for x, y in points)


def test_anything_else_has_no_drawing() -> None:
    with pytest.raises(TypeError, match="no drawing of a PosixPath"):
        svg_of(Path("room.toml"))
