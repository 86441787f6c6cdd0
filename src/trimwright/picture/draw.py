"""From bodies and a view to a picture: cast, light, smooth the edges, tone."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from trimwright.colour import linear
from trimwright.mesh.body import Body
from trimwright.picture.camera import Floats, View, axes, rays
from trimwright.picture.carry import borrow, fill_in
from trimwright.picture.edges import SAMPLES, edges, line, sample_offsets
from trimwright.picture.light import gather
from trimwright.picture.scene import Indices, Ints, Scene, scene_of
from trimwright.picture.sight import cast, seen_triangles
from trimwright.picture.tone import Picture, tone

__all__ = ["SIZE", "Shine", "draw", "draw_all", "png", "seen"]

SIZE = (1600, 1000)
"""Width and height of a picture in pixels."""

DIRECTIONS = 64
"""Directions cast from each point of the light."""

ROWS, EDGES = 40, 2000
"""Rows, and pixels on edges, coloured together: so many stay near the processor."""

EDGE = 0.45
"""How much a line between two surfaces darkens the picture."""

FILL = np.array([0.675, 0.69, 0.70], np.float32)
KEY = np.array([0.46, 0.44, 0.41], np.float32)
NOTHING = np.array([0.93, 0.93, 0.92], np.float32)
"""Cool fill, warm window light, and the paper behind everything (all linear)."""


def draw_all(bodies: Sequence[Body], views: Sequence[View], size: tuple[int, int] = SIZE) -> dict[str, bytes]:
    """PNG bytes by view name, drawn side by side (the ray caster and numpy let other threads run)."""
    scene = scene_of(bodies)
    with ThreadPoolExecutor(2) as pool:
        pictures = pool.map(lambda view: png(_draw(scene, bodies, view, size)), views)
        return {view.name: data for view, data in zip(views, pictures, strict=True)}


def draw(bodies: Sequence[Body], view: View, size: tuple[int, int] = SIZE, shine: Shine | None = None) -> Picture:
    """The picture as (height, width, 3) bytes of sRGB, by day or in a light of its own; the same each time."""
    return _draw(scene_of(bodies), bodies, view, size, shine)


def png(picture: Picture) -> bytes:
    """The picture as a PNG file."""
    from PIL import Image

    out = io.BytesIO()
    Image.fromarray(picture).save(out, "PNG", compress_level=4)
    return out.getvalue()


def seen(bodies: Sequence[Body], view: View, size: tuple[int, int] = SIZE) -> Ints:
    """Index of the body in the middle of each pixel, (height, width), -1 for none."""
    scene = scene_of(bodies)
    return _or_none(scene.body, seen_triangles(scene, view, size))


@dataclass(frozen=True, slots=True, kw_only=True)
class Shine:
    """A light for a picture: `at` gives its two parts at points with normals; each has its tint, linear.

    Bodies of the indices in `lamps` shine themselves, in the first tint at full strength.
    """

    at: Callable[[Floats, Floats], Floats]
    tints: tuple[Floats, Floats]
    lamps: frozenset[int] = frozenset()


def daylight(scene: Scene, view: View) -> Shine:
    """Soft light from all round, and a window behind the eye."""
    key = window_direction(view)
    return Shine(at=lambda points, normals: gather(scene, points, normals, key, DIRECTIONS), tints=(FILL, KEY))


def _draw(
    scene: Scene, bodies: Sequence[Body], view: View, size: tuple[int, int], shine: Shine | None = None
) -> Picture:
    width, height = size
    triangles = seen_triangles(scene, view, size)
    surface = _or_none(scene.surface, triangles)
    painter = _Painter(scene, bodies, view, size, shine or daylight(scene, view))
    light = painter.light_of_pixels(triangles)
    picture = np.empty((height, width, 3), np.uint8)
    for first in range(0, height, ROWS):
        some = slice(first, first + ROWS)
        picture[some] = tone(painter.colour(triangles[some], light[some]))
    edge_rows, edge_columns = np.nonzero(edges(surface))
    samples, their_light = painter.edge_samples(surface, light, edge_rows, edge_columns)
    for first in range(0, len(samples), EDGES):
        some = slice(first, first + EDGES)
        picture[edge_rows[some], edge_columns[some]] = tone(painter.edge_colour(samples[some], their_light[some]))
    return picture


class _Painter:
    """One picture in the making: the scene, the camera, and the light that goes with the camera."""

    def __init__(self, scene: Scene, bodies: Sequence[Body], view: View, size: tuple[int, int], shine: Shine) -> None:
        self.scene, self.view, self.size, self.shine = scene, view, size, shine
        self.eye = np.array(view.eye, np.float32)
        # For each triangle, and in the last row for none, what becomes of light on it and what shines by itself.
        body = np.append(scene.body, len(bodies))
        paint = np.array([*(linear(b.colour) for b in bodies), (0, 0, 0)], np.float32)
        glow = np.zeros_like(paint)
        glow[-1] = NOTHING
        for lamp in shine.lamps:
            paint[lamp], glow[lamp] = 0, shine.tints[0]
        self.paint, self.glow = paint[body], glow[body]

    def light_at(
        self, columns: npt.NDArray[np.floating[Any]], rows: npt.NDArray[np.floating[Any]], triangles: Ints
    ) -> Floats:
        """Gather at the points seen through picture points; nothing seen gives no light."""
        result = np.zeros((len(triangles), 2), np.float32)
        there = np.flatnonzero(triangles >= 0)
        directions = rays(self.view, self.size, columns[there], rows[there])
        points = self.scene.points(self.eye, directions, triangles[there])
        normals = facing(self.scene.normals.take(triangles[there], axis=0), directions)
        result[there] = self.shine.at(points, normals)
        return result

    def light_of_pixels(self, triangles: Ints) -> Floats:
        """Light of every pixel, (height, width, 2)."""

        def light_at(rows: Indices, columns: Indices) -> Floats:
            return self.light_at(columns + 0.5, rows + 0.5, triangles[rows, columns])

        return fill_in(_or_none(self.scene.facet, triangles), light_at)

    def colour(self, triangles: Ints, light: Floats) -> Floats:
        """Linear colour of points: paint times light, and what shines by itself."""
        result: Floats = light @ np.stack(self.shine.tints)
        result *= self.paint.take(triangles, axis=0)
        result += self.glow.take(triangles, axis=0)
        return result

    def edge_samples(self, surface: Ints, light: Floats, rows: Indices, columns: Indices) -> tuple[Ints, Floats]:
        """Triangles seen by the samples of pixels on edges, (pixels, `SAMPLES`), and the light on them (..., 2)."""
        down, across, _ = sample_offsets()
        y = (rows[:, None] + 0.5 + down).astype(np.float32).ravel()
        x = (columns[:, None] + 0.5 + across).astype(np.float32).ravel()
        triangles = cast(self.scene, self.view, self.size, x, y)
        there = _or_none(self.scene.surface, triangles)
        light, found = borrow(surface, light, np.repeat(rows, SAMPLES), np.repeat(columns, SAMPLES), there)
        missing = np.flatnonzero(~found & (triangles >= 0))
        # Samples of one pixel on one surface share the light of the first of them.
        shared = missing // SAMPLES * (len(self.scene.surface) + 1) + there[missing]
        _, first, same = np.unique(shared, return_index=True, return_inverse=True)
        asked = missing[first]
        light[missing] = self.light_at(x[asked], y[asked], triangles[asked])[same]
        return triangles.reshape(-1, SAMPLES), light.reshape(-1, SAMPLES, 2)

    def edge_colour(self, triangles: Ints, light: Floats) -> Floats:
        """Linear colour of pixels on edges: the mean of their samples, darkened where a line runs."""
        _, _, weight = sample_offsets()
        samples = self.colour(triangles.ravel(), light.reshape(-1, 2)).reshape(-1, SAMPLES, 3)
        mean = np.einsum("ijk,j->ik", samples, weight)
        drawn = line(_or_none(self.scene.surface, triangles), _or_none(self.scene.body, triangles))
        result: Floats = mean * (1 - np.float32(EDGE) * drawn[:, None])
        return result


def facing(normals: Floats, directions: Floats) -> Floats:
    """Normals turned towards where the rays come from, so that a surface has light on the side that is seen."""
    away = np.einsum("ij,ij->i", normals, directions) > 0
    return np.where(away[:, None], -normals, normals)


def window_direction(view: View) -> Floats:
    """The side the window light comes from: behind the left shoulder, somewhat above the level of the eye."""
    ahead, right, up = axes(view)
    towards = -0.75 * ahead - 0.45 * right + 0.28 * up
    if ahead[2] > 0:
        towards = -0.3 * ahead - 0.7 * right + 0.4 * up  # across the ceiling, so that what hangs there has its shade
    result: Floats = (towards / np.linalg.norm(towards)).astype(np.float32)
    return result


def _or_none(table: Ints, triangles: Ints) -> Ints:
    """Look up a row a triangle; -1 where there is none."""
    found: Ints = np.append(table, np.int32(-1)).take(triangles)
    return found
