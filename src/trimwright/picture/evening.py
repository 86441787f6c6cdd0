"""The room in the evening with its light on: the solved radiosity as a picture, exposed as said, coloured as it is."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trimwright.light.enclosure import Enclosure
from trimwright.light.gather import illuminance
from trimwright.light.radiosity import Solution
from trimwright.light.trim_faces import Lamp
from trimwright.mesh.body import Body, Kind
from trimwright.picture.camera import Floats, View
from trimwright.picture.draw import SIZE, Shine, draw, png

__all__ = ["ADAPTED", "evening", "exposed_for", "tint"]

ADAPTED = 3800.0
"""Colour temperature, K, shown as white: the eye adapts most of the way from day to lamp light. By judgement."""

GAIN = 1.5
"""Where the illuminance is what the picture is exposed for, a white surface is shown at GAIN / (1 + GAIN) of white."""


def evening(
    bodies: Sequence[Body],
    view: View,
    space: Enclosure,
    light: Solution,
    lamps: Sequence[Lamp],
    kelvin: float,
    size: tuple[int, int] = SIZE,
) -> bytes:
    """The PNG of a view by the light of the lamps alone, exposed for `exposed_for(space, light)`."""
    reference = exposed_for(space, light)

    def at(points: Floats, normals: Floats) -> Floats:
        lux = illuminance(space, light, lamps, points.astype(float), normals.astype(float))
        result = np.zeros((len(points), 2), np.float32)
        result[:, 0] = shown(lux / reference)
        return result

    colour = np.array(tint(kelvin), np.float32)
    all_bodies = [*bodies, _diffusers(lamps)]
    shine = Shine(at=at, tints=(colour, np.zeros(3, np.float32)), lamps=frozenset({len(bodies)}))
    return png(draw(all_bodies, view, size, shine))


def exposed_for(space: Enclosure, light: Solution) -> float:
    """The illuminance in lx that is shown as a middle tone: half of all walls and ceiling have less."""
    area = np.bincount(space.owner, space.areas, space.count)
    wide = np.array([surface in ("wall", "ceiling") for surface in space.surface])
    lux, order = light.irradiance[wide], np.argsort(light.irradiance[wide])
    below = np.cumsum(area[wide][order])
    return float(lux[order][np.searchsorted(below, below[-1] / 2)])


def shown(relative: NDArray[np.float64]) -> Floats:
    """Brightness on the screen, 0 to 1, of an illuminance relative to the one exposed for: it never burns out.

    x / (1 + x), the simplest of the global operators of Reinhard and others, "Photographic tone reproduction for
    digital images", 2002; from memory.
    """
    brightness = GAIN * np.maximum(0.0, relative)
    return np.asarray(brightness / (1 + brightness), np.float32)


def tint(kelvin: float) -> tuple[float, float, float]:
    """Linear sRGB of a lamp of a colour temperature, its largest part 1, as an eye adapted to `ADAPTED` sees it."""
    lamp, white = (np.array(_black_body(k)) for k in (kelvin, ADAPTED))
    seen = lamp / white
    red, green, blue = seen / seen.max()
    return float(red), float(green), float(blue)


def _black_body(kelvin: float) -> tuple[float, float, float]:
    """Linear sRGB (IEC 61966-2-1) of a black body, Y = 1.

    Chromaticity by the cubic fits of Kim and others (US patent 7024034, 2006; from memory), 1667 to 25000 K.
    """
    t = 1000 / kelvin
    if kelvin <= 4000:
        x = -0.2661239 * t**3 - 0.2343589 * t**2 + 0.8776956 * t + 0.179910
    else:
        x = -3.0258469 * t**3 + 2.1070379 * t**2 + 0.2226347 * t + 0.240390
    if kelvin <= 2222:
        y = -1.1063814 * x**3 - 1.34811020 * x**2 + 2.18555832 * x - 0.20219683
    elif kelvin <= 4000:
        y = -0.9549476 * x**3 - 1.37418593 * x**2 + 2.09137015 * x - 0.16748867
    else:
        y = 3.0817580 * x**3 - 5.87338670 * x**2 + 3.75112997 * x - 0.37001483
    across, up = x / y, (1 - x - y) / y
    return (
        max(0.0, 3.2406 * across - 1.5372 - 0.4986 * up),
        max(0.0, -0.9689 * across + 1.8758 + 0.0415 * up),
        max(0.0, 0.0557 * across - 0.2040 + 1.0570 * up),
    )


def _diffusers(lamps: Sequence[Lamp]) -> Body:
    """All mouths as one body that shines."""
    vertices = np.concatenate([lamp.corners for lamp in lamps])
    halves = np.array([[0, 1, 2], [0, 2, 3]], np.int32)
    faces = (4 * np.arange(len(lamps), dtype=np.int32)[:, None, None] + halves).reshape(-1, 3)
    return Body(name="light", vertices=vertices, faces=faces, colour="#ffffff", kind=Kind.FITTING)
