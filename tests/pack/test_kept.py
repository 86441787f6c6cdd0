"""What a pack keeps is what would be made now, and what changed is never taken from what was kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hand_rooms import mitred_pair, rectangle
from hypothesis import given
from hypothesis import strategies as st

from example_rooms import EXAMPLES, example_set_out
from trimwright.light.brightness import brightness
from trimwright.light.run import LightRun, light_run
from trimwright.mesh.body import Body
from trimwright.mesh.piece import trim_bodies
from trimwright.mesh.surroundings import surroundings
from trimwright.pack.kept import model
from trimwright.pack.kept.light import brightness_kept, light_key, lit_beside
from trimwright.pack.kept.model import exact_beside
from trimwright.pack.kept.pictures import picture_key, pictures_beside
from trimwright.pack.workers import Here
from trimwright.picture.album import Shot, album
from trimwright.project.finish import Finish
from trimwright.project.project import Project, read_project
from trimwright.setout.piece import SetOut
from trimwright.solid.build import room_solids
from trimwright.solid.kept import kept_solids
from trimwright.stock.joints import set_out_to_stock

DAY = date(2026, 10, 12)

ROOM = """format = 1
[room]
name = "Den"
ceiling = 2400
[[wall]]
name = "north"
length = 2700
[[wall]]
name = "east"
length = 2100
[[wall]]
name = "south"
length = 2700
[[wall]]
name = "west"
length = 2100
[[pipe]]
wall = "north"
name = "riser"
from_left = 900
out = 40
diameter = 22
[[trim]]
name = "cornice"
profile = "cove"
size = { drop = 90, projection = 90 }
back = "wall"
top = "ceiling"
material = "gypsum plaster"
stock = [ { length = 3000, price = 14.60 } ]
"""

CHANGED = {
    "another name": ('"Den"', '"Study"'),
    "a trim of another name": ('"cornice"', '"coving"'),
    "a lower ceiling": ("= 2400", "= 2399.9"),
    "a wider room": ("= 2700", "= 2700.1"),
    "a pipe further on": ("from_left = 900", "from_left = 900.1"),
    "a thicker pipe": ("diameter = 22", "diameter = 28"),
    "another section": ("projection = 90", "projection = 90.1"),
    "another profile": ('"cove"', '"stepped-cornice"'),
    "another material": ('"gypsum plaster"', '"softwood"'),
    "shorter stock": ("length = 3000", "length = 2400"),
}
SAME = {
    "another price": ("14.60", "15.10"),
    "stock that is no shorter than needed": ("length = 3000", "length = 3600"),
    "a note": ("format = 1", "format = 1  # measured in May"),
}


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TRIMWRIGHT_CACHE", str(tmp_path / "kept"))
    return tmp_path / "kept"


@cache
def lit() -> tuple[SetOut, LightRun]:
    project = read_project(EXAMPLES / "reading-room.toml")
    assert project.light is not None
    done = set_out_to_stock(project)
    return done, light_run(done, project.light)


@cache
def box() -> list[Body]:
    done = example_set_out("box-room")
    return [*surroundings(done.room, Finish()), *trim_bodies(done)]


def taken(place: Path, kind: str) -> set[str]:
    """Keys of all that is kept of a kind."""
    return {p.name for p in (place / kind).iterdir()}


@pytest.mark.parametrize("change", [*CHANGED, *SAME])
def test_an_exact_model_is_kept_by_all_that_it_follows_from(
    change: str, project_of: Callable[[str], Project], place: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is asked of the keys is what the kernel says: other bytes have another key, and the same ones the same."""
    old, new = (CHANGED | SAME)[change]
    assert old in ROOM
    models = []
    for text in (ROOM, ROOM.replace(old, new)):
        models.append(exact_beside(Here(), set_out_to_stock(project_of(text)), tmp_path / "model.step", DAY)())
    known = len(taken(place, "step"))
    monkeypatch.setenv("TRIMWRIGHT_CACHE", "no")
    fresh = model._exact(set_out_to_stock(project_of(ROOM.replace(old, new))), tmp_path / "model.step", DAY)
    assert fresh.endswith(models[1][1])
    assert known == (2 if change in CHANGED else 1)
    assert (models[0] != models[1]) == (change in CHANGED)


def test_an_exact_model_has_its_date(place: Path, tmp_path: Path) -> None:
    done = example_set_out("box-room")
    dated = [exact_beside(Here(), done, tmp_path / "model.step", day)()[1] for day in (DAY, date(2026, 10, 13))]
    assert b"2026-10-12T" in dated[0]
    assert b"2026-10-13T" in dated[1]


@pytest.mark.parametrize(
    ("old", "new", "made"),
    [
        ("from_left = 900", "from_left = 901", 1),
        ('"Den"', '"Study"', 0),
        ("price = 14.60", "price = 15.10", 0),
        ("ceiling = 2400", "ceiling = 2410", 4),
    ],
)
def test_only_pieces_that_changed_are_made_again(
    old: str, new: str, made: int, project_of: Callable[[str], Project], place: Path
) -> None:
    assert old in ROOM
    kept_solids(set_out_to_stock(project_of(ROOM)))
    before = taken(place, "solid")
    changed = set_out_to_stock(project_of(ROOM.replace(old, new)))
    again = kept_solids(changed)
    assert len(before) == 4
    assert len(taken(place, "solid") - before) == made
    for piece, solid in room_solids(changed).items():
        assert again[piece].isValid()
        assert again[piece].Volume() == solid.Volume()
        assert again[piece].cut(solid).Volume() == pytest.approx(0.0, abs=1e-6)


def test_faults_of_joints_are_kept_with_the_model(place: Path, tmp_path: Path) -> None:
    """A piece made longer by 2 mm runs into its neighbour; a check that was kept says so as well."""
    pair = mitred_pair(rectangle(30, 20), 90.0)
    first, second = pair.pieces
    long = replace(first, right=replace(first.right, station=first.right.station + 2))
    wrong = replace(pair, pieces=(long, second))
    found = [exact_beside(Here(), wrong, tmp_path / "model.step", DAY)() for _ in range(2)]
    assert found[0] == found[1]
    assert [(one, other, next(w for w in ("share", "meet") if w in words)) for one, other, words in found[0][0]] == [
        ("C1", "C2", "share"),
        ("C1", "C2", "meet"),
    ]
    assert len(taken(place, "step")) == 1


def test_light_that_was_kept_is_the_light_followed_anew(place: Path) -> None:
    done, run = lit()
    fresh, made, again = brightness(done, run), lit_beside(Here(), done, run)(), brightness_kept(done, run)
    assert len(taken(place, "light")) == 1
    assert fresh
    for other in (made, again):
        assert other
        for entry in fields(fresh):
            one, two = getattr(fresh, entry.name), getattr(other, entry.name)
            if entry.name in ("floor", "working"):
                assert one.height == two.height
                for part in ("xs", "ys", "direct", "bounced"):
                    np.testing.assert_array_equal(getattr(one, part), getattr(two, part))
            else:
                assert one == two
                assert type(one) is type(two)


def test_light_is_kept_by_all_that_it_follows_from() -> None:
    done, run = lit()
    room, key = done.room, light_key(done, run)
    reflecting = run.asked.reflectance.model_copy(update={"walls": 0.51})
    others = [
        (replace(done, room=replace(room, openings=room.openings[1:])), run),
        (replace(done, room=replace(room, ceilings=(*room.ceilings[1:], room.ceilings[0] + 0.1))), run),
        (replace(done, pieces=done.pieces[1:]), run),
        (done, replace(run, asked=run.asked.model_copy(update={"reflectance": reflecting}))),
        (done, replace(run, strip=replace(run.strip, lumens=run.strip.lumens + 1))),
        (done, replace(run, circuits=run.circuits[1:])),
    ]
    assert len({key, *(light_key(*other) for other in others)}) == len(others) + 1
    unseen = replace(done, notes=(), room=replace(room, name="another"), trims=done.trims)
    assert light_key(unseen, run) == key


def test_pictures_are_drawn_where_they_are_missing(place: Path) -> None:
    """Alone or together, now or before, under whatever name: the same bytes."""
    shots = album(example_set_out("box-room"), whole=False)
    both = pictures_beside(Here(), box(), shots)()
    assert list(both) == [shot.view.name for shot in shots]
    entry = place / "picture" / picture_key(box(), shots[0])
    entry.unlink()
    assert pictures_beside(Here(), box(), shots)() == both
    renamed = [Shot(view=replace(shot.view, name=f"{shot.view.name} 2", title="")) for shot in shots]
    assert list(pictures_beside(Here(), box(), renamed)().values()) == list(both.values())
    assert len(taken(place, "picture")) == 2


@given(data=st.data())
def test_a_picture_of_anything_else_has_another_key(data: st.DataObject) -> None:
    """One coordinate, one corner of a triangle, one colour, one body, or the camera, changed by however little."""
    bodies, (shot, _) = box(), album(example_set_out("box-room"), whole=False)
    k = data.draw(st.integers(0, len(bodies) - 1))
    body = bodies[k]
    vertices, faces = body.vertices.copy(), body.faces.copy()
    what = data.draw(st.sampled_from(["vertex", "face", "colour", "gone", "moved", "eye", "field"]))
    if what == "vertex":
        row, axis = data.draw(st.integers(0, len(vertices) - 1)), data.draw(st.integers(0, 2))
        vertices[row, axis] = np.nextafter(vertices[row, axis], np.inf)
    elif what == "face":
        row = data.draw(st.integers(0, len(faces) - 1))
        faces[row] = faces[row][::-1]
    elif what == "eye":
        x, y, z = shot.view.eye
        shot = replace(shot, view=replace(shot.view, eye=(np.nextafter(x, np.inf), y, z)))
    elif what == "field":
        shot = replace(shot, view=replace(shot.view, field=np.nextafter(shot.view.field, 0)))
    colour = "#123456" if what == "colour" else body.colour
    changed = [*bodies[:k], replace(body, vertices=vertices, faces=faces, colour=colour), *bodies[k + 1 :]]
    if what == "gone":
        del changed[k]
    elif what == "moved":
        changed.append(changed.pop(0))
    before = picture_key(bodies, album(example_set_out("box-room"), whole=False)[0])
    assert picture_key(changed, shot) != before
    renamed = [replace(other, name="x", piece="y") for other in bodies]
    assert picture_key(renamed, album(example_set_out("box-room"), whole=False)[0]) == before
