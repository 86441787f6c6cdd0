"""The pictures, each as its file."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor

from trimwright.cache import keep, kept, key_of
from trimwright.mesh.body import Body
from trimwright.picture.album import Shot, draw_album
from trimwright.picture.draw import SIZE

__all__ = ["picture_key", "pictures_beside"]


def pictures_beside(pool: Executor, bodies: Sequence[Body], shots: Sequence[Shot]) -> Callable[[], dict[str, bytes]]:
    """PNG bytes by view name; those that are missing are drawn together."""
    keys = {shot.view.name: picture_key(bodies, shot) for shot in shots}
    found = {name: kept("picture", key) for name, key in keys.items()}
    missing = [shot for shot in shots if found[shot.view.name] is None]
    drawn = pool.submit(_drawn, bodies, missing, keys) if missing else None

    def result() -> dict[str, bytes]:
        pictures = {name: data for name, data in found.items() if data is not None}
        return pictures | (drawn.result() if drawn else {})

    return result


def picture_key(bodies: Sequence[Body], shot: Shot) -> str:
    """What a picture follows from: triangles and their colours, and the camera; names of things do not show."""
    seen = [(body.vertices, body.faces, body.colour) for body in shot.scene(bodies)]
    return key_of(seen, shot.view, SIZE, without=("View.name", "View.title"))


def _drawn(bodies: Sequence[Body], shots: Sequence[Shot], keys: Mapping[str, str]) -> dict[str, bytes]:
    drawn = draw_album(bodies, shots)
    for name, data in drawn.items():
        keep("picture", keys[name], data)
    return drawn
