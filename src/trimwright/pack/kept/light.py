"""The light in the room: its brightness as named arrays."""

from __future__ import annotations

import io
from collections.abc import Callable
from concurrent.futures import Executor

import numpy as np

from trimwright.cache import key_of, recalled
from trimwright.light.brightness import Brightness, Glow, brightness
from trimwright.light.lux import LuxMap
from trimwright.light.run import LightRun
from trimwright.pack.kept.beside import UNSEEN, made_beside
from trimwright.setout.piece import SetOut

__all__ = ["Lit", "brightness_kept", "light_key", "lit_beside"]

MAPS, PARTS = ("floor", "working"), ("height", "xs", "ys", "direct", "bounced")
NUMBERS = ("lumens", "balance", "closure", "lost", "patches")


Lit = Callable[[], Brightness | None]
"""Waits for the light that is followed beside; None for an open run of walls."""


def lit_beside(pool: Executor, set_out: SetOut, light: LightRun) -> Lit:
    """The light followed through the room; None for an open run of walls."""
    if not set_out.room.closed:
        return lambda: None
    made = made_beside(pool, "light", light_key(set_out, light), _lit, set_out, light)
    return lambda: _loaded(made.result())


def brightness_kept(set_out: SetOut, light: LightRun) -> Brightness | None:
    """The same, here and now."""
    if not set_out.room.closed:
        return None
    return _loaded(recalled("light", light_key(set_out, light), lambda: _lit(set_out, light)))


def light_key(set_out: SetOut, light: LightRun) -> str:
    """What the light follows from: the room, its pieces and what is lit."""
    return key_of(set_out, light, without=(*UNSEEN, "Room.name"))


def _lit(set_out: SetOut, light: LightRun) -> bytes:
    """The brightness of a closed room as named arrays."""
    bright = brightness(set_out, light)
    assert bright is not None, "the room is closed"
    out = io.BytesIO()
    maps = {f"{name}_{part}": getattr(getattr(bright, name), part) for name in MAPS for part in PARTS}
    glow = (bright.glow.mean, bright.glow.most)
    np.savez(out, glow=glow, underway=bright.underway, **{name: getattr(bright, name) for name in NUMBERS}, **maps)
    return out.getvalue()


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
