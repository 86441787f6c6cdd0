"""Illuminance at any points on the surfaces of a room whose radiosity is known: what a picture of it needs.

Light straight from the lamps, and from the patches that glow most, is integrated over them; the rest is gathered by
rays, the same set of directions from every point, each bringing the radiosity of the patch it meets. So there is no
grain, and no pattern of rays that just meet or just miss a narrow bright band.
"""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from trimwright.light.direct import from_polygon, from_strip, vector_areas
from trimwright.light.enclosure import SIDE, Enclosure, Floats, Ints, directions
from trimwright.light.radiosity import Solution
from trimwright.light.trim_faces import Lamp, quad_area

__all__ = ["illuminance"]

ARRIVED = 1 - 1e-4
"""A ray that gets this part of its way to a place has reached it."""

RAYS = 256
"""Directions from each point."""

LIFT = 2.5
"""Rays start this far above a point, mm: patches follow the arcs of a section less closely than a picture does."""

FAR = 3.0
"""A lamp further off than this many of its lengths shines as from its middle; a nearer one is parted."""

PARTS = 6
"""Parts of a near lamp along its length: each is seen or hidden as a whole."""

GLOW = 2.5
"""A patch of more than this many times the mean radiosity is integrated, not left to rays."""

VIEWS = 3
"""Places on a near glowing patch that are looked for from a point."""

AT_ONCE = 1_000
"""Points worked on together, with all that shines on them: so many stay near the processor."""


def illuminance(
    space: Enclosure, light: Solution, lamps: Sequence[Lamp], points: Floats, normals: Floats, rays: int = RAYS
) -> Floats:
    """Illuminance in lx at points (n, 3) with unit normals; more `rays` make what is bounced more exact."""
    raised = points + normals * LIFT
    passed = light.radiosity - space.exitance
    area = np.bincount(space.owner, space.areas, space.count)
    glowing = passed > GLOW * np.average(passed, weights=area)
    bright, others = np.flatnonzero(glowing), np.where(glowing, 0.0, passed)

    def at(some: Ints) -> Floats:
        here, ways = raised[some], normals[some]
        lit = _straight(space, lamps, here, ways) + _glow(space, bright, passed, here, ways)
        return np.asarray(lit + _bounced(space, others, here, ways, rays))

    # The ray caster and numpy let other threads run.
    with ThreadPoolExecutor(2) as pool:
        parts = np.array_split(np.arange(len(points)), len(points) // AT_ONCE + 2)
        return np.concatenate(list(pool.map(at, parts)))


def _bounced(space: Enclosure, passed: Floats, points: Floats, normals: Floats, rays: int) -> Floats:
    """Mean radiosity over directions dense as the cosine: that is the illuminance (Nusselt)."""
    across = np.cross(SIDE, normals)
    across /= np.linalg.norm(across, axis=1, keepdims=True)
    up = np.cross(normals, across)
    k = np.arange(rays)
    turn = (k * (3 - np.sqrt(5)) / 2) % 1.0
    total = np.zeros(len(points))
    # In the frame that `directions` builds on +z, so that one set serves every point.
    for x, y, z in directions(np.tile([0.0, 0.0, 1.0], (rays, 1)), (k + 0.5) / rays, turn):
        way = across * x + up * y + normals * z
        total += _met(space, passed, points, way)
    return np.asarray(total / rays)


def _met(space: Enclosure, passed: Floats, points: Floats, way: Floats) -> Floats:
    """Radiosity of what rays meet; a surface met from behind is passed through: reveals lie behind a wall's face."""
    met = space.hit(points, way)
    result = np.where(met >= 0, passed[met], 0.0)
    behind = np.flatnonzero(met < 0)
    if len(behind):
        reach = space.reach(points[behind], way[behind])
        gone = reach < 1e6
        behind, reach = behind[gone], reach[gone]
        again = space.hit(points[behind] + way[behind] * (reach + LIFT)[:, None], way[behind])
        result[behind] = np.where(again >= 0, passed[again], 0.0)
    return np.asarray(result)


def _glow(space: Enclosure, patches: Ints, passed: Floats, points: Floats, normals: Floats) -> Floats:
    """Light from whole patches: a far one as from its middle, a near one triangle by triangle."""
    towards = vector_areas(space)
    seen_at = space.starts(np.full(space.count, VIEWS))[0].reshape(space.count, VIEWS, 3)
    of_patch = [space.triangles[space.owner == patch] for patch in patches]
    size = np.array([np.linalg.norm(np.ptp(triangles.reshape(-1, 3), axis=0)) for triangles in of_patch])
    square, cosines = _sights(space.middles[patches], towards[patches], points, normals)
    near = square < (FAR * size)[:, None] ** 2
    share = np.where(near, 0.0, cosines / (np.pi * square))
    source, at = np.nonzero(share)
    start = points[at]
    clear = space.reach(start, seen_at[patches[source], 0] - start) >= ARRIVED
    total = _summed(at, share[source, at] * passed[patches[source]] * clear, len(points))
    for k in np.flatnonzero(near.any(axis=1)):
        patch, some = patches[k], np.flatnonzero(near[k])
        facing = towards[patch] / np.linalg.norm(towards[patch])
        part = _exact(points[some], normals[some], of_patch[k], facing)
        some, part = some[part > 0], part[part > 0]
        seen = np.zeros(len(some))
        for place in seen_at[patch]:
            seen += space.reach(points[some], place - points[some]) >= ARRIVED
        total[some] += part * seen / VIEWS * passed[patch]
    return total


def _summed(at: Ints, light: Floats, count: int) -> Floats:
    """Light brought to each of so many points."""
    return np.bincount(at, light, count).astype(float, copy=False)  # of nothing at all the sum would be an integer


def _sights(sources: Floats, towards: Floats, points: Floats, normals: Floats) -> tuple[Floats, Floats]:
    """Of each source from each point, (sources, points): the distance squared, at least 1, and what of it is turned to
    the point and lies before it: both cosines times the length of its vector `towards`, 0 behind either.
    """
    x, y, z = (np.subtract.outer(sources[:, k], points[:, k]) for k in range(3))
    square = np.maximum(x * x + y * y + z * z, 1.0)
    leaving = x * towards[:, :1] + y * towards[:, 1:2] + z * towards[:, 2:]
    arriving = x * normals[:, 0] + y * normals[:, 1] + z * normals[:, 2]
    return square, np.where((leaving < 0) & (arriving > 0), -leaving * arriving, 0.0) / square


def _exact(points: Floats, normals: Floats, triangles: Floats, facing: Floats) -> Floats:
    """View factor of a patch's triangles from points on its bright side."""
    before = ((points[:, None] - triangles[None, :, 0]) @ facing > 0).any(axis=1)
    result = np.zeros(len(points))
    if before.any():
        result[before] = from_polygon(points[before], normals[before], triangles).sum(axis=1)
    return result


def _straight(space: Enclosure, lamps: Sequence[Lamp], points: Floats, normals: Floats) -> Floats:
    """Light from the lamps themselves: far ones as points of light, near ones part by part."""
    corners = np.array([lamp.corners for lamp in lamps])
    sent = np.array([lamp.exitance for lamp in lamps])
    area = np.array([quad_area(quad) for quad in corners])
    facing = np.cross(corners[:, 1] - corners[:, 0], corners[:, 3] - corners[:, 0])
    facing /= np.linalg.norm(facing, axis=1, keepdims=True)
    size = np.linalg.norm(corners[:, 1] - corners[:, 0], axis=1)
    middles = corners.mean(axis=1)
    square, cosines = _sights(middles, facing * area[:, None], points, normals)
    near = square < (FAR * size)[:, None] ** 2
    share = np.where(near, 0.0, cosines / (np.pi * square))
    lamp, at = np.nonzero(share)
    clear = space.reach(points[at], middles[lamp] - points[at] + facing[lamp] * LIFT) >= 1
    total = _summed(at, share[lamp, at] * sent[lamp] * clear, len(points))
    for k in np.flatnonzero(near.any(axis=1)):
        close, parts = np.flatnonzero(near[k]), _parts(corners[k])
        total[close] += from_strip(space, points[close], normals[close], parts, np.full(len(parts), sent[k]))
    return total


def _parts(quad: Floats) -> Floats:
    """A quad in parts from its first side to the one across."""
    a, b, c, d = quad
    t = np.linspace(0.0, 1.0, PARTS + 1)[:, None]
    low, high = a + t * (b - a), d + t * (c - d)
    return np.stack([low[:-1], low[1:], high[1:], high[:-1]], axis=1)
