"""The picture: what is on it, how it is lit, and that it is the same each time."""

from __future__ import annotations

import io

import numpy as np
import pytest
from box_room import SIZE, VIEW, bodies, box
from PIL import Image

from trimwright.colour import linear
from trimwright.mesh.body import Kind
from trimwright.picture.camera import View
from trimwright.picture.draw import draw, draw_all, png, seen
from trimwright.picture.edges import line, sample_offsets
from trimwright.picture.scene import scene_of
from trimwright.picture.tone import tone


@pytest.fixture(scope="module")
def picture() -> np.ndarray:
    return draw(bodies(), VIEW, SIZE)


def luminance(picture: np.ndarray) -> np.ndarray:
    return picture @ np.array([0.2126, 0.7152, 0.0722])  # Rec. 709 weights


def test_the_picture_is_neither_blank_nor_burnt_out(picture: np.ndarray) -> None:
    assert picture.shape == (SIZE[1], SIZE[0], 3)
    light = luminance(picture)
    assert 120 < light.mean() < 235
    assert light.std() > 12
    assert (picture == 255).all(axis=-1).mean() < 0.02
    assert (light < 25).mean() < 0.02


def test_every_body_in_front_of_the_camera_is_seen() -> None:
    at = seen(bodies(), VIEW, SIZE)
    hidden = {"near wall"}  # behind the camera
    assert {bodies()[k].name for k in np.unique(at)} == {b.name for b in bodies()} - hidden


def test_colours_come_from_the_bodies(picture: np.ndarray) -> None:
    at = seen(bodies(), VIEW, SIZE)
    names = [b.name for b in bodies()]
    rail = picture[at == names.index("rail")].mean(axis=0)
    floor = picture[at == names.index("floor")].mean(axis=0)
    ceiling = picture[at == names.index("ceiling")].mean(axis=0)
    assert rail[0] > rail[1] > rail[2]  # brown
    assert floor[0] > floor[2] + 20
    assert luminance(rail) < luminance(ceiling) - 40


def test_corners_are_darker_than_the_open_wall(picture: np.ndarray) -> None:
    at = seen(bodies(), VIEW, SIZE)
    wall = at == [b.name for b in bodies()].index("far wall")
    row = SIZE[1] // 2
    columns = np.flatnonzero(wall[row])
    light = luminance(picture)[row]
    open_wall = np.median(light[columns])
    assert light[columns[2]] < open_wall - 3
    assert light[columns[-3]] < open_wall - 3


def test_no_grain_on_a_plain_wall(picture: np.ndarray) -> None:
    at = seen(bodies(), VIEW, SIZE)
    wall = at == [b.name for b in bodies()].index("far wall")
    rows, columns = np.nonzero(wall)
    clear = wall[rows.min() + 25 : rows.max() - 10, columns.min() + 45 : columns.max() - 15]
    patch = luminance(picture)[rows.min() + 25 : rows.max() - 10, columns.min() + 45 : columns.max() - 15]
    assert clear.all()
    assert np.abs(np.diff(patch, axis=1)).max() < 3


def test_a_line_is_drawn_between_two_like_coloured_bodies() -> None:
    halves = [
        box("left", (-2000, 3000, 0), (0, 3060, 2500), "#ffffff", Kind.WALL),
        box("right", (0, 3000, 0), (2000, 3060, 2500), "#ffffff", Kind.WALL),
    ]
    view = View(name="", title="", eye=(0, 0, 1250), target=(0.5, 3000, 1250), field=40.0)
    row = luminance(draw(halves, view, SIZE))[50]
    assert row[79:81].min() < np.median(row[60:100]) - 10


def test_the_same_bytes_each_time_and_side_by_side() -> None:
    small = (80, 50)
    once = png(draw(bodies(), VIEW, small))
    other = View(name="other", title="", eye=VIEW.eye, target=(0.0, 3000.0, 2000.0), field=60.0)
    both = draw_all(bodies(), [VIEW, other], small)
    assert both["room"] == once
    assert both["other"] != once
    assert np.array_equal(np.asarray(Image.open(io.BytesIO(once))), draw(bodies(), VIEW, small))


def test_smooth_surfaces_stop_at_creases() -> None:
    # A box has six sides of two triangles each; a cylinder of 48 facets (7.5 degrees) is one surface and two ends.
    assert len(np.unique(scene_of([bodies()[0]]).surface)) == 6
    turn = np.arange(48) * 2 * np.pi / 48
    ring = np.stack([np.cos(turn), np.sin(turn)], axis=1) * 100
    ends = [np.column_stack([ring, np.full(48, z)]) for z in (0.0, 500.0)]
    vertices = np.vstack([*ends, [[0, 0, 0], [0, 0, 500]]])
    k, after = np.arange(48), (np.arange(48) + 1) % 48
    faces = np.vstack(
        [
            np.stack([k, after, 48 + after], axis=1),
            np.stack([k, 48 + after, 48 + k], axis=1),
            np.stack([np.full(48, 96), after, k], axis=1),
            np.stack([np.full(48, 97), 48 + k, 48 + after], axis=1),
        ]
    ).astype(np.int32)
    pipe = box("pipe", (0, 0, 0), (1, 1, 1), "#b87349", Kind.PIPE)
    cylinder = type(pipe)(name="pipe", vertices=vertices, faces=faces, colour="#b87349", kind=Kind.PIPE)
    assert len(np.unique(scene_of([cylinder]).surface)) == 3
    assert len(np.unique(scene_of([cylinder]).facet)) == 50


def test_samples_of_a_pixel_lie_opposite_each_other() -> None:
    down, across, weight = sample_offsets()
    assert np.allclose(down, -down[::-1])
    assert np.allclose(across, -across[::-1])
    assert len(set(down.tolist())) == len(set(across.tolist())) == 16
    assert max(np.abs(down).max(), np.abs(across).max()) < 1
    assert weight.sum() == pytest.approx(1)


def test_a_line_through_the_middle_counts_whole_and_a_crease_a_quarter() -> None:
    halves = np.repeat([[1] * 8 + [2] * 8], 2, axis=0).astype(np.int32)
    body = np.array([[1] * 8 + [2] * 8, [1] * 16], np.int32)
    assert line(halves, body) == pytest.approx([1, 0.25])


def test_tone_is_srgb() -> None:
    # IEC 61966-2-1: byte 188 is linear 0.5029, middle grey 0.18 is byte 118; black and white stay.
    assert linear("#bc7600") == pytest.approx((0.5029, 0.1812, 0), abs=5e-4)
    grey = tone(np.array([[0.0, 0.18, 1.0]], np.float32))
    assert grey.tolist() == [[0, 118, 255]]
