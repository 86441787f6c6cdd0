"""What a viewer or a picture needs of a thing in the room: its triangles, its colour and what it is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

__all__ = ["Body", "Kind"]


class Kind(StrEnum):
    """What a body is: a piece of trim, a surface of the room, or a thing on a wall."""

    TRIM = "trim"
    WALL = "wall"
    FLOOR = "floor"
    CEILING = "ceiling"
    OPENING = "opening"
    PIPE = "pipe"
    FITTING = "fitting"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Body:
    """Triangles in room coordinates (x and y of the plan, z the height, mm), wound anticlockwise seen from outside.

    `colour` is #rrggbb. `trim` and `piece` name what a body of kind trim is part of; else they are empty.
    `inward` is the unit direction into the room from a wall, floor or ceiling and from what hangs in a wall; (0, 0, 0)
    for what stands free. A view into the room from outside leaves out what faces the other way. Of a curved wall and
    what hangs in it that is the direction in the middle; elsewhere it turns about `centre`, a point in plan.
    """

    name: str
    vertices: npt.NDArray[np.float64]
    faces: npt.NDArray[np.int32]
    colour: str
    kind: Kind
    trim: str = ""
    piece: str = ""
    inward: tuple[float, float, float] = (0.0, 0.0, 0.0)
    centre: tuple[float, float] | None = None

    def inward_at(self, places: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        """The way into the room at each of some places (n, 3)."""
        if self.centre is None:
            return np.broadcast_to(np.array(self.inward), places.shape)
        ways = np.zeros_like(places)
        ways[:, :2] = np.array(self.centre) - places[:, :2]
        ways /= np.maximum(np.linalg.norm(ways, axis=1), 1e-9)[:, None]
        towards = ways.mean(axis=0) @ np.array(self.inward) > 0
        return ways if towards else -ways
