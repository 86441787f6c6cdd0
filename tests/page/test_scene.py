"""The data of the 3D view: the same shapes as the bodies, and a room that can be looked into."""

from __future__ import annotations

import base64
import json
from dataclasses import replace

import numpy as np
import pytest

from example_rooms import example_set_out
from trimwright.mesh.body import Body, Kind
from trimwright.mesh.piece import trim_bodies
from trimwright.mesh.surroundings import surroundings
from trimwright.page.content import PieceCard
from trimwright.page.scene import crease_edges, scene_json, trims_by_height
from trimwright.setout.piece import SetOut

CUBE = np.array([[x, y, z] for x in (0, 100) for y in (0, 100) for z in (0, 100)], float)
QUADS = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))
CUBE_FACES = np.array([t for a, b, c, d in QUADS for t in ((a, b, c), (a, c, d))], np.int32)


def numbers(text: str, kind: str) -> np.ndarray:
    return np.frombuffer(base64.b64decode(text), kind)


def shapes(bodies: list[Body], cards: tuple[PieceCard, ...] = ()) -> dict[str, tuple[np.ndarray, np.ndarray, dict]]:
    """Vertices, faces and entry by name, read as the viewer reads them."""
    data = json.loads(scene_json(bodies, cards))
    return {
        entry["name"]: (
            np.array(data["low"]) + numbers(entry["places"], "<u2").reshape(-1, 3) * data["step"],
            numbers(entry["faces"], "<u4" if entry["wide"] else "<u2").reshape(-1, 3),
            entry,
        )
        for entry in data["bodies"]
    }


def all_bodies(done: SetOut) -> list[Body]:
    return [*surroundings(done.room), *trim_bodies(done, 0.2)]


def test_pieces_keep_their_shape_to_a_fraction_of_a_millimetre(example: SetOut) -> None:
    read = shapes(all_bodies(example))
    extent = max(np.ptp(np.vstack([v for v, _, _ in read.values()]), axis=0))
    for body in all_bodies(example):
        if body.kind is Kind.TRIM:
            vertices, faces, _ = read[body.name]
            corners = body.vertices[body.faces]
            assert np.abs(vertices[faces] - corners).max() <= extent / 65535 / 2 * 1.01
            assert len(faces) == len(body.faces)


def test_walls_are_kept_only_where_they_face_the_room(example: SetOut) -> None:
    bodies = all_bodies(example)
    read = shapes(bodies)
    for wall in example.room.walls:
        vertices, faces, _ = read[f"wall {wall.name}"]
        located = [wall.frame.locate((x, y)) for x, y, _ in vertices]
        # Every vertex that is left lies on the measured face; nothing of the back, the ends or the reveals.
        assert max(abs(out) for _, out in located) < 0.5
        a, b, c = np.moveaxis(vertices[faces], 1, 0)
        normals = np.cross(b - a, c - a)
        for normal, (x, y, _) in zip(normals, a, strict=True):
            assert np.dot(normal[:2], wall.frame.tangent(wall.frame.locate((x, y))[0]).outward) > 0
    floor, faces, _ = read["floor"]
    assert np.abs(floor[np.unique(faces), 2]).max() < 0.5


def test_the_face_of_a_wall_is_whole() -> None:
    done = example_set_out("reading-room")
    read = shapes(all_bodies(done))
    wall = next(w for w in done.room.walls if w.name == "door wall")
    (door,) = (o for o in done.room.openings if o.wall == wall.index)
    vertices, faces, _ = read["wall door wall"]
    a, b, c = np.moveaxis(vertices[faces], 1, 0)
    area = np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2
    assert area == pytest.approx(wall.length * done.room.ceiling - door.width * door.head, rel=2e-4)


def test_a_body_of_many_vertices_keeps_its_faces() -> None:
    vertices = np.zeros((70_000, 3))
    vertices[:, 0] = np.arange(70_000) / 100
    vertices[1::2, 1] = 50
    faces = np.arange(69_999).reshape(-1, 3).astype(np.int32)
    strip = Body(name="strip", vertices=vertices, faces=faces, colour="#ffffff", kind=Kind.PIPE)
    read, again, entry = shapes([strip])["strip"]
    assert entry["wide"]
    assert np.abs(read[again] - vertices[faces]).max() < 700 / 65535


def test_a_cube_has_twelve_lines_and_none_across_its_faces() -> None:
    ends = CUBE[crease_edges(CUBE, CUBE_FACES)]
    assert len(ends) == 12
    assert np.count_nonzero(ends[:, 0] != ends[:, 1], axis=1).tolist() == [1] * 12


def test_an_open_sheet_has_its_border() -> None:
    square = np.array([[0, 0, 0], [9, 0, 0], [9, 9, 0], [0, 9, 0]], float)
    assert len(crease_edges(square, np.array([[0, 1, 2], [0, 2, 3]]))) == 4


def test_trims_come_apart_from_the_highest_down() -> None:
    done = example_set_out("reading-room")
    bodies = all_bodies(done)
    names = trims_by_height(bodies)
    assert names[0] == "batten"
    assert names[-1] == "picture rail"
    drops = {entry["trim"]: entry["drop"] for _, _, entry in shapes(bodies).values() if entry["trim"]}
    assert [drops[name] for name in names] == sorted(drops.values())
    assert drops["batten"] == 0
    assert len(set(drops.values())) == len(names)


def test_a_card_speaks_for_its_piece() -> None:
    cube = Body(name="bar", vertices=CUBE, faces=CUBE_FACES, colour="#ff8000", kind=Kind.TRIM, trim="rail", piece="R1")
    card = PieceCard(piece="R1", trim="rail", text="north wall; length 100", inward=(0.0, -1.0))
    (_, _, entry) = shapes([cube, replace(cube, name="other", piece="R2")], (card,))["bar"]
    assert entry["text"] == "R1, rail: north wall; length 100"
    assert entry["inward"] == [0, -1]
    assert entry["colour"] == [255, 128, 0]


def test_the_first_view_of_an_open_run_is_from_its_front() -> None:
    for name, front in (("alcove", True), ("reading-room", False)):
        done = example_set_out(name)
        cards = tuple(PieceCard(piece=p.id, trim=p.trim.name, text="", inward=p.frame.outward) for p in done.pieces)
        turn = json.loads(scene_json(all_bodies(done), cards))["turn"]
        sight = np.array([np.cos(turn), np.sin(turn)])
        seen_from_front = [np.dot(sight, card.inward) > 0 for card in cards]
        assert (np.mean(seen_from_front) > 0.6) == front
