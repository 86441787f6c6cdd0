"""Where screws go through battens, channels and heavy trim: evenly, clear of slots and of joints in what is behind."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from trimwright.setout.piece import Piece, SetOut
from trimwright.stock.handling import screw_rows
from trimwright.stock.rates import Rates
from trimwright.tolerance import TOUCH

__all__ = ["Holes", "all_holes", "holes"]

SAME_FACE = 50.0
"""A joint that stands no farther in front of or behind a trim's back than this is under its screws."""


@dataclass(frozen=True, slots=True)
class Holes:
    """Holes of one piece, alike for each row: distances along its back from its left end, and stations on its wall.

    `own` are stations in the frame of the piece, which on a curved wall may be another than the wall's.
    """

    piece: Piece
    along: tuple[float, ...]
    stations: tuple[float, ...]
    own: tuple[float, ...]
    rows: int


def all_holes(set_out: SetOut, rates: Rates, but: Collection[str] = ()) -> tuple[Holes, ...]:
    """The holes of every piece that is screwed, clockwise by trim; not those of trims named in `but`."""
    found = []
    for piece in set_out.pieces:
        rows = screw_rows(piece.trim, rates)
        if rows and not piece.is_return and piece.trim.name not in but:
            found.append(holes(piece, rates["screws"], _joints_behind(set_out, piece), rows, set_out))
    return tuple(found)


def holes(piece: Piece, rate: Rates, joints: Sequence[float], rows: int, set_out: SetOut) -> Holes:
    """A hole near each end of the back, and between them no farther apart than the spacing.

    One that falls in a slot or over a joint is moved to the nearest clear place.
    """
    back = piece.trim.edges.back
    low, high = piece.left.at(back), piece.right.at(back)
    scale = piece.stretch * piece.frame.scale(back)
    zones = [(n.sides[0] - rate["clear"], n.sides[1] + rate["clear"]) for n in piece.notches]
    zones += [(j - rate["clear"], j + rate["clear"]) for j in joints]
    wanted = _even(low, high, rate["from_end"] / scale, rate["spacing"] / scale)
    placed = sorted({round(s, 1) for s in (_clear(s, low, high, zones) for s in wanted) if s is not None})
    wall = set_out.room.walls[piece.wall].frame
    return Holes(
        piece=piece,
        along=tuple((s - low) * scale for s in placed),
        stations=tuple(wall.locate(piece.frame.plan(s, back))[0] for s in placed),
        own=tuple(placed),
        rows=rows,
    )


def _even(low: float, high: float, from_end: float, spacing: float) -> list[float]:
    """Stations from end to end; one in the middle where there is no room for two."""
    first, last = low + from_end, high - from_end
    if last - first < from_end:
        return [(low + high) / 2]
    count = max(1, math.ceil((last - first) / spacing - TOUCH))
    return [first + k * (last - first) / count for k in range(count + 1)]


def _clear(station: float, low: float, high: float, zones: Sequence[tuple[float, float]]) -> float | None:
    """The place nearest to a station that lies in no zone; None if the piece has none."""
    edges = [edge for zone in zones for edge in zone]
    open_ = [s for s in [station, *edges] if low < s < high and all(not a < s < b for a, b in zones)]
    return min(open_, key=lambda s: abs(s - station), default=None)


def _joints_behind(set_out: SetOut, piece: Piece) -> list[float]:
    """Stations, in the piece's frame, of joints along the wall in trims that touch its back."""
    edges, found = piece.trim.edges, []
    for other in set_out.pieces:
        mine = other.trim.name == piece.trim.name
        apart = abs(other.trim.edges.front - edges.back)
        level = other.trim.edges.bottom < edges.top and other.trim.edges.top > edges.bottom
        if mine or other.wall != piece.wall or other.frame != piece.frame or apart > SAME_FACE or not level:
            continue
        found += [end.station for end in (other.left, other.right) if end.mate and end.corner is None]
    return found
