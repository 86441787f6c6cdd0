"""A map of illuminance: cells in shades of light, lines of equal lux with their values, darkest and brightest point."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby, pairwise

import numpy as np

from trimwright.drawing.labels import Label, place, ring
from trimwright.drawing.marks import Anchor, Drawing, Fill, Group, Layer, Mark, Text, dot, polyline
from trimwright.light.contours import contours, round_levels
from trimwright.light.enclosure import Floats
from trimwright.light.lux import BORDER, LuxMap
from trimwright.profile.outline import Point
from trimwright.room import Room
from trimwright.tolerance import DIVIDED

__all__ = ["lux_drawing"]

DARK, BRIGHT = (0.46, 0.43, 0.36), (1.0, 0.97, 0.86)
"""Colours of the darkest and the brightest cell."""

STEPS = 15
"""Steps of shade from dark to bright: few enough for the shading itself to show bands."""

FINE = 3
"""Each cell of the net is shaded in so many parts each way."""


def lux_drawing(room: Room, lux: LuxMap, scale: float) -> Drawing:
    """The map of one height, titled with it."""
    total = lux.total
    marks: list[Mark] = [Group("cells", tuple(_cells(room, lux)))]
    lines = [(level, line) for level in round_levels(lux.least, float(np.nanmax(total))) for line in _lines(lux, level)]
    marks += [polyline(line, Layer.ISOLINE) for _, line in lines]
    marks.append(polyline(room.outline(DIVIDED), Layer.WALL, closed=True))
    labels = [
        Label(text=f"least {lux.least:.0f}", spots=ring(lux.darkest, scale), target=(lux.darkest, lux.darkest)),
        *(_line_label(level, line, scale) for level, line in lines),
    ]
    marks.append(dot(lux.darkest, 0.8 / scale, Layer.LABEL))
    texts = place(labels, marks, scale)
    height = "On the floor" if lux.height == 0 else f"At {lux.height / 1000:g} m"
    title = f"{height}: mean {lux.mean:.0f} lx, least {lux.least:.0f}, uniformity {lux.uniformity:.2f}"
    xs, ys = zip(*room.outline(DIVIDED), strict=True)
    head = Text(((min(xs) + max(xs)) / 2, max(ys) + 4 / scale), title, 3.5, Layer.LABEL, Anchor.BASE)
    return Drawing(f"lux-{round(lux.height)}", (*marks, *texts, head))


def _lines(lux: LuxMap, level: float) -> list[list[Point]]:
    return contours(lux.xs, lux.ys, lux.total, level)


def _cells(room: Room, lux: LuxMap) -> Iterator[Mark]:
    """Squares of the net and of a border round it, cut off at the walls and shaded by their middles, those alike in a
    row as one.
    """
    import shapely

    xs, ys = (_finer(places) for places in (lux.xs, lux.ys))
    across, up = ((np.array(places[:-1]) + np.array(places[1:])) / 2 for places in (xs, ys))
    values = _values(lux, across, up)
    low, high = lux.least, float(np.nanmax(lux.total))
    steps = np.rint(np.clip((values - low) / max(high - low, 1e-9), 0, 1) * STEPS).astype(int)
    outline = shapely.Polygon(room.outline(DIVIDED))
    shapely.prepare(outline)
    west, south = np.meshgrid(xs[:-1], ys[:-1], indexing="ij")
    east, north = np.meshgrid(xs[1:], ys[1:], indexing="ij")
    steps[~shapely.intersects(outline, shapely.box(west, south, east, north))] = -1
    for column, (y0, y1) in zip(steps.T, pairwise(ys), strict=True):
        for step, run in groupby(range(len(column)), column.tolist().__getitem__):
            cells = list(run)
            if step < 0:
                continue
            whole = shapely.box(xs[cells[0]], y0, xs[cells[-1] + 1], y1)
            shown = whole if outline.contains(whole) else outline & whole
            for part in getattr(shown, "geoms", [shown]):
                if part.area > 0:
                    corners = [(float(x), float(y)) for x, y in part.exterior.coords[:-1]]
                    loop = polyline(corners, Layer.ISOLINE, closed=True)
                    yield Fill(loop.segments, Layer.ISOLINE, _shade(step / STEPS))


def _finer(places: Floats) -> list[float]:
    """The net's places and as many more between them as it is shaded in, with a border before and behind."""
    step = float(places[1] - places[0]) / FINE
    beyond = max(1, round(BORDER / step))
    first = float(places[0]) - BORDER
    last = float(places[-1]) + BORDER
    count = FINE * (len(places) - 1) + 2 * beyond
    return [first + (last - first) * k / count for k in range(count + 1)]


def _filled(lux: LuxMap) -> Floats:
    """Values with those of the nearest points put where there are none."""
    total = lux.total.copy()
    known = np.argwhere(~np.isnan(total))
    for i, j in np.argwhere(np.isnan(total)):
        away = (lux.xs[known[:, 0]] - lux.xs[i]) ** 2 + (lux.ys[known[:, 1]] - lux.ys[j]) ** 2
        total[i, j] = total[tuple(known[away.argmin()])]
    return total


def _values(lux: LuxMap, xs: Floats, ys: Floats) -> Floats:
    """Values on a finer net: between four points, or those of the net's edge beyond it."""
    filled = _filled(lux)
    rows = np.array([np.interp(ys, lux.ys, column) for column in filled])
    return np.array([np.interp(xs, lux.xs, row) for row in rows.T]).T


def _shade(part: float) -> str:
    """A colour from dark to bright."""
    mixed = [round(255 * (a + (b - a) * part)) for a, b in zip(DARK, BRIGHT, strict=True)]
    return "#" + "".join(f"{c:02x}" for c in mixed)


def _line_label(level: float, line: list[Point], scale: float) -> Label:
    """The value on its line, where there is room."""
    parts = (0.5, 0.3, 0.7, 0.15, 0.85, 0.05)
    spots = tuple((line[min(len(line) - 1, math.floor(part * len(line)))], Anchor.MIDDLE) for part in parts)
    return Label(text=f"{level:g}", spots=spots, optional=True)
