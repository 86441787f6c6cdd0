"""Ceilings as they are: how far out of level, plane or not, and the gap that a trim leaves under them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trimwright.room import Room
from trimwright.setout.inclines import incline_on
from trimwright.setout.piece import SetOut, Trim
from trimwright.tolerance import SCRIBED

__all__ = [
    "SEEN",
    "CeilingPlane",
    "Gap",
    "Strip",
    "best_plane",
    "ceiling_words",
    "gaps",
    "strips",
    "to_fill",
]

AT_CEILING = 1.0
"""A trim whose top is placed within this of the ceiling's lowest point (mm) is meant to touch it all along."""

SEEN = 0.05
"""Gaps from this on (mm) are told."""

PLANE = 1.0
"""Readings within this of one plane (mm) make a plane ceiling."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CeilingPlane:
    """The plane that fits all ceiling readings best (least squares), and how far the worst one lies off it.

    `fall` is in mm per metre, downhill towards `direction` degrees anticlockwise from wall 1.
    """

    fall: float
    direction: float
    off: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Ceiling height less the top of a trim at a station of a wall, mm; `corner` numbers it from 1, 0 between.

    `open`: the trim is meant to touch the ceiling there and does not, so the gap is filled or scribed.
    """

    trim: str
    wall: int
    station: float
    corner: int
    gap: float
    open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """The gap over a trim at the ceiling, all along a wall: (station, gap) from corner to corner."""

    trim: Trim
    wall: int
    points: tuple[tuple[float, float], ...]

    @property
    def widest(self) -> float:
        """The largest gap."""
        return max(gap for _, gap in self.points)

    @property
    def scribed(self) -> bool:
        """Wide enough for a strip scribed to the ceiling; what is not is filled."""
        return self.widest >= SCRIBED


def best_plane(room: Room) -> CeilingPlane | None:
    """The plane through the ceiling readings; None with fewer than four of them, or if all are the same."""
    import numpy as np

    last = None if room.closed else len(room.walls) - 1  # whose right end is nobody's left end
    readings = [
        (*wall.frame.plan(station), height)
        for wall in room.walls
        for station, height in room.ceiling_line(wall.index)[: None if wall.index == last else -1]
    ]
    heights = {height for _, _, height in readings}
    if len(readings) < 4 or len(heights) == 1:
        return None
    points = np.array(readings)
    centred = points - points.mean(axis=0)
    slopes, *_ = np.linalg.lstsq(centred[:, :2], centred[:, 2], rcond=None)
    off = np.abs(centred[:, 2] - centred[:, :2] @ slopes).max()
    downhill = np.degrees(np.arctan2(-slopes[1], -slopes[0]))
    return CeilingPlane(fall=float(np.hypot(*slopes)) * 1000, direction=float(downhill), off=float(off))


def gaps(set_out: SetOut) -> tuple[Gap, ...]:
    """Gap between trim and ceiling at every corner and every reading between, along each wall that a trim covers.

    For a rail this is its margin under the ceiling; for a trim at the ceiling what is filled or scribed.
    """
    return tuple(
        gap for trim in set_out.trims for wall in trim.walls for gap in _along(set_out, trim, wall) if set_out.pieces
    )


def _along(set_out: SetOut, trim: Trim, wall: int) -> list[Gap]:
    room = set_out.room
    slope = incline_on(trim, room, wall)
    count = len(room.ceilings)
    points = room.ceiling_line(wall)
    numbers = [wall + 1, *(0 for _ in points[2:]), (wall + 1) % count + 1]
    found = []
    for (station, height), corner in zip(points, numbers, strict=True):
        top = trim.edges.top if slope is None else slope.height(station, trim.edges.top)
        gap = height - top
        touching = _at_ceiling(trim, room) and gap > SEEN
        found.append(Gap(trim=trim.name, wall=wall, station=station, corner=corner, gap=gap, open=touching))
    return found


def _at_ceiling(trim: Trim, room: Room) -> bool:
    return room.ceiling - trim.edges.top < AT_CEILING


def strips(set_out: SetOut, only: int | None = None) -> tuple[Strip, ...]:
    """The gaps over the trims at the ceiling, wall by wall or on one `only`, where there is one to see."""
    made = (
        Strip(trim=trim, wall=wall, points=tuple((g.station, g.gap) for g in _along(set_out, trim, wall)))
        for trim in set_out.trims
        if _at_ceiling(trim, set_out.room)
        for wall in sorted({piece.wall for piece in set_out.of_trim(trim) if only in (None, piece.wall)})
    )
    return tuple(strip for strip in made if strip.widest > SEEN)


def to_fill(found: Sequence[Gap]) -> tuple[Gap, ...]:
    """Those of trims at the ceiling, which someone will see unless they are filled or scribed."""
    return tuple(gap for gap in found if gap.open)


def ceiling_words(room: Room) -> tuple[str, ...]:
    """What a fitter should know of a ceiling that is not level; nothing of one that is."""
    plane = best_plane(room)
    heights = [h for wall in room.walls for _, h in room.ceiling_line(wall.index)]
    if max(heights) - min(heights) < SEEN:
        return ()
    said = [f"the ceiling is {max(heights) - min(heights):.1f} mm out of level ({min(heights):g} to {max(heights):g})"]
    if plane is not None:
        flat = "it is plane" if plane.off < PLANE else f"it is not plane, a reading lies {plane.off:.1f} mm off"
        said.append(f"it falls {plane.fall:.1f} mm a metre; {flat}")
    return tuple(said)
