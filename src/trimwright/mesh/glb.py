"""The room as binary glTF 2.0 (`room.glb`): one named node a body, coloured, as any viewer of the format shows it.

glTF lengths are metres and y is up (glTF 2.0 specification, 3.4 Coordinate System and Units), so the room's plan
x, y and height z in mm become x, z and -y: one node at the root holds that scale and turn, the bodies below it
keep the room's own millimetres. No normals are written: a reader then shades every facet flat, as the
specification asks. The bytes depend on nothing but the bodies.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from typing import Any

import numpy as np

from trimwright.colour import linear
from trimwright.mesh.body import Body, Kind

__all__ = ["glb_bytes"]

MAGIC, VERSION, JSON_CHUNK, BINARY_CHUNK = 0x46546C67, 2, 0x4E4F534A, 0x004E4942
FLOAT, UNSIGNED, VERTICES, INDICES, TRIANGLES = 5126, 5125, 34962, 34963, 4
ROUGH = {Kind.PIPE: (0.9, 0.35), Kind.FITTING: (0.3, 0.6)}
"""Metallic and roughness of what is not matt and plain."""

FROM_MM_Z_UP = (0.001, 0, 0, 0, 0, 0, -0.001, 0, 0, 0.001, 0, 0, 0, 0, 0, 1)
"""Column by column: x stays, the room's y becomes -z, its height becomes y, and mm become metres."""


def glb_bytes(bodies: Sequence[Body], name: str) -> bytes:
    """All bodies as one scene called `name`."""
    blocks: list[bytes] = []
    views: list[dict[str, int]] = []
    accessors: list[dict[str, Any]] = []
    materials: dict[tuple[str, Kind], int] = {}
    meshes = []
    for body in bodies:
        vertices = body.vertices.astype("<f4")
        position = len(accessors)
        accessors.append(_accessor(position, FLOAT, len(vertices), "VEC3", vertices.min(0), vertices.max(0)))
        accessors.append(_accessor(position + 1, UNSIGNED, body.faces.size, "SCALAR"))
        for block, target in ((vertices.tobytes(), VERTICES), (body.faces.astype("<u4").tobytes(), INDICES)):
            start = sum(view["byteLength"] for view in views[-1:]) + (views[-1]["byteOffset"] if views else 0)
            views.append({"buffer": 0, "byteOffset": start, "byteLength": len(block), "target": target})
            blocks.append(block)
        material = materials.setdefault((body.colour, body.kind), len(materials))
        surface = {"attributes": {"POSITION": position}, "indices": position + 1, "material": material}
        meshes.append({"name": body.name, "primitives": [{**surface, "mode": TRIANGLES}]})
    binary = b"".join(blocks)
    scene = {
        "asset": {"version": "2.0", "generator": "trimwright", "extras": {"bodies": "mm, z up", "scene": "m, y up"}},
        "scene": 0,
        "scenes": [{"name": name, "nodes": [0]}],
        "nodes": [
            {"name": name, "matrix": FROM_MM_Z_UP, "children": list(range(1, len(bodies) + 1))},
            *({"name": body.name, "mesh": k, "extras": _extras(body)} for k, body in enumerate(bodies)),
        ],
        "meshes": meshes,
        "materials": [_material(colour, kind) for colour, kind in materials],
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(binary)}],
    }
    return _container(json.dumps(scene, separators=(",", ":"), ensure_ascii=False).encode(), binary)


def _accessor(view: int, component: int, count: int, kind: str, *extent: np.ndarray) -> dict[str, Any]:
    plain = {"bufferView": view, "componentType": component, "count": count, "type": kind}
    return plain | {key: values.tolist() for key, values in zip(("min", "max"), extent, strict=False)}


def _extras(body: Body) -> dict[str, str]:
    """What the body is, for a reader that wants to switch kinds or pieces on and off."""
    facts = {"kind": str(body.kind), "trim": body.trim, "piece": body.piece}
    return {key: value for key, value in facts.items() if value}


def _material(colour: str, kind: Kind) -> dict[str, Any]:
    metallic, roughness = ROUGH.get(kind, (0.0, 0.85))
    # glTF's factors are linear light.
    base = [*(round(part, 6) for part in linear(colour)), 1.0]
    surface = {"baseColorFactor": base, "metallicFactor": metallic, "roughnessFactor": roughness}
    return {"name": f"{kind} {colour}", "pbrMetallicRoughness": surface}


def _container(text: bytes, binary: bytes) -> bytes:
    """Header and two chunks, each padded to four bytes (glTF 2.0, 4.4 Binary glTF Layout)."""
    text += b" " * (-len(text) % 4)
    binary += b"\0" * (-len(binary) % 4)
    length = 12 + 8 + len(text) + 8 + len(binary)
    head = struct.pack("<III", MAGIC, VERSION, length)
    chunks = struct.pack("<II", len(text), JSON_CHUNK) + text + struct.pack("<II", len(binary), BINARY_CHUNK) + binary
    return head + chunks
