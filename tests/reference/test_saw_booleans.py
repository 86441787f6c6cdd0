"""The saw by another route: stock, blade and piece as solids of manifold3d, moved and cut by that library.

How a length of trim is picked up from the wall and laid on the saw is written out here once more, by hand, for each
way of holding, as turns about the saw's axes (x right, y away, z up; on the wall x is the station, y goes into the
wall). Only the words and numbers of the card are used; the piece it must give is made from the corner's angle alone.
"""

from __future__ import annotations

import math
from itertools import pairwise

import manifold3d as m3
import numpy as np
import pytest
from shapely import MultiPoint

from trimwright.profile.file import list_profiles
from trimwright.profile.section import Section
from trimwright.saw.holding import ways_to_hold
from trimwright.saw.plane import EndPlane
from trimwright.saw.settings import Orders, set_up
from trimwright.setout.piece import Side

LENGTH, LONG = 400.0, 3000.0
CORNERS = (45.0, 91.4, 135.0, 225.0, 269.0, 315.0)
SPRINGS = (25.0, 38.0, 52.0, 65.0)

Box = tuple[float, float, float, float, float, float]


def crown(spring: float) -> Section:
    tangent = math.tan(math.radians(spring))
    drop = min(150.0, 150.0 / tangent)
    profile = next(p for p in list_profiles() if p.name == "sprung-crown")
    return profile.section({"drop": drop, "projection": drop * tangent})


def shipped(name: str) -> Section:
    return next(p for p in list_profiles() if p.name == name).section({})


def stock(points: list[tuple[float, float]]) -> m3.Manifold:
    """A long bar on the wall: the section (out, height) swept along the stations."""
    # Extruded up z from (x, y) = (out, height), then z -> x, x -> -y, y -> z.
    bar = m3.CrossSection([np.array(points)]).extrude(2 * LONG)
    return bar.transform(np.array([[0.0, 0, 1, -LONG], [-1, 0, 0, 0], [0, 1, 0, 0]]))


def half_space(plane: EndPlane, side: Side) -> tuple[np.ndarray, float]:
    """Normal and offset for trim_by_plane, which keeps what lies along the normal: the inside of an end."""
    normal = np.array([1.0, plane.per_out, -plane.per_height])  # y is -out
    sign = -1.0 if side is Side.RIGHT else 1.0
    length = float(np.linalg.norm(normal))
    return sign * normal / length, sign * plane.station / length


def trimmed(body: m3.Manifold, plane: EndPlane, side: Side) -> m3.Manifold:
    normal, offset = half_space(plane, side)
    return body.trim_by_plane(normal, offset)


def lean_of_side(section: Section, name: str) -> float:
    """Degrees that a back or face leans out of the upright: its spring; the face by the line over its two edges."""
    if name == "back":
        if section.flat_back is None:
            return 0.0
        (x0, y0), (x1, y1) = section.flat_back.start, section.flat_back.end
        return math.degrees(math.atan2(x1 - x0, y1 - y0))
    if section.kind != "cornice":
        return 0.0  # the rails taken here have an upright face
    loop = MultiPoint(section.outline.points()).convex_hull.exterior.coords
    edges = [(math.dist(a, b), b[0] - a[0], b[1] - a[1]) for a, b in pairwise(loop)]
    # Lines that rise outwards lie over the face or along a sprung back.
    lines = [(size, math.degrees(math.atan2(abs(dx), abs(dy)))) for size, dx, dy in edges if dx * dy > 1e-6]
    back = lean_of_side(section, "back")
    lines = [line for line in lines if section.flat_back is None or abs(line[1] - back) > 1e-6]
    return max(lines)[1]


def picked_up(section: Section, orders: Orders) -> list[tuple[float, float, float]]:
    """Turns about x, y and z in degrees, one after the other, from the wall to the saw.

    - standing, bottom down: as it is. Top down: head over heels about the line of sight (y), back still at the fence.
    - nested: the same as the latter, ceiling edge down.
    - on its back, upper edge at the fence: tipped over backwards until the back is down. A back that is s off the
      upright needs 90 - s, after which the upper edge is the far one. Lower edge at the fence: then end for end.
    - on its face: tipped over forwards by 90 + s; the upper edge is the near one: end for end to have it at the fence.
    """
    if orders.on_bed in ("bottom edge", "wall edge"):
        return []
    if orders.on_bed in ("top edge", "ceiling edge"):
        return [(0.0, 180.0, 0.0)]
    lean = lean_of_side(section, orders.on_bed)
    upper = orders.against_fence in ("top edge", "ceiling edge")
    if orders.on_bed == "back":
        # Backwards: the top goes away from the fitter, about x by minus.
        return [(-(90.0 + lean), 0.0, 0.0), (0.0, 0.0, 0.0 if upper else 180.0)]
    return [(90.0 - lean, 0.0, 0.0), (0.0, 0.0, 180.0 if upper else 0.0)]


def box(body: m3.Manifold) -> Box:
    return body.bounding_box()


def sawn(section: Section, bar: m3.Manifold, other: EndPlane, orders: Orders, side: Side) -> m3.Manifold:
    """The bar, finished at its other end, laid, pushed to the stop, cut, and taken back to the wall."""
    far = Side.LEFT if side is Side.RIGHT else Side.RIGHT
    turns = picked_up(section, orders)
    body = trimmed(bar, other, far)
    for turn in turns:
        body = body.rotate(turn)
    x0, _, z0, x1, y1, _ = box(body)
    kept_left = orders.place == "left of blade"
    shift = np.array([-orders.stop - x0 if kept_left else orders.stop - x1, -y1, -z0])
    body = body.translate(shift)
    # The blade as a half-space: upright and square, leaned about y, swung about z; kept what lies along the normal.
    lean = orders.bevel * (-1 if orders.tilt == "left" else 1)
    swing = orders.mitre * (1 if orders.arm == "right" else -1)
    keep = m3.Manifold.cube([2 * LONG, 2 * LONG, 2 * LONG]).translate([-2 * LONG if kept_left else 0, -LONG, -LONG])
    body = body ^ keep.rotate([0, lean, 0]).rotate([0, 0, swing])
    body = body.translate(-shift)
    for x, y, z in reversed(turns):
        body = body.rotate((-x, -y, -z))
    return body


def difference(a: m3.Manifold, b: m3.Manifold) -> float:
    return (a - b).volume() + (b - a).volume()


def check(section: Section, plane_of_side: dict[Side, EndPlane]) -> None:
    points = section.outline.points(0.2)
    bar = stock(points)
    for side, plane in plane_of_side.items():
        other = EndPlane(0.0, 0.1) if side is Side.RIGHT else EndPlane(LENGTH, -0.1)
        far = Side.LEFT if side is Side.RIGHT else Side.RIGHT
        piece = trimmed(trimmed(bar, other, far), plane, side)
        assert piece.volume() > 0
        for holding in ways_to_hold(section):
            setting = set_up("T1", side, holding, points, plane, other)
            made = sawn(section, bar, other, setting.orders(printed=False), side)
            assert difference(piece, made) <= 0.5, setting
            # As printed: not further off than 0.15 mm over the whole cut.
            printed = sawn(section, bar, other, setting.orders(printed=True), side)
            cut_area = section.outline.area * math.hypot(*plane.normal)
            assert difference(piece, printed) <= 0.15 * cut_area, setting


def corner_planes(corner: float) -> dict[Side, EndPlane]:
    half_cot = 1 / math.tan(math.radians(corner / 2))
    return {Side.RIGHT: EndPlane(LENGTH, -half_cot), Side.LEFT: EndPlane(0.0, half_cot)}


@pytest.mark.parametrize("corner", CORNERS)
@pytest.mark.parametrize("spring", SPRINGS)
def test_sprung_crown(corner: float, spring: float) -> None:
    check(crown(spring), corner_planes(corner))


@pytest.mark.parametrize("corner", CORNERS)
@pytest.mark.parametrize("name", ["cove", "rail-hanging", "rail-torus"])
def test_solid_cornice_and_rails(corner: float, name: str) -> None:
    check(shipped(name), corner_planes(corner))


@pytest.mark.parametrize("rise", [-0.4, 0.3])
def test_ends_that_lean(rise: float) -> None:
    """Raked trim: the end plane is not upright in the frame of the piece."""
    check(crown(38), {Side.RIGHT: EndPlane(LENGTH, -0.9, rise), Side.LEFT: EndPlane(0.0, 0.6, rise)})
