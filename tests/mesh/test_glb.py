"""room.glb read by trimesh and, by hand, after the layout in the glTF 2.0 specification (4.4)."""

from __future__ import annotations

import io
import json
import struct
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from trimwright.mesh.body import Body, Kind
from trimwright.mesh.glb import glb_bytes
from trimwright.mesh.surroundings import surroundings
from trimwright.room import Room


def take_apart(data: bytes) -> tuple[dict[str, Any], bytes]:
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON"
    assert size % 4 == 0
    binary_size, binary_kind = struct.unpack_from("<I4s", data, 20 + size)
    assert binary_kind == b"BIN\0"
    assert 28 + size + binary_size == len(data)
    return json.loads(data[20 : 20 + size]), data[28 + size :]


@pytest.fixture
def bodies(oblong: Callable[..., Room]) -> tuple[Body, ...]:
    return surroundings(oblong())


def test_trimesh_reads_every_body_in_metres_with_y_up(bodies: tuple[Body, ...]) -> None:
    trimesh = pytest.importorskip("trimesh")
    scene = trimesh.load(io.BytesIO(glb_bytes(bodies, "oblong")), file_type="glb")
    assert set(scene.geometry) == {body.name for body in bodies}
    assert all(mesh.is_watertight for mesh in scene.geometry.values())
    # Inside faces: 4 by 3 m in plan, y of the room into -z; the slabs reach 60 mm above and below.
    low, high = scene.bounds
    assert low == pytest.approx([-0.12 + 0.06, -0.06, -0.06], abs=1e-6)
    assert high == pytest.approx([4.06, 2.56, 3.06], abs=1e-6)


def test_layout_names_and_colours(bodies: tuple[Body, ...]) -> None:
    document, binary = take_apart(glb_bytes(bodies, "oblong"))
    assert document["asset"]["version"] == "2.0"
    assert [node["name"] for node in document["nodes"][1:]] == [body.name for body in bodies]
    for body, mesh in zip(bodies, document["meshes"], strict=True):
        primitive = mesh["primitives"][0]
        position, index = (
            document["accessors"][k] for k in (primitive["attributes"]["POSITION"], primitive["indices"])
        )
        view = document["bufferViews"][position["bufferView"]]
        points = np.frombuffer(binary, "<f4", 3 * position["count"], view["byteOffset"]).reshape(-1, 3)
        assert points == pytest.approx(body.vertices, abs=1e-3)
        assert position["min"] == points.min(axis=0).tolist()
        view = document["bufferViews"][index["bufferView"]]
        assert (np.frombuffer(binary, "<u4", index["count"], view["byteOffset"]).reshape(-1, 3) == body.faces).all()


def test_colours_are_linear_light() -> None:
    """IEC 61966-2-1: sRGB 188 of 255 is half the light (0.5029), 13 is on the straight part: 13/255/12.92."""
    square = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0]])
    body = Body(name="x", vertices=square, faces=np.array([[0, 1, 2]], np.int32), colour="#bc0a00", kind=Kind.WALL)
    document, _ = take_apart(glb_bytes([body], "x"))
    red, green, blue, alpha = document["materials"][0]["pbrMetallicRoughness"]["baseColorFactor"]
    assert red == pytest.approx(0.5029, abs=1e-4)
    assert green == pytest.approx(10 / 255 / 12.92, abs=1e-6)
    assert (blue, alpha) == (0.0, 1.0)


def test_the_same_bodies_give_the_same_bytes(bodies: tuple[Body, ...], oblong: Callable[..., Room]) -> None:
    assert glb_bytes(bodies, "oblong") == glb_bytes(surroundings(oblong()), "oblong")
