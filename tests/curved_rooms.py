"""A rectangular room with one curved wall, as the text of its file."""

from __future__ import annotations

import math

__all__ = ["CURVE", "curved_room", "sweep_of", "trim"]

CURVE = "curve"
"""Name of the curved wall, the second one."""


def curved_room(*trims: str, radius: float = 2400, chord: float = 3000, bow: str = "out", more: str = "") -> str:
    """Four walls, each corner 90 against the straight lines; the second wall an arc of `radius`."""
    straight = [("first", 4000.0, ""), (CURVE, chord, f'radius = {radius}\nbow = "{bow}"\n{more}')]
    straight += [("third", 4000.0, ""), ("last", chord, "")]
    walls = "".join(
        f'[[wall]]\nname = "{name}"\nlength = {length}\ninternal = 90\n{extra}\n' for name, length, extra in straight
    )
    return f'format = 1\n[room]\nname = "Bowed"\nceiling = 2500\n{walls}' + "".join(trims)


def trim(
    extra: str = "",
    profile: str = "cove",
    place: str = 'back = "wall"\ntop = "ceiling"',
    name: str = "trim",
    joints: str = 'internal = "mitre"',
) -> str:
    """A trim on all walls."""
    return f'[[trim]]\nname = "{name}"\nprofile = "{profile}"\n{place}\njoints = {{ {joints} }}\n{extra}\n'


def sweep_of(radius: float, chord: float) -> float:
    """The angle an arc turns over its chord, radians: 2 asin(c / 2r)."""
    return 2 * math.asin(chord / (2 * radius))
