"""How bright the room gets: the channel's light followed through the room, maps of two heights, the ceiling's glow."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from trimwright.light.enclosure import Enclosure, enclosure
from trimwright.light.exchange import exchange
from trimwright.light.lux import LuxMap, lux_map
from trimwright.light.radiosity import Solution, solve
from trimwright.light.run import LightRun
from trimwright.light.surfaces import WORKING, Finish, room_patches
from trimwright.light.trim_faces import lamps
from trimwright.setout.piece import SetOut

__all__ = ["Brightness", "Glow", "brightness", "lit_room"]

RAYS, RAYS_LAMP = 250, 2048
"""Rays counted from each patch, and from each that shines."""

BAND = 300.0
"""Width of the ceiling band before the foremost trim whose luminance is given, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Glow:
    """Luminance of a band of the ceiling, cd/m²: mean, and brightest patch."""

    mean: float
    most: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Brightness:
    """What the light does: lumens out of the channel, maps, the glow of the ceiling, and how far to trust it.

    `straight` is the part of the working plane's light that comes without a bounce. `balance` is light absorbed over
    light sent out; `closure` the mean miss of a patch's rays before they were adjusted; `underway` the part of the
    light still on its way after each bounce; `lost` the part of rays that fell through cracks.
    """

    lumens: float
    floor: LuxMap
    working: LuxMap
    glow: Glow
    balance: float
    closure: float
    lost: float
    underway: tuple[float, ...]
    patches: int

    @property
    def straight(self) -> float:
        """Direct part of the light at the working plane."""
        return float(np.nanmean(self.working.direct)) / self.working.mean if self.working.mean else 0.0


def lit_room(set_out: SetOut, run: LightRun) -> tuple[Enclosure, Solution, float, float]:
    """The room's patches and the light on them: what numbers and pictures are both made of; also closure and loss."""
    asked = run.asked.reflectance
    finish = Finish(
        ceiling=asked.ceiling,
        wall=asked.walls,
        floor=asked.floor,
        trim=asked.trim,
        door=asked.doors,
        window=asked.windows,
        fitting=asked.fittings,
        diffuser=asked.diffuser,
    )
    shining = lamps(run.channel, run.lumens)
    space = enclosure(room_patches(set_out, run.channel, finish, shining))
    gives = exchange(space, RAYS, RAYS_LAMP)
    return space, solve(gives, space.reflectance, space.exitance), gives.closure, gives.lost


def brightness(set_out: SetOut, run: LightRun) -> Brightness | None:
    """The brightness of a closed room; None for an open run of walls, where light goes no one knows where."""
    if not set_out.room.closed:
        return None
    space, light, closure, lost = lit_room(set_out, run)
    shining = lamps(run.channel, run.lumens)
    floor, working = (lux_map(set_out.room, height, space, light, shining) for height in (0.0, WORKING))
    return Brightness(
        lumens=run.lumens,
        floor=floor,
        working=working,
        glow=_glow(set_out, space, light),
        balance=light.balance,
        closure=closure,
        lost=lost,
        underway=light.underway,
        patches=space.count,
    )


def _glow(set_out: SetOut, space: Enclosure, light: Solution) -> Glow:
    """Luminance B / pi of the ceiling just before the foremost trim that reaches up to it."""
    import shapely

    room = set_out.room
    high = [t for t in set_out.trims if room.ceiling - t.edges.top < BAND]
    front = max((t.edges.front for t in high), default=0.0)
    walls = shapely.Polygon(room.outline(5.0)).exterior
    areas = np.bincount(space.owner, space.areas, space.count)
    band = [
        k
        for k in range(space.count)
        if space.surface[k] == "ceiling" and front < walls.distance(shapely.Point(space.middles[k][:2])) < front + BAND
    ]
    if not band:
        return Glow(mean=math.nan, most=math.nan)
    glow = light.radiosity[band] / math.pi
    return Glow(mean=float(np.average(glow, weights=areas[band])), most=float(glow.max()))
