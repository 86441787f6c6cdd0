from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from trimwright.room import Corner, Fitting, Frame, Opening, Pipe, Room, Wall

OPENINGS = (
    Opening(wall=0, kind="door", station=2900, width=838, sill=0, head=2032, architrave=70),
    Opening(wall=1, kind="window", station=900, width=1200, sill=850, head=2100, architrave=60, name="bay"),
    Opening(wall=2, kind="opening", station=600, width=1000, sill=0, head=2100),
)
PIPES = (
    Pipe(wall=0, name="flow", start=(260, 38, 0), end=(260, 38, 2500), diameter=22),
    Pipe(wall=3, name="gas", start=(100, 30, 300), end=(1500, 30, 300), diameter=15),
)
FITTINGS = (Fitting(wall=1, name="curtain track", left=700, right=2300, bottom=2330, top=2370, out=95),)


@pytest.fixture(scope="session")
def oblong() -> Callable[..., Room]:
    """An oblong room 4000 by 3000 with one of everything; an open run of the same walls if asked."""

    def build(closed: bool = True, ceilings: tuple[float, ...] = (2500,) * 4) -> Room:
        lengths, headings = (4000.0, 3000.0, 4000.0, 3000.0), (0, -90, -180, -270)
        at, walls = (0.0, 0.0), []
        for k, (length, heading) in enumerate(zip(lengths, headings, strict=True)):
            turn = math.radians(heading)
            frame = Frame(at, (round(math.cos(turn), 12), round(math.sin(turn), 12)))
            walls.append(Wall(k, "ABCD"[k], length, frame))
            at = frame.plan(length)
        corners = tuple(Corner((k - 1) % 4, k, 90.0, wall.start) for k, wall in enumerate(walls))
        return Room(
            name="oblong",
            closed=closed,
            walls=tuple(walls),
            corners=corners if closed else (None, *corners[1:], None),
            ceilings=ceilings if closed else (*ceilings, ceilings[0]),
            openings=OPENINGS,
            pipes=PIPES,
            fittings=FITTINGS,
        )

    return build
