"""The slow parts of a pack as bytes that are kept: the exact model, the pictures, the light in the room.

Both what is made now and what was kept goes through the same bytes, so that a pack is the same either way. All is
looked for by the process that writes the pack: where it is kept, no other is started and no kernel is loaded.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor, Future
from datetime import date, datetime
from pathlib import Path
from typing import Any

import numpy as np

from trimwright.cache import keep, kept, key_of, recalled
from trimwright.light.brightness import Brightness, Glow
from trimwright.light.lux import LuxMap
from trimwright.light.run import LightRun
from trimwright.mesh.body import Body
from trimwright.picture.album import Shot, draw_album
from trimwright.picture.camera import View
from trimwright.picture.draw import SIZE
from trimwright.setout.piece import SetOut

__all__ = ["Exact", "brightness_kept", "evening_beside", "exact_beside", "lit_beside", "pictures_beside"]

UNSEEN = ("Trim.stock", "SetOut.notes", "SetOut.order", "SetOut.long")
"""What no body follows from: lengths sold and their prices show in the pieces, if anywhere."""

Exact = tuple[list[tuple[str, str, str]], bytes]
"""Faults of joints, each as two pieces and words, and the model as STEP."""


def exact_beside(pool: Executor, set_out: SetOut, path: Path, issued: date) -> Callable[[], Exact]:
    """Exact solids, checked and as a file; `path` is where the kernel may write it."""
    key = key_of(set_out.room.name, set_out.trims, set_out.pieces, issued, path.name, without=UNSEEN)
    made = _beside(pool, "step", key, _exact, set_out, path, issued)

    def result() -> Exact:
        faults, _, step = made.result().partition(b"\n")
        return [(first, second, words) for first, second, words in json.loads(faults)], step

    return result


def lit_beside(pool: Executor, set_out: SetOut, light: LightRun) -> Callable[[], Brightness | None]:
    """The light followed through the room; None for an open run of walls."""
    if not set_out.room.closed:
        return lambda: None
    made = _beside(pool, "light", _light_key(set_out, light), _lit, set_out, light)
    return lambda: _loaded(made.result())


def brightness_kept(set_out: SetOut, light: LightRun) -> Brightness | None:
    """The same, here and now."""
    if not set_out.room.closed:
        return None
    return _loaded(recalled("light", _light_key(set_out, light), lambda: _lit(set_out, light)))


def pictures_beside(pool: Executor, bodies: Sequence[Body], shots: Sequence[Shot]) -> Callable[[], dict[str, bytes]]:
    """PNG bytes by view name; those that are missing are drawn together."""
    keys = {shot.view.name: _picture_key(bodies, shot) for shot in shots}
    found = {name: kept("picture", key) for name, key in keys.items()}
    missing = [shot for shot in shots if found[shot.view.name] is None]
    drawn = pool.submit(_drawn, bodies, missing, keys) if missing else None

    def result() -> dict[str, bytes]:
        pictures = {name: data for name, data in found.items() if data is not None}
        return pictures | (drawn.result() if drawn else {})

    return result


def evening_beside(
    pool: Executor, set_out: SetOut, light: LightRun, bodies: Sequence[Body], view: View
) -> Callable[[], tuple[str, bytes]]:
    """The room by its own light, from where it is seen by day: what it is, and its PNG bytes."""
    key = key_of(_light_key(set_out, light), _picture_key(bodies, Shot(view=view)))
    made = _beside(pool, "evening", key, _evening, set_out, light, bodies, view)

    def result() -> tuple[str, bytes]:
        title, _, data = made.result().partition(b"\n")
        return title.decode(), data

    return result


def _beside(pool: Executor, kind: str, key: str, work: Callable[..., bytes], *given: Any) -> Future[bytes]:
    """What is kept under a key; else what the work makes in the pool of what it is given, which is then kept."""
    data = kept(kind, key)
    if data is None:
        return pool.submit(_made, kind, key, work, *given)
    done: Future[bytes] = Future()
    done.set_result(data)
    return done


def _made(kind: str, key: str, work: Callable[..., bytes], *given: Any) -> bytes:
    data = work(*given)
    keep(kind, key, data)
    return data


def _exact(set_out: SetOut, path: Path, issued: date) -> bytes:
    """A line with the faults, then the model."""
    from trimwright.solid.build import room_solids
    from trimwright.solid.joints import joint_faults
    from trimwright.solid.step import write_step

    solids = room_solids(set_out)
    write_step(path, set_out, solids, datetime(issued.year, issued.month, issued.day))
    faults = [(fault.first, fault.second, str(fault)) for fault in joint_faults(set_out, solids)]
    return json.dumps(faults).encode() + b"\n" + path.read_bytes()


def _light_key(set_out: SetOut, light: LightRun) -> str:
    return key_of(set_out, light, without=(*UNSEEN, "Room.name"))


def _lit(set_out: SetOut, light: LightRun) -> bytes:
    """The brightness of a closed room as named arrays."""
    from trimwright.light.brightness import brightness

    bright = brightness(set_out, light)
    assert bright is not None, "the room is closed"
    out = io.BytesIO()
    maps = {f"{name}_{part}": getattr(getattr(bright, name), part) for name in MAPS for part in PARTS}
    glow = (bright.glow.mean, bright.glow.most)
    np.savez(out, glow=glow, underway=bright.underway, **{name: getattr(bright, name) for name in NUMBERS}, **maps)
    return out.getvalue()


MAPS, PARTS = ("floor", "working"), ("height", "xs", "ys", "direct", "bounced")
NUMBERS = ("lumens", "balance", "closure", "lost", "patches")


def _loaded(data: bytes) -> Brightness:
    """What `_lit` wrote."""
    with np.load(io.BytesIO(data), allow_pickle=False) as found:
        floor, working = (
            LuxMap(height=float(found[f"{name}_height"]), **{part: found[f"{name}_{part}"] for part in PARTS[1:]})
            for name in MAPS
        )
        mean, most = map(float, found["glow"])
        return Brightness(
            floor=floor,
            working=working,
            glow=Glow(mean=mean, most=most),
            underway=tuple(map(float, found["underway"])),
            **{name: found[name].item() for name in NUMBERS},
        )


def _picture_key(bodies: Sequence[Body], shot: Shot) -> str:
    """What a picture follows from: triangles and their colours, and the camera; names of things do not show."""
    seen = [(body.vertices, body.faces, body.colour) for body in shot.scene(bodies)]
    return key_of(seen, shot.view, SIZE, without=("View.name", "View.title"))


def _drawn(bodies: Sequence[Body], shots: Sequence[Shot], keys: Mapping[str, str]) -> dict[str, bytes]:
    drawn = draw_album(bodies, shots)
    for name, data in drawn.items():
        keep("picture", keys[name], data)
    return drawn


def _evening(set_out: SetOut, light: LightRun, bodies: Sequence[Body], view: View) -> bytes:
    """A line with the title, then the picture."""
    from trimwright.light.brightness import lit_room
    from trimwright.light.trim_faces import lamps
    from trimwright.picture.evening import evening, exposed_for

    space, solved, _, _ = lit_room(set_out, light)
    kelvin = light.asked.strip.kelvin
    title = f"In the evening by the light alone, {kelvin:g} K, exposed for {exposed_for(space, solved):.0f} lx"
    data = evening(bodies, view, space, solved, lamps(light.channel, light.lumens), kelvin)
    return title.encode() + b"\n" + data
