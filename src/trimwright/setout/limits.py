"""How large a job may be. What is certain to be larger is refused before any work is done on it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trimwright.errors import DoesNotFit
from trimwright.room import Room
from trimwright.setout.curved.facets import facet_points
from trimwright.setout.piece import Piece, Trim
from trimwright.tolerance import MOST_PIECES

__all__ = ["check_count", "check_expected"]


def check_expected(trims: Sequence[Trim], room: Room) -> None:
    """Raises DoesNotFit if walls and stock alone make more than `MOST_PIECES`."""
    least = sum(_least(trim, room, wall) for trim in trims for wall in trim.walls)
    if least > MOST_PIECES:
        raise _too_many(f"at least {least}")


def check_count(pieces: Sequence[Piece]) -> None:
    """Raises DoesNotFit for more than `MOST_PIECES`."""
    if len(pieces) > MOST_PIECES:
        raise _too_many(str(len(pieces)))


def _least(trim: Trim, room: Room, wall: int) -> int:
    """Pieces that a trim takes on a wall whatever is in its way: what openings and pipes leave free, by the stock.

    Along a curve, where nothing is in the way, the straight segments, of which neighbours may take the ends.
    """
    openings = [o for o in room.openings if o.wall == wall]
    pipes = [p for p in room.pipes if p.wall == wall]
    if not openings and not pipes and not trim.left_out and not trim.bent:
        bend = room.walls[wall].bend
        segments = len(facet_points(bend, 0.0, room.walls[wall].length, room.walls[wall].sagitta)) - 1 if bend else 1
        if not trim.stock or segments > 2:
            return max(1, segments - 2)
    longest = max((stock.length for stock in trim.stock), default=math.inf)
    taken = sum(o.right - o.left for o in openings) + sum(4 * p.diameter + 200 for p in pipes)
    return max(0, math.floor((room.walls[wall].length - taken) / longest))


def _too_many(count: str) -> DoesNotFit:
    return DoesNotFit(
        f"the trims would take {count} pieces; {MOST_PIECES} are the most one room file may ask for:"
        " give longer stock, or divide the file"
    )
