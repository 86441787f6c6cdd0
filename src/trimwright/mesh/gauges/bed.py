"""What every printed aid has in common: it lies flat on the bed of a small printer, in parts if it is too long.

Solids are made in millimetres with their lowest face at z = 0. A part too long for the bed is cut by upright planes;
dovetail keys as thick as its floor hold the parts together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trimwright.errors import GeometryError
from trimwright.mesh.shape import Mesh
from trimwright.profile.outline import Point

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

__all__ = ["BED", "TALLEST", "WALL", "on_bed", "plate"]

BED = 200.0
"""Side of the bed of a small printer, mm."""

TALLEST = 190.0
"""Height that it can make, mm."""

WALL = 2.0
"""Nothing is made thinner than this, mm."""

KEY_ROOT, KEY_TIP, KEY_DEPTH = 10.0, 14.0, 8.0
"""A dovetail: its width at the cut and at its end, and its length."""

FIT = 0.15
"""Play round a key on each side."""

APART = 80.0
"""A cut longer than this through the floor gets two keys."""


@dataclass(frozen=True, slots=True)
class Cut:
    """An upright plane across axis 0 or 1 at `level`."""

    axis: int
    level: float


def plate(loop: Sequence[Point], low: float, high: float) -> Manifold:
    """A plan polygon (x, y) from height `low` to `high`."""
    from manifold3d import CrossSection, FillRule

    # Even-odd: a loop is filled whichever way round it runs.
    area = CrossSection([np.asarray(loop, dtype=np.float64)], FillRule.EvenOdd)
    return area.extrude(high - low).translate((0.0, 0.0, low))


def on_bed(name: str, body: Manifold, floor: float = 0.0) -> list[tuple[str, Mesh]]:
    """A solid set down in the first quadrant, in numbered parts if it is larger than the bed.

    `floor` is the thickness of what lies on the bed, for the keys; 0: no keys, the parts are glued face to face.
    """
    parts = [body]
    for axis in (0, 1):
        parts = [half for part in parts for half in _parted(part, axis, floor)]
    if len(parts) == 1:
        return [(name, _set_down(parts[0], name))]
    return [(f"{name} part {k}", _set_down(part, f"{name} part {k}")) for k, part in enumerate(parts, 1)]


def _parted(body: Manifold, axis: int, floor: float) -> Iterator[Manifold]:
    """Equal parts along an axis, each with its keys within the bed."""
    low, high = body.bounding_box()[axis], body.bounding_box()[axis + 3]
    count = 1
    while (high - low) / count + (KEY_DEPTH if count > 1 else 0.0) > BED:
        count += 1
    rest = body
    for k in range(1, count):
        cut = Cut(axis, low + k * (high - low) / count)
        here, rest = _halves(rest, cut, floor)
        yield here
    yield rest


def _halves(body: Manifold, cut: Cut, floor: float) -> tuple[Manifold, Manifold]:
    """What lies before a cut, with keys, and what lies behind it, with their sockets."""
    normal = (1.0, 0.0, 0.0) if cut.axis == 0 else (0.0, 1.0, 0.0)
    behind, before = body.split_by_plane(normal, cut.level)
    for middle in _key_places(body.slice(floor / 2), cut) if floor else []:
        before += _key(cut, middle, 0.0, floor) ^ body
        behind -= _key(cut, middle, FIT, floor)
    return before, behind


def _key_places(area: CrossSection, cut: Cut) -> list[float]:
    """Middles of the keys along a cut: in each stretch of floor wide enough, one, or two in a long one."""
    from shapely import LineString, Polygon
    from shapely.ops import unary_union

    solid = unary_union([Polygon(loop).buffer(0) for loop in area.to_polygons()])
    low, high = solid.bounds[1 - cut.axis], solid.bounds[3 - cut.axis]
    ends = [(cut.level, low), (cut.level, high)] if cut.axis == 0 else [(low, cut.level), (high, cut.level)]
    crossed = solid.intersection(LineString(ends))
    places: list[float] = []
    for stretch in getattr(crossed, "geoms", [crossed]):
        a, b = sorted(point[1 - cut.axis] for point in (stretch.coords[0], stretch.coords[-1]))
        if b - a >= APART:
            places += [a + (b - a) / 4, b - (b - a) / 4]
        elif b - a >= KEY_TIP + 4 * WALL:
            places.append((a + b) / 2)
    return places


def _key(cut: Cut, middle: float, play: float, floor: float) -> Manifold:
    """One dovetail across a cut; its socket is larger by the play. It reaches a little back into its own part."""
    root, tip, depth = KEY_ROOT / 2 + play, KEY_TIP / 2 + play, KEY_DEPTH + play
    shape = [(-WALL, root), (-WALL, -root), (0.0, -root), (depth, -tip), (depth, tip), (0.0, root)]
    if cut.axis == 0:
        return plate([(cut.level + a, middle + b) for a, b in shape], -1.0 if play else 0.0, floor)
    return plate([(middle + b, cut.level + a) for a, b in shape], -1.0 if play else 0.0, floor)


def _set_down(body: Manifold, name: str) -> Mesh:
    """The mesh of a solid, moved so that its least x, y and z are 0. Raises GeometryError if there is none."""
    from manifold3d import Error

    if body.status() != Error.NoError or body.is_empty():
        raise GeometryError(f"{name}: no sound body comes of it")
    low = body.bounding_box()[:3]
    made = body.translate((-low[0], -low[1], -low[2])).to_mesh64()
    vertices = np.array(made.vert_properties[:, :3], dtype=np.float64)
    return Mesh(vertices, np.array(made.tri_verts, dtype=np.int32), name)
