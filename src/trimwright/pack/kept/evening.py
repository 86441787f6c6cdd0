"""The room by its own light, as a picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor

from trimwright.cache import key_of
from trimwright.light.run import LightRun
from trimwright.mesh.body import Body
from trimwright.pack.kept.beside import made_beside
from trimwright.pack.kept.light import light_key
from trimwright.pack.kept.pictures import picture_key
from trimwright.picture.album import Shot
from trimwright.picture.camera import View
from trimwright.setout.piece import SetOut

__all__ = ["evening_beside"]


def evening_beside(
    pool: Executor, set_out: SetOut, light: LightRun, bodies: Sequence[Body], view: View
) -> Callable[[], tuple[str, bytes]]:
    """The room by its own light, from where it is seen by day: what it is, and its PNG bytes."""
    key = key_of(light_key(set_out, light), picture_key(bodies, Shot(view=view)))
    made = made_beside(pool, "evening", key, _evening, set_out, light, bodies, view)

    def result() -> tuple[str, bytes]:
        title, _, data = made.result().partition(b"\n")
        return title.decode(), data

    return result


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
