"""Where screws go through battens, channels and heavy trim: evenly, clear of slots and of joints in what is behind."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from trimwright.profile.outline import Point
from trimwright.setout.piece import Groove, Housing, Piece, SetOut
from trimwright.setout.seen_from import local
from trimwright.stock.handling import screw_rows
from trimwright.stock.rates import Rates
from trimwright.tolerance import TOUCH

__all__ = ["Holes", "all_holes", "holes"]

PAST = 10.0
"""A row passes what is cut out of the back by this at the least, above or below, mm. Common practice, no source."""

SHARES = 8
"""Parts of its share of the section at which a row may run."""

SAME_FACE = 50.0
"""A joint that stands no farther in front of or behind a trim's back than this is under its screws."""


@dataclass(frozen=True, slots=True)
class Holes:
    """Holes of one piece, alike for each row: distances along its back from its left end, and stations on its wall.

    `own` are stations in the frame of the piece, which on a curved wall may be another than the wall's; `levels` are
    the heights of the rows in the section as it was placed.
    """

    piece: Piece
    along: tuple[float, ...]
    stations: tuple[float, ...]
    own: tuple[float, ...]
    levels: tuple[float, ...]

    @property
    def rows(self) -> int:
        """How many rows there are."""
        return len(self.levels)


def all_holes(set_out: SetOut, rates: Rates, but: Collection[str] = ()) -> tuple[Holes, ...]:
    """The holes of every piece that is screwed, clockwise by trim; not those of trims named in `but`."""
    found = []
    on_wall: dict[int, list[Piece]] = {}
    for piece in set_out.pieces:
        on_wall.setdefault(piece.wall, []).append(piece)
    for piece in set_out.pieces:
        rows = screw_rows(piece.trim, rates)
        if rows and not piece.is_return and piece.trim.name not in but:
            found.append(holes(piece, rates["screws"], _joints_behind(on_wall[piece.wall], piece), rows, set_out))
    return tuple(found)


def holes(piece: Piece, rate: Rates, joints: Sequence[float], rows: int, set_out: SetOut) -> Holes:
    """A hole near each end of the back, and between them no farther apart than the spacing.

    One that falls in a slot or over a joint is moved to the nearest clear place; a row that would run into a pipe or a
    fitting let into the back is moved up or down.
    """
    back = piece.trim.edges.back
    low, high = piece.left.at(back), piece.right.at(back)
    scale = piece.stretch * piece.frame.scale(back)
    zones = [(n.sides[0] - rate["clear"], n.sides[1] + rate["clear"]) for n in piece.notches]
    zones += [(j - rate["clear"], j + rate["clear"]) for j in joints]
    levels = [_level(piece, row, rows, rate["clear"]) for row in range(rows)]
    zones += [span for level in levels for span in _hollow_at(piece, level, rate["clear"])]
    wanted = _even(low, high, rate["from_end"] / scale, rate["spacing"] / scale)
    placed = sorted({round(s, 1) for s in (_clear(s, low, high, zones) for s in wanted) if s is not None})
    wall = set_out.room.walls[piece.wall].frame
    return Holes(
        piece=piece,
        along=tuple((s - low) * scale for s in placed),
        stations=tuple(wall.locate(piece.frame.plan(s, back))[0] for s in placed),
        own=tuple(placed),
        levels=tuple(levels),
    )


def _level(piece: Piece, row: int, rows: int, clear: float) -> float:
    """The height of a row: spread evenly, or the nearest in its share of the section at which least is cut away."""
    _, bottom, _, top = piece.trim.edges
    even = bottom + (row + 1) * (top - bottom) / (rows + 1)
    if not piece.hollows:
        return even
    step = (top - bottom) / rows / SHARES
    shares = [bottom + row * (top - bottom) / rows + k * step for k in range(1, SHARES)]
    lost = {level: sum(b - a for a, b in _hollow_at(piece, level, clear)) for level in (even, *shares)}
    return min(lost, key=lambda level: (lost[level], abs(level - even)))


def _hollow_at(piece: Piece, level: float, clear: float) -> Iterator[tuple[float, float]]:
    """Stations between which a screw at a level of the section would come near what is let into the back."""
    for hollow in piece.hollows:
        for a, b, reach in _lines(piece, hollow):
            away = [h - piece.height(s, level) for s, h in (a, b)]
            near = reach + PAST
            parts = [0.0, 1.0]
            if abs(away[1] - away[0]) > TOUCH:
                parts = sorted(min(1.0, max(0.0, (n - away[0]) / (away[1] - away[0]))) for n in (-near, near))
            elif abs(away[0]) >= near:
                continue
            if parts[1] > parts[0]:
                stations = sorted(a[0] + (b[0] - a[0]) * part for part in parts)
                yield stations[0] - reach - clear, stations[1] + reach + clear


def _lines(piece: Piece, hollow: Groove | Housing) -> Iterator[tuple[Point, Point, float]]:
    """Lines, (station, height) in the frame of the piece, and the radius about them that holds what is cut away."""
    if isinstance(hollow, Groove):
        places, reach = hollow.axis, hollow.radius
    else:
        reach = (hollow.top - hollow.bottom) / 2
        middle = (hollow.top + hollow.bottom) / 2
        places = tuple((station, hollow.out, middle) for station in (hollow.low + reach, hollow.high - reach))
    seen = [(station, height) for station, _, height in (local(piece, hollow.frame, place) for place in places)]
    yield from ((a, b, reach) for a, b in pairwise(seen))


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


def _joints_behind(on_wall: Sequence[Piece], piece: Piece) -> list[float]:
    """Stations, in the piece's frame, of joints along its wall in trims that touch its back."""
    edges, found = piece.trim.edges, []
    for other in on_wall:
        mine = other.trim.name == piece.trim.name
        apart = abs(other.trim.edges.front - edges.back)
        level = other.trim.edges.bottom < edges.top and other.trim.edges.top > edges.bottom
        if mine or other.frame != piece.frame or apart > SAME_FACE or not level:
            continue
        found += [end.station for end in (other.left, other.right) if end.mate and end.corner is None]
    return found
