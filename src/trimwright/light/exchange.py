"""How much light each patch gives each other one, counted from rays.

A_i F_ij is the area of patch i times the part of its light that goes to patch j; it is the same both ways. Each ray
from i to j and each from j to i tells of the same number: with n rays in all, and r = rays per area, the likeliest
value is A_i F_ij = (n_ij + n_ji) / (r_i + r_j). In a closed room a row sums to the patch's area. The counts are
adjusted to that as readings of a survey are, by least squares, so that no light is lost or made: the energy balance
then closes for any reflectances.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from trimwright.light.enclosure import Enclosure, Floats, Ints

__all__ = ["Exchange", "exchange"]

ROUNDS, STEPS, SMALL = 2, 60, 1e-10
"""Rounds of adjustment, steps of each at most, and the part of the squared miss at which one is done."""

LEAST = 0.05
"""No count is adjusted to less than this part of itself."""

BURIED = 0.02
"""A patch of which less than this part is free is taken as buried."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Exchange:
    """`area`: what is free of each patch, mm²; `shared`: A_i F_ij, symmetric; `lost`: part of rays that met nothing.

    `closure` is the mean relative miss of a row sum before the adjustment: how coarse the counting was.
    """

    area: Floats
    shared: Floats
    lost: float
    closure: float

    @cached_property
    def _whole(self) -> Floats:
        """What each row is a part of: the patch's area, or 1 for one that is buried."""
        return np.where(self.area > 0, np.maximum(self.area, self.shared.sum(axis=1)), 1.0)

    def factors(self) -> Floats:
        """View factors F_ij; a buried patch has a row of zeros."""
        return np.asarray(self.shared / self._whole[:, None])

    def arriving(self, radiosity: Floats) -> Floats:
        """Light that arrives at each patch, lx, from all of a radiosity, lm/m²."""
        return np.asarray(self.shared @ radiosity / self._whole)


def exchange(space: Enclosure, rays: int, rays_lit: int | None = None) -> Exchange:
    """Casts `rays` from each patch, `rays_lit` from each that shines by itself, and counts where they go."""
    sent = np.where(space.exitance > 0, rays_lit or rays, rays)
    origins, ways, patch = space.starts(sent)
    met = space.hit(origins, ways)
    whole = np.bincount(space.owner, space.areas, space.count)
    density = sent / whole
    arrived = np.bincount(patch[met >= 0], minlength=space.count).astype(float)
    free = np.where(arrived < BURIED * sent, 0.0, arrived / sent)
    shared = _counted(patch, np.where(free[met] > 0, met, -1), density, free)
    free[shared.sum(axis=1) == 0] = 0.0
    area = np.asarray(whole * free, float)
    adjusted, closure = _closed(shared, area)
    return Exchange(area=area, shared=adjusted, lost=_lost(arrived, sent, free), closure=closure)


def _counted(patch: Ints, met: Ints, density: Floats, free: Floats) -> Floats:
    """A_i F_ij from the rays between patches that are free: each ray is worth one over the density of both ways."""
    good = (met >= 0) & (free[patch] > 0)
    one, other = patch[good], met[good]
    count = len(density)
    ways = np.concatenate([one * count + other, other * count + one])
    worth = 1 / (density[one] + density[other])
    return np.asarray(np.bincount(ways, np.concatenate([worth, worth]), count**2).reshape(count, count), float)


def _lost(arrived: Floats, sent: Ints, free: Floats) -> float:
    """Part of the rays from nearly free patches that met nothing: cracks between surfaces."""
    open_ = free > 0.9
    return float(1 - arrived[open_].sum() / max(1, sent[open_].sum()))


def _closed(shared: Floats, area: Floats) -> tuple[Floats, float]:
    """Adjust the counts, in place, by least squares so that rows sum to areas; also the mean miss before.

    The variance of a count is the count, so the adjustment with the least sum of (change)² / count is wanted. It has
    the form shared * (1 + a_i + a_j), where (diag(row sums) + shared) a = area - row sums. Further rounds mend what was
    held back to keep all positive.
    """
    off = 0.0
    for turn in range(ROUNDS):
        rows = shared.sum(axis=1)
        miss = area - rows
        if turn == 0:
            off = float(np.abs(miss).sum() / area.sum())
        part = _conjugate(shared, rows, miss)
        for row, own in zip(shared, part, strict=True):
            row *= np.maximum(1 + own + part, LEAST)
    return shared, off


def _conjugate(shared: Floats, rows: Floats, wanted: Floats) -> Floats:
    """Solution of (diag(rows) + shared) a = wanted by conjugate gradients, each row measured by its own sum."""
    live = rows > 0
    scale = np.where(live, 1 / np.sqrt(np.where(live, rows, 1.0)), 0.0)
    answer = np.zeros_like(wanted)
    rest = scale * wanted
    way, size = rest, float(rest @ rest)
    first = size
    for _ in range(STEPS):
        if size <= SMALL * first:
            break
        along = way + scale * (shared @ (scale * way))
        step = size / float(way @ along)
        answer += step * way
        rest = rest - step * along
        size, before = float(rest @ rest), size
        way = rest + size / before * way
    return scale * answer
