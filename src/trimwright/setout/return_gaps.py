"""Returns that end at a trim between them and the wall: where that is lower or shorter, a gap shows behind them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trimwright.room import Room
from trimwright.setout.piece import Joint, Piece
from trimwright.tolerance import EASED

__all__ = ["return_notes"]

Span = tuple[float, float]
"""Least and greatest height, or station."""


def return_notes(pieces: Sequence[Piece], room: Room) -> Iterator[str]:
    """A sentence for each gap behind a return that filler does not close: how wide it is, and from where to where."""
    written = room.units.written
    for piece in pieces:
        if not piece.is_return:
            continue
        off, stations = _inner_end(piece, room)
        if off <= EASED:
            continue
        behind = [other for other in pieces if _behind(other, piece, off, stations)]
        for low, high in _open(piece, behind):
            names = " and ".join(dict.fromkeys(other.trim.name for other in behind))
            ends_at = f"ends at {names} and stands" if names else "has nothing behind it and stands"
            instead = f", or end {names} before it with leave_out" if names else ""
            yield (
                f"{piece.trim.name} on {room.walls[piece.wall].name}: the return {piece.id} {ends_at} {written(off)}"
                f" off the wall from {written(low)} to {written(high)} high: scribe a strip in there{instead}"
            )


def _inner_end(piece: Piece, room: Room) -> tuple[float, Span]:
    """How far off the wall the end of a return stops, and the stations between which it stands there."""
    inner = piece.right if piece.left.joint is Joint.RETURN else piece.left
    back, _, front, _ = piece.trim.edges
    places = [room.walls[piece.wall].frame.locate(piece.frame.plan(inner.at(out), out)) for out in (back, front)]
    stations, outs = zip(*places, strict=True)
    return min(outs), (min(stations), max(stations))


def _behind(other: Piece, piece: Piece, off: float, stations: Span) -> bool:
    """True if another piece fills what is between the end of a return and the wall, at its own heights."""
    low, high = other.extent
    return (
        other.trim.name != piece.trim.name
        and other.wall == piece.wall
        and not other.is_return
        and abs(other.trim.edges.front - off) < EASED
        and low < stations[0] + EASED
        and high > stations[1] - EASED
    )


def _open(piece: Piece, behind: Sequence[Piece]) -> Iterator[Span]:
    """Spans of height of a return with nothing behind, wider than what is eased."""
    bottom, top = _heights(piece, piece)
    filled = sorted(_heights(other, piece) for other in behind)
    low = bottom
    for start, stop in (*filled, (top, top)):
        if min(start, top) - low > EASED:
            yield low, min(start, top)
        low = max(low, stop)


def _heights(piece: Piece, beside: Piece) -> Span:
    """Heights of the lower and the upper edge of a piece where a return stands."""
    station, _ = piece.frame.locate(beside.frame.plan(beside.left.at(beside.trim.edges.back), beside.trim.edges.back))
    return piece.height(station, piece.trim.edges.bottom), piece.height(station, piece.trim.edges.top)
