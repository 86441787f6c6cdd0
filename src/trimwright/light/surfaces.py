"""The room as patches: ceiling and floor in rings along the walls, walls about their openings, trims in true section.

Patches are narrow where the light is and wide where it is even. Solids are laid over each other as they stand; what one
hides of another is found by the rays (see `enclosure.py`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from trimwright.light.channel import Channel
from trimwright.light.enclosure import Floats, Patch
from trimwright.light.trim_faces import Lamp, halves, halves_of_each, piece_patches
from trimwright.room import Fitting, Opening, Room, Wall
from trimwright.setout.piece import SetOut
from trimwright.tolerance import TOUCH

__all__ = ["WORKING", "Finish", "room_patches"]

COARSE = 450.0
"""Side of a patch where nothing changes fast, mm."""

GROWTH = 2.0
"""Each ring along the walls is so much wider than the one before it."""

OVER = 80.0
"""Walls are carried this far past a ceiling that is not level, mm, so that no crack is left there."""

WORKING = 850.0
"""Height of a working plane, mm (EN 12464-1 takes that of the task; 0.85 m is common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """Part of the light each surface sends back, 0 to 1."""

    ceiling: float
    wall: float
    floor: float
    trim: float
    door: float
    window: float
    fitting: float
    diffuser: float


Height = Callable[[Floats], Floats]
"""Height at points (n, 2) of the plan."""


def room_patches(set_out: SetOut, channel: Channel, finish: Finish, shining: Sequence[Lamp]) -> list[Patch]:
    """Every surface of a closed room, the lamps last."""
    room = set_out.room
    step = max(COARSE, math.sqrt(_plan_area(room)) / 14)
    rings = _rings(set_out, channel, step)
    level = ceiling_level(room)
    patches = [
        *_flat(room, rings, finish.ceiling, "ceiling", step, lambda xy: xy @ level[:2] + level[2]),
        *_flat(room, [], finish.floor, "floor", step, lambda xy: np.zeros(len(xy))),
        *(patch for wall in room.walls for patch in _wall(set_out, wall, finish, step)),
        *(patch for piece in set_out.pieces for patch in piece_patches(piece, channel, finish.trim, step)),
        *(patch for fitting in room.fittings for patch in _box(room, fitting, finish.fitting)),
    ]
    for lamp in shining:
        patches.append(
            Patch(triangles=halves(lamp.corners), reflectance=finish.diffuser, surface="lamp", exitance=lamp.exitance)
        )
    return patches


def ceiling_level(room: Room) -> Floats:
    """The plane a x + b y + c that fits the ceiling's readings best."""
    points = np.array([(*wall.frame.plan(s), h) for wall in room.walls for s, h in room.ceiling_line(wall.index)])
    plane, *_ = np.linalg.lstsq(np.column_stack([points[:, :2], np.ones(len(points))]), points[:, 2], rcond=None)
    return np.asarray(plane)


def _rings(set_out: SetOut, channel: Channel, step: float) -> list[float]:
    """Distances from the walls at which the ceiling is parted: at the edges of trims near it, then wider and wider."""
    near = [t for t in set_out.trims if set_out.room.ceiling - t.edges.top < 4 * OVER]
    gap = max(15.0, set_out.room.ceiling - channel.trim.edges.top)
    edges = sorted({round(e, 3) for t in near for e in (t.edges.back, t.edges.front) if e > TOUCH})
    cuts: list[float] = []
    at = 0.0
    for edge in edges:
        count = math.ceil((edge - at) / gap)
        cuts += [at + (edge - at) * k / count for k in range(1, count + 1)]
        at = edge
    width = gap
    while width < step:
        at += width
        cuts.append(at)
        width *= GROWTH
    return cuts


def _flat(
    room: Room,
    rings: Sequence[float],
    reflectance: float,
    surface: str,
    step: float,
    height: Height,
) -> Iterator[Patch]:
    """A level surface parted in rings at distances from the walls, and those by a net of squares."""
    import shapely

    whole = shapely.Polygon(room.outline(5.0))
    x0, y0, x1, y1 = whole.bounds
    across, up = math.ceil((x1 - x0) / step), math.ceil((y1 - y0) / step)
    xs, ys = np.linspace(x0, x1, across + 1), np.linspace(y0, y1, up + 1)
    squares = shapely.box(
        *np.meshgrid(xs[:-1], ys[:-1], indexing="ij"), *np.meshgrid(xs[1:], ys[1:], indexing="ij")
    ).ravel()
    inner = [whole, *(whole.buffer(-at, join_style="mitre", mitre_limit=20) for at in rings), shapely.Polygon()]
    for outer, less in pairwise(inner):
        ring = outer.difference(less)
        parts = shapely.get_parts(shapely.intersection(squares, ring))
        for part in parts[shapely.area(parts) > 1.0]:
            if part.geom_type == "Polygon":
                yield _level_patch(part, reflectance, surface, height)


def _level_patch(polygon: Any, reflectance: float, surface: str, height: Height) -> Patch:
    from manifold3d import triangulate

    loops = [np.asarray(polygon.exterior.coords)[:-1], *(np.asarray(r.coords)[:-1] for r in polygon.interiors)]
    loops = [loop if (_signed(loop) > 0) == (k == 0) else loop[::-1] for k, loop in enumerate(loops)]
    points = np.concatenate(loops)
    faces = np.asarray(triangulate(loops))
    raised = np.column_stack([points, height(points)])
    order = faces if surface == "floor" else faces[:, ::-1]
    return Patch(triangles=raised[order], reflectance=reflectance, surface=surface)


def _signed(loop: Floats) -> float:
    x, y = loop.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def _wall(set_out: SetOut, wall: Wall, finish: Finish, step: float) -> Iterator[Patch]:
    """A wall in rectangles: parted at its openings and at the heights of trims, and no larger than a step."""
    room = set_out.room
    openings = [o for o in room.openings if o.wall == wall.index]
    stations = _parted([0.0, wall.length, *(s for o in openings for s in (o.station, o.station + o.width))], step)
    if wall.bend is not None:
        stations = sorted({*stations, *wall.stations(5.0)})
    top = max(h for _, h in room.ceiling_line(wall.index))
    levels = [e for t in set_out.trims for e in (t.edges.bottom, t.edges.top)]
    levels += [h for o in openings for h in (o.sill, o.head)]
    heights = _parted([0.0, top, WORKING, *(h for h in levels if 0 < h < top)], step)
    if min(room.ceilings) < top - TOUCH:
        heights.append(top + OVER)
    parts = [(s, h) for s in pairwise(stations) for h in pairwise(heights)]
    corners = [
        [wall.frame.room_point(s, 0.0, h) for s, h in ((a, low), (b, low), (b, high), (a, high))]
        for (a, b), (low, high) in parts
    ]
    for ((a, b), (low, high)), triangles in zip(parts, halves_of_each(np.array(corners)), strict=True):
        reflectance, surface = _of_wall(openings, (a + b) / 2, (low + high) / 2, finish)
        yield Patch(triangles=triangles, reflectance=reflectance, surface=surface)


def _of_wall(openings: Sequence[Opening], station: float, height: float, finish: Finish) -> tuple[float, str]:
    for o in openings:
        if o.station < station < o.station + o.width and o.sill < height < o.head:
            return {"door": finish.door, "window": finish.window}.get(o.kind, 0.0), o.kind
    return finish.wall, "wall"


def _parted(places: Sequence[float], step: float) -> list[float]:
    """Places in order, each once, with more between them so that none are further apart than a step."""
    kept: list[float] = []
    for place in sorted(places):
        if not kept or place - kept[-1] > TOUCH:
            kept.append(place)
    parts: list[float] = kept[:1]
    for a, b in pairwise(kept):
        count = math.ceil((b - a) / step)
        parts += [a + (b - a) * k / count for k in range(1, count + 1)]
    return parts


def _box(room: Room, fitting: Fitting, reflectance: float) -> Iterator[Patch]:
    """A fitting as the five faces of its box that stand off the wall."""
    frame = room.walls[fitting.wall].frame
    (a, b), (low, high), out = (fitting.left, fitting.right), (fitting.bottom, fitting.top), fitting.out
    loops = (
        ((a, out, low), (b, out, low), (b, out, high), (a, out, high)),
        ((a, 0, low), (b, 0, low), (b, out, low), (a, out, low)),
        ((a, out, high), (b, out, high), (b, 0, high), (a, 0, high)),
        ((a, 0, low), (a, out, low), (a, out, high), (a, 0, high)),
        ((b, out, low), (b, 0, low), (b, 0, high), (b, out, high)),
    )
    for loop in loops:
        corners = np.array([frame.room_point(*p) for p in loop])
        yield Patch(triangles=halves(corners), reflectance=reflectance, surface="fitting")


def _plan_area(room: Room) -> float:
    return abs(_signed(np.array(room.plan)))
