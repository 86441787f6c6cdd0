"""Light thrown to and fro between surfaces until it is used up: B = M + rho F B, bounce by bounce."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trimwright.light.enclosure import Floats
from trimwright.light.exchange import Exchange

__all__ = ["Solution", "solve"]

LEFT = 1e-5
"""Bounces go on until less than this part of the light is still on its way."""

MOST = 400


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solution:
    """`radiosity` B (lm/m², all light that leaves a patch) and `irradiance` H (lx, all that arrives).

    `underway` is the part of the emitted light still on its way after each bounce; `balance` is the light absorbed
    over the light sent out, 1 if none was lost or made.
    """

    radiosity: Floats
    irradiance: Floats
    underway: tuple[float, ...]
    balance: float


def solve(gives: Exchange, reflectance: Floats, exitance: Floats) -> Solution:
    """Follow the light of patches that send out `exitance` (lm/m²) till `LEFT` of it is left."""
    own = np.where(gives.area > 0, exitance, 0.0)
    sent = float(gives.area @ own)
    moving, total = own, own.copy()
    underway: list[float] = []
    while sent > 0 and (not underway or underway[-1] > LEFT) and len(underway) < MOST:
        moving = reflectance * gives.arriving(moving)
        total += moving
        underway.append(float(gives.area @ moving) / sent)
    arriving = gives.arriving(total)
    absorbed = float((gives.area * (1 - reflectance)) @ arriving)
    return Solution(
        radiosity=total,
        irradiance=arriving,
        underway=tuple(underway),
        balance=absorbed / sent if sent else 1.0,
    )
