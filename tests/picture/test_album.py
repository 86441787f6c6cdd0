"""What the whole album shows: every corner, the ceiling from below, the build-up drawn apart, each kind of joint."""

from __future__ import annotations

import math

import numpy as np
import pytest
from box_room import bodies as box_bodies

from example_rooms import example_set_out
from trimwright.mesh.body import Body, Kind
from trimwright.mesh.piece import trim_bodies
from trimwright.mesh.surroundings import surroundings
from trimwright.picture.album import APART, Shot, album, draw_album, lowered_by
from trimwright.picture.camera import View, rays
from trimwright.picture.close_ups import kind_of_joint
from trimwright.picture.draw import seen
from trimwright.setout.piece import SetOut, Side

SIZE = (160, 100)


def shown(set_out: SetOut, shot: Shot) -> tuple[list[Body], np.ndarray]:
    scene = shot.scene([*surroundings(set_out.room), *trim_bodies(set_out, 0.2)])
    return scene, seen(scene, shot.view, SIZE)


def test_names_are_names_of_files_and_each_is_there_once(example: SetOut) -> None:
    names = [shot.view.name for shot in album(example)]
    assert len(set(names)) == len(names)
    assert all(name.replace("-", "").isalnum() and name == name.lower() for name in names)
    assert [shot.view.name for shot in album(example, whole=False)] == ["room", "corner"] == names[:2]


def test_each_internal_corner_has_its_picture(example: SetOut) -> None:
    targets = [shot.view.target[:2] for shot in album(example) if shot.view.name.startswith("corner")]
    for corner in example.room.corners:
        if corner and corner.internal:
            assert min(math.dist(corner.plan, target) for target in targets) < 1.0


def test_each_kind_of_joint_of_the_room_is_in_the_middle_of_its_picture(example: SetOut) -> None:
    kinds = {kind_of_joint(piece, side) for piece in example.pieces for side in Side} - {""}
    shots = [shot for shot in album(example) if shot.view.name.startswith("joint-")]
    assert {shot.view.title.split(":")[0].lower() for shot in shots} == kinds
    for shot in shots:
        scene, at = shown(example, shot)
        middle = at[SIZE[1] // 2 - 6 : SIZE[1] // 2 + 7, SIZE[0] // 2 - 6 : SIZE[0] // 2 + 7]
        pieces = {scene[k].piece for k in np.unique(middle) if k >= 0} - {""}
        wanted = set(shot.view.title.split(": ", 1)[1].split(", ")[1].split(" and "))
        assert pieces & wanted, shot.view.title
        if len(wanted) == 2:
            assert wanted <= {scene[k].piece for k in np.unique(at) if k >= 0}, shot.view.title


def test_the_ceiling_from_below_shows_the_whole_of_it_mirrored() -> None:
    done = example_set_out("reading-room")
    shot = next(shot for shot in album(done) if shot.view.name == "ceiling")
    scene, at = shown(done, shot)
    kinds = np.array([body.kind for body in scene] + [""])[at]
    assert Kind.FLOOR not in kinds
    assert (kinds[0] == "").all()
    assert (kinds[:, [0, -1]] == "").all()
    assert (kinds == Kind.CEILING).mean() > 0.3
    # The plan's x runs to the left: the window wall, at the greatest x, is on the left.
    window = np.array([body.name == "pane window 2" for body in scene] + [False])[at]
    assert np.nonzero(window)[1].mean() < SIZE[0] / 2


def test_looking_straight_up_the_plan_is_seen_in_a_mirror() -> None:
    view = View(name="", title="", eye=(5.0, 7.0, 0.0), target=(5.0, 7.0, 900.0), field=90.0)
    middle, left, top = rays(view, SIZE, [SIZE[0] / 2, 0, SIZE[0] / 2], [SIZE[1] / 2, SIZE[1] / 2, 0])
    assert middle == pytest.approx([0, 0, 1])
    assert left == pytest.approx([1, 0, 1])
    assert top == pytest.approx([0, SIZE[1] / SIZE[0], 1])


def test_drawn_apart_no_trim_hides_another() -> None:
    done = example_set_out("reading-room")
    shot = next(shot for shot in album(done) if shot.view.name == "apart")
    by_height = sorted(done.trims, key=lambda trim: -trim.edges.top)
    assert lowered_by(done) == {trim.name: k * APART for k, trim in enumerate(by_height) if k}
    scene, at = shown(done, shot)
    column = at[:, SIZE[0] * 3 // 4]
    order = list(dict.fromkeys(scene[k].trim for k in column if scene[k].trim))
    assert order == [trim.name for trim in by_height]


def test_shots_of_changed_rooms_are_drawn_from_changed_rooms() -> None:
    view = View(name="a", title="", eye=(2000.0, 300.0, 1600.0), target=(2000.0, 3000.0, 1300.0), field=90.0)
    plain = Shot(view=view)
    lower = Shot(view=View(name="b", title="", eye=view.eye, target=view.target, field=90.0), lowered={"rail": 500.0})
    bare = Shot(
        view=View(name="c", title="", eye=view.eye, target=view.target, field=90.0), without=frozenset({Kind.TRIM})
    )
    drawn = draw_album(box_bodies(), [plain, lower, bare], (80, 50))
    assert list(drawn) == ["a", "b", "c"]
    assert len(set(drawn.values())) == 3
