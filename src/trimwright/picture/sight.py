"""What is seen at each pixel: rays are cast where an edge may run, and between edges one stands for many."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
import numpy.typing as npt

from trimwright.picture.camera import Floats, View, on_film, rays
from trimwright.picture.scene import Ints, Scene

__all__ = ["cast", "seen_triangles"]

CELL = 4
"""Side of the squares of pixels that are looked at together."""

MARGIN = 2
"""Cells round the picture in which edges are still followed."""

NEAR = 1.0
"""Edges nearer to the eye than this, mm along the way it faces, do not show."""

Value = TypeVar("Value", bound=np.generic)
Flags = npt.NDArray[np.bool_]


def cast(scene: Scene, view: View, size: tuple[int, int], columns: Floats, rows: Floats) -> Ints:
    """Index of the triangle seen through each picture point, -1 for none."""
    directions = rays(view, size, columns, rows)
    return scene.hit(np.broadcast_to(np.array(view.eye, np.float32), directions.shape), directions)


def seen_triangles(scene: Scene, view: View, size: tuple[int, int]) -> Ints:
    """Index of the triangle in the middle of each pixel, (height, width), -1 for none.

    A cell that no edge of a triangle passes, and whose corners all show one triangle, shows it all over: where two
    that cut each other meet, the line between them is straight and parts the corners.
    """
    width, height = size
    down, across = -(-height // CELL), -(-width // CELL)
    at_rows, at_columns = np.mgrid[0 : down + 1, 0 : across + 1].reshape(2, -1).astype(np.float32) * CELL + 0.5
    corner = cast(scene, view, size, at_columns, at_rows).reshape(down + 1, across + 1)
    first = corner[:-1, :-1]
    alike = (first == corner[1:, :-1]) & (first == corner[:-1, 1:]) & (first == corner[1:, 1:])
    result = _enlarged(first)[:height, :width]
    at = np.nonzero(_enlarged(~alike | _crossed(scene, view, size))[:height, :width])
    result[at] = cast(scene, view, size, *(k.astype(np.float32) + np.float32(0.5) for k in at[::-1]))
    return result


def _enlarged(cells: npt.NDArray[Value]) -> npt.NDArray[Value]:
    """Each cell as its pixels."""
    return np.repeat(np.repeat(cells, CELL, axis=0), CELL, axis=1)


def _crossed(scene: Scene, view: View, size: tuple[int, int]) -> Flags:
    """Cells that an edge of a triangle may pass, seen or hidden: those around places on it at most a cell apart."""
    width, height = size
    begin, end = _in_picture(on_film(view, size, scene.edges[:, 0]), on_film(view, size, scene.edges[:, 1]), size)
    # In cells, counted from the corner of the margin.
    start, way = begin / CELL + MARGIN, (end - begin) / CELL
    parts = np.ceil(np.abs(way).max(axis=1, initial=0)).astype(np.intp) + 1
    edge = np.repeat(np.arange(len(parts)), parts + 1)
    step = np.arange(len(edge)) - np.repeat(np.cumsum(parts + 1) - (parts + 1), parts + 1)
    columns, rows = (start.take(edge, axis=0) + way.take(edge, axis=0) * (step / parts.take(edge))[:, None]).T
    passed = np.zeros((-(-height // CELL) + 2 * MARGIN + 1, -(-width // CELL) + 2 * MARGIN + 1), bool)
    passed[rows.astype(np.intp), columns.astype(np.intp)] = True
    for axis in (0, 1):
        passed |= np.roll(passed, 1, axis) | np.roll(passed, -1, axis)
    return passed[MARGIN : -MARGIN - 1, MARGIN : -MARGIN - 1]


def _in_picture(begin: Floats, end: Floats, size: tuple[int, int]) -> tuple[Floats, Floats]:
    """Lines between points on the film as far as they run in the picture or its margin, their ends as picture points.

    They are cut while their points are still multiplied by their depth (see `on_film`), since one end may lie behind
    the eye.
    """
    (width, height), beyond = size, MARGIN * CELL
    planes = np.array(
        [(1, 0, beyond), (-1, 0, width + beyond), (0, 1, beyond), (0, -1, height + beyond), (0, 0, 1)], np.float64
    )
    one, other = (points @ planes.T - [0, 0, 0, 0, NEAR] for points in (begin, end))
    with np.errstate(divide="ignore", invalid="ignore"):
        at = one / (one - other)
    enter = np.where(one < 0, np.where(other >= 0, at, 2), 0).max(axis=1)
    leave = np.where(other < 0, np.where(one >= 0, at, -1), 1).min(axis=1)
    inside = enter < leave
    begin, way, enter, leave = (k[inside] for k in (begin, end - begin, enter[:, None], leave[:, None]))
    first, last = begin + enter * way, begin + leave * way
    return first[:, :2] / first[:, 2:], last[:, :2] / last[:, 2:]
