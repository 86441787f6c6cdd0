"""Light carried from the points where it was gathered to others on the same surface."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trimwright.picture.camera import Floats
from trimwright.picture.scene import Indices, Ints

__all__ = ["borrow", "fill_in"]

STEP = 16
"""Light is gathered at every sixteenth pixel each way, and the net is then halved until every pixel has its light."""

CONTRAST = 0.18
"""Two points agree whose light differs by no more than this over the pixels from them to the one between: the further
off they are the more alike they must be, since more may lie between them."""

FINE = 4
"""From neighbours this near, in pixels, one pair is enough: it will lie along the edge or the shadow."""

SLANTED, SQUARE = ((1, 1), (1, -1)), ((0, 1), (1, 0))
"""Ways, down and across, to one of each pair of opposite neighbours."""

Flags = npt.NDArray[np.bool_]
Place = tuple[slice | Indices, slice | Indices]


def fill_in(surface: Ints, light_at: Callable[[Indices, Indices], Floats]) -> Floats:
    """Light of every pixel that shows a surface, (height, width, 2), from `light_at(rows, columns)` where needed.

    As the net is halved, each new point lies in the middle between points whose light is known. It takes the mean of
    those that lie opposite each other, on its own surface, and agree; where they do not, light is gathered for it.
    """
    net = _Net(surface, light_at)
    net.gather(net.seen(net.lattice(0, 0, STEP)))
    step = STEP
    while step > 1:
        half = step // 2
        near = half <= FINE
        left = net.carry(net.lattice(half, half, step), SLANTED, half, near)
        if near:
            # An edge leaves a row of them; every second will do, since the others lie between those along the edge.
            first, second = left.by_turns(step)
            net.gather(first)
            left = net.carry(second, SQUARE, step, near)
        net.gather(left)
        for row, column in ((0, half), (half, 0)):
            net.gather(net.carry(net.lattice(row, column, step), SQUARE, half, near))
        step = half
    return net.filled()


@dataclass(frozen=True, slots=True)
class _Points:
    """Single pixels of a net."""

    rows: Indices
    columns: Indices

    def at(self, down: int, across: int) -> Place:
        """Where their neighbours so far away lie."""
        return self.rows + down, self.columns + across

    def points(self, which: Flags) -> _Points:
        """Those of them that are chosen."""
        return _Points(self.rows[which], self.columns[which])

    def by_turns(self, step: int) -> tuple[_Points, _Points]:
        """The black and the white fields of a chessboard of such a step."""
        white = (self.rows // step + self.columns // step) % 2 == 0
        return self.points(white), self.points(~white)


@dataclass(frozen=True, slots=True)
class _Lattice:
    """Every so manieth pixel each way of the part of a net that is seen."""

    rows: range
    columns: range

    def at(self, down: int, across: int) -> Place:
        """Where their neighbours so far away lie."""
        return _moved(self.rows, down), _moved(self.columns, across)

    def points(self, which: Flags) -> _Points:
        """Those of them that are chosen."""
        rows, columns = np.nonzero(which)
        return _Points(self.rows.start + self.rows.step * rows, self.columns.start + self.columns.step * columns)


def _moved(places: range, by: int) -> slice:
    return slice(places.start + by, places.stop + by, places.step)


class _Net:
    """The picture with a margin of a step all round in which nothing is seen, and the light known so far."""

    def __init__(self, surface: Ints, light_at: Callable[[Indices, Indices], Floats]) -> None:
        self._surface = np.pad(surface, STEP, constant_values=-1)
        self._light = np.zeros((2, *self._surface.shape), np.float32)
        self._light_at = light_at

    def lattice(self, row: int, column: int, step: int) -> _Lattice:
        """Every pixel that lies so many steps from the first one at a row and a column."""
        height, width = self._surface.shape
        return _Lattice(range(STEP + row, height - STEP, step), range(STEP + column, width - STEP, step))

    def seen(self, lattice: _Lattice) -> _Points:
        """The pixels of a lattice that show a surface."""
        return lattice.points(self._surface[lattice.at(0, 0)] >= 0)

    def gather(self, pixels: _Points) -> None:
        """Light of pixels from the scene."""
        self._light[:, pixels.rows, pixels.columns] = self._light_at(pixels.rows - STEP, pixels.columns - STEP).T

    def carry(self, pixels: _Points | _Lattice, ways: Sequence[tuple[int, int]], reach: int, near: bool) -> _Points:
        """Light of pixels from neighbours so far away: of near ones a pair must agree, else all; returns the rest."""
        own = self._surface[pixels.at(0, 0)]
        (one, one_agrees), (two, two_agrees) = (self._between(own, pixels, way, reach) for way in ways)
        both = one_agrees & two_agrees
        known = one_agrees | two_agrees if near else both & (np.abs((one - two).sum(axis=0)) <= CONTRAST / reach)
        value = np.where(both, (one + two) / 2, np.where(one_agrees, one, two))
        self._light[(slice(None), *pixels.at(0, 0))] = value * known
        return pixels.points((own >= 0) & ~known)

    def _between(self, own: Ints, pixels: _Points | _Lattice, way: tuple[int, int], reach: int) -> tuple[Floats, Flags]:
        """Mean light of two opposite neighbours, and where both lie on the pixel's own surface and agree."""
        down, across = (k * reach for k in way)
        here, there = pixels.at(down, across), pixels.at(-down, -across)
        one, other = self._light[(slice(None), *here)], self._light[(slice(None), *there)]
        agree: Flags = np.abs((one - other).sum(axis=0)) <= CONTRAST / reach
        agree &= (self._surface[here] == own) & (self._surface[there] == own)
        return np.asarray((one + other) / 2, np.float32), agree

    def filled(self) -> Floats:
        """The light of the picture, (height, width, 2)."""
        first, second = self._light[:, STEP:-STEP, STEP:-STEP]
        return np.stack([first, second], axis=-1)


def borrow(surface: Ints, light: Floats, rows: Indices, columns: Indices, wanted: Ints) -> tuple[Floats, Flags]:
    """Light for samples near pixels, taken from the nearest pixel around that shows the wanted surface."""
    height, width = surface.shape
    lender = np.full(len(rows), -1, np.intp)
    steps = sorted(((dr, dc) for dr in (-1, 0, 1) for dc in (-1, 0, 1)), key=lambda s: abs(s[0]) + abs(s[1]))
    open_ = np.arange(len(rows))
    for down, across in steps:
        at = np.clip(rows[open_] + down, 0, height - 1) * width + np.clip(columns[open_] + across, 0, width - 1)
        same = surface.take(at) == wanted[open_]
        lender[open_[same]] = at[same]
        open_ = open_[~same]
    result: Floats = light.reshape(-1, 2).take(lender, axis=0)
    result[open_] = 0
    return result, lender >= 0
