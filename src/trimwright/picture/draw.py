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
from trimwright.picture.tone import Picture, tone

__all__ = ["SIZE", "Shine", "draw", "draw_all", "png", "seen"]

SIZE = (1600, 1000)
"""Width and height of a picture in pixels."""

DIRECTIONS = 64
"""Directions cast from each point of the light."""

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
    triangles = _cast(scene, view, size, *_pixels(size))
    return _or_none(scene.body, triangles).reshape(size[1], size[0])


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
    columns, rows = _pixels(size)
    triangles = _cast(scene, view, size, columns, rows)
    surface = _or_none(scene.surface, triangles).reshape(height, width)
    painter = _Painter(scene, bodies, view, size, shine or daylight(scene, view))
    light = painter.light_of_pixels(triangles.reshape(height, width), surface)
    colour = painter.colour(triangles, light.reshape(-1, 2)).reshape(height, width, 3)
    edge_rows, edge_columns = np.nonzero(edges(surface))
    colour[edge_rows, edge_columns] = painter.edge_colour(surface, light, edge_rows, edge_columns)
    return tone(colour)


class _Painter:
    """One picture in the making: the scene, the camera, and the light that goes with the camera."""

    def __init__(self, scene: Scene, bodies: Sequence[Body], view: View, size: tuple[int, int], shine: Shine) -> None:
        self.scene, self.view, self.size, self.shine = scene, view, size, shine
        self.eye = np.array(view.eye, np.float32)
        self.paint = np.array([linear(b.colour) for b in bodies], np.float32)

    def light_at(
        self, columns: npt.NDArray[np.floating[Any]], rows: npt.NDArray[np.floating[Any]], triangles: Ints
    ) -> Floats:
        """Gather at the points seen through picture points; nothing seen gives no light."""
        result = np.zeros((len(triangles), 2), np.float32)
        there = np.flatnonzero(triangles >= 0)
        directions = rays(self.view, self.size, columns[there], rows[there])
        points = self.scene.points(self.eye, directions, triangles[there])
        normals = facing(self.scene.normals[triangles[there]], directions)
        result[there] = self.shine.at(points, normals)
        return result

    def light_of_pixels(self, triangles: Ints, surface: Ints) -> Floats:
        """Light of every pixel, (height, width, 2)."""

        def light_at(rows: Indices, columns: Indices) -> Floats:
            return self.light_at(columns + 0.5, rows + 0.5, triangles[rows, columns])

        return fill_in(surface, light_at)

    def colour(self, triangles: Ints, light: Floats) -> Floats:
        """Linear colour of points: paint times light."""
        first, second = self.shine.tints
        body = self.scene.body[triangles]
        result = self.paint[body] * (light[:, :1] * first + light[:, 1:] * second)
        for lamp in self.shine.lamps:
            result[body == lamp] = first
        result[triangles < 0] = NOTHING
        return result

    def edge_colour(self, surface: Ints, light: Floats, rows: Indices, columns: Indices) -> Floats:
        """Linear colour of pixels on edges: the mean of its samples, darkened where a line runs."""
        down, across, weight = sample_offsets()
        y = (rows[:, None] + 0.5 + down).astype(np.float32).ravel()
        x = (columns[:, None] + 0.5 + across).astype(np.float32).ravel()
        triangles = _cast(self.scene, self.view, self.size, x, y)
        there = _or_none(self.scene.surface, triangles)
        borrowed, found = borrow(surface, light, np.repeat(rows, SAMPLES), np.repeat(columns, SAMPLES), there)
        missing = np.flatnonzero(~found & (triangles >= 0))
        borrowed[missing] = self.light_at(x[missing], y[missing], triangles[missing])
        samples = self.colour(triangles, borrowed).reshape(-1, SAMPLES, 3)
        mean = np.einsum("ijk,j->ik", samples, weight)
        bodies = _or_none(self.scene.body, triangles).reshape(-1, SAMPLES)
        drawn = line(there.reshape(-1, SAMPLES), bodies)
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


def _pixels(size: tuple[int, int]) -> tuple[Floats, Floats]:
    """Columns and rows of all pixel centres, row by row."""
    width, height = size
    columns = np.tile(np.arange(width, dtype=np.float32) + 0.5, height)
    return columns, np.repeat(np.arange(height, dtype=np.float32) + 0.5, width)


def _cast(scene: Scene, view: View, size: tuple[int, int], columns: Floats, rows: Floats) -> Ints:
    directions = rays(view, size, columns, rows)
    return scene.hit(np.broadcast_to(np.array(view.eye, np.float32), directions.shape), directions)


def _or_none(table: Ints, triangles: Ints) -> Ints:
    """Look up a row a triangle; -1 where there is none."""
    return np.where(triangles >= 0, table[triangles], np.int32(-1))
