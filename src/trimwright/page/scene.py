"""The bodies of the room as the data of the 3D view: small, and one-sided where the room must be seen into."""

from __future__ import annotations

import base64
import json
import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from trimwright.mesh.body import Body, Kind
from trimwright.page.content import PieceCard

__all__ = ["scene_json", "script_json", "trims_by_height"]

Floats = npt.NDArray[np.float64]
Faces = npt.NDArray[np.int64]

ASIDE, CORNERWISE = -0.4, -0.9
"""A little to the side of straight on; and a direction that shows two sides of a room drawn along the axes, radians."""

ONE_SIDED = 0.25
"""Walls whose ways into the room add up to more than this share of their number make an open run."""

STEPS = 65535
"""Places along each side of the box round everything that a vertex can take: under 0.1 mm in a room of 6 m."""

SHELL = (Kind.FLOOR, Kind.WALL, Kind.CEILING)
"""What encloses the room."""

CREASE = np.cos(np.radians(25.0))
"""Edges where the surface turns by more than this are drawn as lines."""

DROP = 240.0
"""How far each trim moves down from the one above it when they are drawn apart, mm."""


def scene_json(bodies: Sequence[Body], cards: Sequence[PieceCard]) -> str:
    """Everything the 3D view needs, as JSON that can stand inside a script element."""
    shown = [(body, *_seen_from_room(body)) for body in bodies]
    shown = [(body, vertices, faces) for body, vertices, faces in shown if len(faces)]
    everything = np.vstack([vertices for _, vertices, _ in shown])
    low = everything.min(axis=0)
    step = max(float((everything.max(axis=0) - low).max()) / STEPS, 1e-6)
    by_piece = {card.piece: card for card in cards}
    ranks = {name: rank for rank, name in enumerate(trims_by_height(bodies))}
    data = {
        "low": low.tolist(),
        "step": step,
        "turn": _first_turn(cards),
        "bodies": [
            _entry(
                body,
                np.round((vertices - low) / step),
                faces,
                by_piece.get(body.piece),
                ranks.get(body.trim, 0),
            )
            for body, vertices, faces in shown
        ],
    }
    return script_json(data)


def script_json(data: Any) -> str:
    """JSON that can stand inside a script element, where only "<" could end it early."""
    return json.dumps(data, separators=(",", ":"), ensure_ascii=False).replace("<", "\\u003c")


def trims_by_height(bodies: Sequence[Body]) -> list[str]:
    """Names of the trims, highest first: the order in which they are drawn apart and listed."""
    tops: dict[str, float] = {}
    for body in bodies:
        if body.kind is Kind.TRIM:
            tops[body.trim] = max(tops.get(body.trim, -np.inf), float(body.vertices[:, 2].max()))
    return sorted(tops, key=lambda name: -tops[name])


def _first_turn(cards: Sequence[PieceCard]) -> float:
    """Where the eye stands at first, radians in plan: before an open run; at a corner of a closed room."""
    x, y = (sum(card.inward[axis] for card in cards) for axis in (0, 1))
    return round(math.atan2(y, x) + ASIDE, 3) if math.hypot(x, y) > len(cards) * ONE_SIDED else CORNERWISE


def _entry(body: Body, places: Floats, faces: Faces, card: PieceCard | None, rank: int) -> dict[str, Any]:
    wide = len(places) > STEPS
    index = "<u4" if wide else "<u2"
    return {
        "name": body.name,
        "kind": str(body.kind),
        "trim": body.trim,
        "piece": body.piece,
        "text": f"{card.piece}, {card.trim}: {card.text}" if card else body.name,
        "inward": card.inward if card else (0.0, 0.0),
        "cuts": [(cut.title, cut.sheet, *cut.box) for cut in card.cuts] if card else [],
        "colour": [int(body.colour[k : k + 2], 16) for k in (1, 3, 5)],
        "drop": DROP * rank,
        "places": _packed(places, "<u2"),
        "wide": wide,
        "faces": _packed(faces, index),
        "lines": _packed(crease_edges(places, faces), index),
    }


def _packed(values: npt.NDArray[Any], kind: str) -> str:
    return base64.b64encode(values.astype(kind).tobytes()).decode("ascii")


def _seen_from_room(body: Body) -> tuple[Floats, Faces]:
    """Vertices and faces of a body that stay in the view.

    Of floor, walls and ceiling only what faces the room, so that they vanish when seen from behind; of what hangs in
    a wall all but its back.
    """
    vertices, faces = np.asarray(body.vertices, np.float64), np.asarray(body.faces, np.int64)
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    normals = np.cross(b - a, c - a)
    size = np.linalg.norm(normals, axis=1)
    towards = (normals * body.inward_at((a + b + c) / 3)).sum(axis=1) / np.maximum(size, 1e-9)
    kept = (size > 1e-9) & (towards > (0.9 if body.kind in SHELL else -0.9))
    used, renumbered = np.unique(faces[kept], return_inverse=True)
    return vertices[used], renumbered.reshape(-1, 3)


def crease_edges(places: Floats, faces: Faces) -> Faces:
    """Edges (pairs of vertices) where a surface ends or turns sharply. Vertices at one place count as one."""
    _, welded = np.unique(places, axis=0, return_inverse=True)
    corner = welded.reshape(-1)[faces]
    a, b, c = (places[faces[:, k]] for k in range(3))
    normals = np.cross(b - a, c - a)
    normals /= np.maximum(np.linalg.norm(normals, axis=1), 1e-9)[:, None]
    ends = np.stack([faces, np.roll(faces, -1, axis=1)], axis=-1).reshape(-1, 2)
    same = np.sort(np.stack([corner, np.roll(corner, -1, axis=1)], axis=-1).reshape(-1, 2), axis=1)
    keys = same[:, 0] * (int(welded.max()) + 1) + same[:, 1]
    order = np.argsort(keys, kind="stable")
    keys, face, ends = keys[order], order // 3, ends[order]
    first = np.flatnonzero(np.diff(keys, prepend=-1) != 0)
    count = np.diff(np.append(first, len(keys)))
    mate = np.minimum(first + 1, len(keys) - 1)
    turn = np.einsum("ij,ij->i", normals[face[first]], normals[face[mate]])
    sharp: Faces = ends[first[(count == 1) | ((count == 2) & (turn < CREASE))]]
    return sharp
