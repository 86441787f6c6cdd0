"""Where the pictures of the example rooms are taken from."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import LineString, Point, Polygon

from example_rooms import example_set_out
from trimwright.mesh.body import Kind
from trimwright.mesh.piece import trim_bodies
from trimwright.mesh.surroundings import surroundings
from trimwright.picture.draw import seen
from trimwright.picture.viewpoints import EYE, views
from trimwright.setout.piece import SetOut

SIZE = (160, 100)


def test_the_eye_is_in_the_room_and_sees_its_target(example: SetOut) -> None:
    for view in views(example):
        assert 0 < view.eye[2] < example.room.ceiling
        assert 0 < view.target[2] < example.room.ceiling
        if example.room.closed:
            plan = Polygon(example.room.plan)
            assert plan.contains(Point(view.eye[:2]))
            assert plan.buffer(2).covers(LineString([view.eye[:2], view.target[:2]]))


def test_the_room_is_seen_from_its_door() -> None:
    done = example_set_out("reading-room")
    view = views(done)[0]
    door = next(o for o in done.room.openings if o.kind == "door")
    station, out = done.room.walls[door.wall].frame.locate(view.eye[:2])
    assert view.eye[2] == EYE
    assert door.station < station < door.station + door.width
    assert 0 < out < 500


def test_each_trim_can_be_seen_in_one_of_the_pictures(example: SetOut) -> None:
    bodies = [*trim_bodies(example, 0.2), *surroundings(example.room)]
    shown: set[str] = set()
    for view in views(example):
        at = seen(bodies, view, SIZE)
        shown |= {bodies[k].trim for k in np.unique(at) if k >= 0 and bodies[k].kind is Kind.TRIM}
    hidden = {"light channel"}  # lies behind the cornice, out of sight by intent
    assert {t.name for t in example.trims} - hidden <= shown


@pytest.mark.parametrize("name", ["reading-room", "bay", "hall", "box-room"])
def test_the_corner_shows_ceiling_above_and_wall_below_the_build_up(name: str) -> None:
    done = example_set_out(name)
    bodies = [*trim_bodies(done, 0.2), *surroundings(done.room)]
    at = seen(bodies, views(done)[1], SIZE)
    kinds = np.array([body.kind for body in bodies])[at[:, SIZE[0] // 2]]
    trims = np.flatnonzero(kinds == Kind.TRIM)
    assert trims.min() > 0
    assert trims.max() < SIZE[1] - 1
    assert Kind.CEILING in kinds[: trims.min()]
    assert Kind.WALL in kinds[trims.max() :]


def test_the_corner_is_looked_at_from_within_reach(example: SetOut) -> None:
    view = views(example)[1]
    assert 400 < math.dist(view.eye[:2], view.target[:2]) < 4000
