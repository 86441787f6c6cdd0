"""From bodies and a view to a picture: cast, light, smooth the edges, tone."""

from __future__ import annotations

import io
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import numpy.typing as npt

from trimwright.mesh.body import Body
from trimwright.picture.camera import Floats, View, axes, rays
from trimwright.picture.light import gather
from trimwright.picture.scene import Ints, Scene, scene_of

__all__ = ["SIZE", "draw", "draw_all", "png", "seen"]

SIZE = (1600, 1000)
"""Width and height of a picture in pixels."""

STRIDE = 4
"""Light is gathered at every fourth pixel each way and carried to those between, where they are on one surface."""

DIRECTIONS = 72
"""Directions cast from each point of the light."""

CONTRAST = 0.05
"""Where neighbouring points of the light differ by more than this, those between are gathered for themselves."""

EDGE = 0.45
"""How much a line between two surfaces darkens the picture."""

FILL = np.array([0.57, 0.59, 0.61], np.float32)
KEY = np.array([0.60, 0.575, 0.53], np.float32)
NOTHING = np.array([0.93, 0.93, 0.92], np.float32)
"""Cool fill, warm window light, and the paper behind everything (all linear)."""

SUBSAMPLES = (np.arange(4, dtype=np.float32) - 1.5) / 2
"""Offsets of the 4 x 4 samples of an edge pixel; they reach half a pixel over its border, so that edges are soft."""

Picture = npt.NDArray[np.uint8]


def draw_all(bodies: Sequence[Body], views: Sequence[View], size: tuple[int, int] = SIZE) -> dict[str, bytes]:
    """PNG bytes by view name, drawn side by side (the ray caster and numpy let other threads run)."""
    scene = scene_of(bodies)
    with ThreadPoolExecutor(2) as pool:
        pictures = pool.map(lambda view: png(_draw(scene, bodies, view, size)), views)
        return {view.name: data for view, data in zip(views, pictures, strict=True)}


def draw(bodies: Sequence[Body], view: View, size: tuple[int, int] = SIZE) -> Picture:
    """The picture as (height, width, 3) bytes of sRGB; the same input gives the same bytes."""
    return _draw(scene_of(bodies), bodies, view, size)


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


def _draw(scene: Scene, bodies: Sequence[Body], view: View, size: tuple[int, int]) -> Picture:
    width, height = size
    columns, rows = _pixels(size)
    triangles = _cast(scene, view, size, columns, rows)
    surface = _or_none(scene.surface, triangles).reshape(height, width)
    painter = _Painter(scene, bodies, view, size)
    light = painter.light_of_pixels(triangles.reshape(height, width), surface)
    colour = painter.colour(triangles, light.reshape(-1, 2)).reshape(height, width, 3)
    edge_rows, edge_columns = np.nonzero(_edges(surface))
    colour[edge_rows, edge_columns] = painter.edge_colour(surface, light, edge_rows, edge_columns)
    return _tone(colour)


class _Painter:
    """One picture in the making: the scene, the camera, and the light that goes with the camera."""

    def __init__(self, scene: Scene, bodies: Sequence[Body], view: View, size: tuple[int, int]) -> None:
        self.scene, self.view, self.size = scene, view, size
        self.eye = np.array(view.eye, np.float32)
        self.paint = np.array([_linear(b.colour) for b in bodies], np.float32)
        self.key = window_direction(view)

    def light_at(self, columns: Floats, rows: Floats, triangles: Ints) -> Floats:
        """Gather at the points seen through picture points; nothing seen gives no light."""
        result = np.zeros((len(triangles), 2), np.float32)
        there = np.flatnonzero(triangles >= 0)
        directions = rays(self.view, self.size, columns[there], rows[there])
        points = self.scene.points(self.eye, directions, triangles[there])
        normals = facing(self.scene.normals[triangles[there]], directions)
        result[there] = gather(self.scene, points, normals, self.key, DIRECTIONS)
        return result

    def light_of_pixels(self, triangles: Ints, surface: Ints) -> Floats:
        """Light of every pixel, (height, width, 2): from the coarse points where that is safe, else its own."""
        height, width = surface.shape
        at_rows, at_columns = np.arange(0, height + STRIDE, STRIDE), np.arange(0, width + STRIDE, STRIDE)
        at_rows, at_columns = np.minimum(at_rows, height - 1), np.minimum(at_columns, width - 1)
        grid = np.ix_(at_rows, at_columns)
        rows, columns = np.broadcast_arrays(*grid)
        coarse = self.light_at(columns.ravel() + 0.5, rows.ravel() + 0.5, triangles[grid].ravel())
        light, safe = _spread(coarse.reshape(*rows.shape, 2), surface[grid], surface)
        rest_rows, rest_columns = np.nonzero(~safe & (surface >= 0))
        light[rest_rows, rest_columns] = self.light_at(
            rest_columns + 0.5, rest_rows + 0.5, triangles[rest_rows, rest_columns]
        )
        return light

    def colour(self, triangles: Ints, light: Floats) -> Floats:
        """Linear colour of points: paint times light."""
        result = self.paint[self.scene.body[triangles]] * (light[:, :1] * FILL + light[:, 1:] * KEY)
        result[triangles < 0] = NOTHING
        return result

    def edge_colour(self, surface: Ints, light: Floats, rows: Ints, columns: Ints) -> Floats:
        """Linear colour of pixels on edges: the mean of 16 samples, darkened where a line runs."""
        down, across = (grid.ravel() for grid in np.meshgrid(SUBSAMPLES, SUBSAMPLES, indexing="ij"))
        y = (rows[:, None] + 0.5 + down).astype(np.float32).ravel()
        x = (columns[:, None] + 0.5 + across).astype(np.float32).ravel()
        triangles = _cast(self.scene, self.view, self.size, x, y)
        there = _or_none(self.scene.surface, triangles)
        borrowed, found = _borrow(surface, light, np.repeat(rows, 16), np.repeat(columns, 16), there)
        missing = np.flatnonzero(~found & (triangles >= 0))
        borrowed[missing] = self.light_at(x[missing], y[missing], triangles[missing])
        samples = self.colour(triangles, borrowed).reshape(-1, 16, 3)
        weight = ((1 - np.abs(down)) * (1 - np.abs(across))).astype(np.float32)
        mean = np.einsum("ijk,j->ik", samples, weight / weight.sum())
        bodies = _or_none(self.scene.body, triangles).reshape(-1, 16)
        line = _line(there.reshape(-1, 16), bodies)
        result: Floats = mean * (1 - np.float32(EDGE) * line[:, None])
        return result


def facing(normals: Floats, directions: Floats) -> Floats:
    """Normals turned towards where the rays come from, so that a surface has light on the side that is seen."""
    away = np.einsum("ij,ij->i", normals, directions) > 0
    return np.where(away[:, None], -normals, normals)


def window_direction(view: View) -> Floats:
    """The side the window light comes from: behind the left shoulder, somewhat above the level of the eye."""
    facing, right = axes(view)
    towards = -0.55 * facing - 0.8 * right + np.array([0.0, 0.0, 0.22], np.float32)
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


def _spread(coarse: Floats, coarse_surface: Ints, surface: Ints) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """Carry coarse light to every pixel from those of the four points round it that lie on its own surface.

    The second value is False where fewer than half of the weight lies there or where the points disagree.
    """
    height, width = surface.shape
    row, column = np.arange(height), np.arange(width)
    r0, c0 = row // STRIDE, column // STRIDE
    fr, fc = (row % STRIDE / STRIDE).astype(np.float32), (column % STRIDE / STRIDE).astype(np.float32)
    total, weight = np.zeros((height, width, 2), np.float32), np.zeros((height, width), np.float32)
    least, most = np.full((height, width), 9, np.float32), np.full((height, width), -9, np.float32)
    for dr, wr in ((0, 1 - fr), (1, fr)):
        for dc, wc in ((0, 1 - fc), (1, fc)):
            at = np.ix_(r0 + dr, c0 + dc)
            share = np.outer(wr, wc) * (coarse_surface[at] == surface)
            value = coarse[at]
            total += share[..., None] * value
            weight += share
            brightness = value.mean(axis=-1)
            used = share > 0
            np.minimum(least, brightness, out=least, where=used)
            np.maximum(most, brightness, out=most, where=used)
    safe = (weight >= 0.5) & (most - least <= CONTRAST)
    total /= np.maximum(weight, np.float32(1e-6))[..., None]
    return total, safe


def _edges(surface: Ints) -> npt.NDArray[np.bool_]:
    """Pixels with another surface among their eight neighbours."""
    most, least = surface, surface
    for axis in (0, 1):
        most, least = _widest(most, axis, np.maximum), _widest(least, axis, np.minimum)
    return most != least


def _widest(values: Ints, axis: int, pick: np.ufunc) -> Ints:
    """The greatest (or least) of each value and its two neighbours along an axis."""
    result = values.copy()
    ahead = tuple(slice(1, None) if k == axis else slice(None) for k in (0, 1))
    behind = tuple(slice(None, -1) if k == axis else slice(None) for k in (0, 1))
    result[ahead] = pick(result[ahead], values[behind])
    result[behind] = pick(result[behind], values[ahead])
    return result


def _borrow(
    surface: Ints, light: Floats, rows: Ints, columns: Ints, wanted: Ints
) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """Light for samples near pixels, taken from the nearest pixel around that shows the wanted surface."""
    height, width = surface.shape
    result, found = np.zeros((len(rows), 2), np.float32), np.zeros(len(rows), bool)
    steps = sorted(((dr, dc) for dr in (-1, 0, 1) for dc in (-1, 0, 1)), key=lambda s: abs(s[0]) + abs(s[1]))
    for dr, dc in steps:
        open_ = np.flatnonzero(~found)
        r = np.clip(rows[open_] + dr, 0, height - 1)
        c = np.clip(columns[open_] + dc, 0, width - 1)
        same = surface[r, c] == wanted[open_]
        result[open_[same]] = light[r[same], c[same]]
        found[open_[same]] = True
    return result, found


def _line(surfaces: Ints, bodies: Ints) -> Floats:
    """How much of a line runs through each pixel, 0 to 1: the share of opposite samples that show two surfaces.

    A line between two bodies counts whole, one between two surfaces of one body half.
    """
    other_surface = surfaces[:, :8] != surfaces[:, :7:-1]
    other_body = bodies[:, :8] != bodies[:, :7:-1]
    result: Floats = ((other_surface.astype(np.float32) + other_body) / 2).mean(axis=1)
    return result


def _linear(colour: str) -> tuple[float, float, float]:
    """Linear parts of an sRGB colour #rrggbb (IEC 61966-2-1)."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return red, green, blue


def _tone(colour: Floats) -> Picture:
    """Linear light to sRGB bytes (IEC 61966-2-1)."""
    light = np.clip(colour, 0, 1)
    encoded = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** np.float32(1 / 2.4) - 0.055)
    return (encoded * 255 + 0.5).astype(np.uint8)
