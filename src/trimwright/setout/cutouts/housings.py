"""Housings: what is cut out of the back of a trim so that a fitting is let in, where the room file says so."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from trimwright.frame import AnyFrame, Bend
from trimwright.profile.outline import Outline
from trimwright.room import Fitting, Room, WallPoint, segments_within
from trimwright.setout.footprint import footprints
from trimwright.setout.piece import Housing, Piece
from trimwright.setout.plan_shapes import bite
from trimwright.setout.seen_from import judged_in, level_of, local, opening, out_at
from trimwright.tolerance import FOLLOWED, OVERCUT, TOUCH, WEB

__all__ = ["housings_for", "not_let_in"]

BESIDE = 1e-4
"""Just above and just below a height, mm: a face may step there."""

GapWanted = Callable[[Fitting], float]


@dataclass(frozen=True, slots=True)
class _Box:
    """A fitting with its gap, in the frame of its wall."""

    low: float
    high: float
    bottom: float
    top: float
    back: float
    out: float

    def places(self, stations: list[float]) -> list[WallPoint]:
        """The lower and the upper edge of its front at some stations."""
        return [(s, self.out, h) for s in stations for h in (self.bottom, self.top)]


def housings_for(piece: Piece, room: Room, gap: GapWanted) -> tuple[Housing, ...]:
    """The housings of a piece, for the fittings that may be let into its trim and are in its way.

    None where it would break the face or leave a web thinner than `tolerance.WEB` there: `not_let_in` tells that.
    """
    return tuple(
        _housing(piece, fitting, room.walls[fitting.wall].frame, box, stations, room)
        for fitting, box, stations in _met(piece, room, gap)
        if _web(piece, fitting, box, stations, room) >= WEB
    )


def not_let_in(piece: Piece, room: Room, gap: GapWanted) -> Iterator[str]:
    """A sentence for each fitting that cannot be let into a piece as the room file asks."""
    for fitting, box, stations in _met(piece, room, gap):
        web = _web(piece, fitting, box, stations, room)
        if web < WEB:
            left = f"leave a web of {web:.1f} before it, and {WEB:g} is the least" if web > 0 else "break its face"
            yield (
                f"{piece.trim.name} on {room.walls[piece.wall].name}: {fitting.name} is not let in, since that would"
                f" {left}"
            )


def _met(piece: Piece, room: Room, gap: GapWanted) -> Iterator[tuple[Fitting, _Box, list[float]]]:
    """The fittings that lie in a piece, grown by their gaps, and stations of theirs at which they do."""
    for fitting in room.fittings:
        if piece.trim.name in fitting.let_in:
            frame = room.walls[fitting.wall].frame
            box = _box(fitting, gap(fitting), frame)
            stations = sorted({s for ends in _lengths(box, frame) if _lies_in(piece, box, ends, frame) for s in ends})
            if stations:
                yield fitting, box, _clipped(piece, stations, frame)


def _box(fitting: Fitting, gap: float, frame: AnyFrame) -> _Box:
    radius = (fitting.right - fitting.left) / 2 if fitting.round else 0.0
    middle = (fitting.back + fitting.out) / 2
    # Before a wall that bows out a mm of its face is less than one.
    beside = gap / min(1.0, frame.scale(fitting.out))
    return _Box(
        fitting.left - beside,
        fitting.right + beside,
        fitting.bottom - gap,
        fitting.top + gap,
        max(0.0, min(fitting.back, middle - radius) - gap),
        max(fitting.out, middle + radius) + gap,
    )


def _lengths(box: _Box, frame: AnyFrame) -> Iterator[tuple[float, float]]:
    """Stations between which it is straight, or nearly."""
    count = segments_within(frame, box.high - box.low, FOLLOWED, box.out) if isinstance(frame, Bend) else 1
    yield from pairwise(box.low + (box.high - box.low) * k / count for k in range(count + 1))


def _lies_in(piece: Piece, box: _Box, ends: tuple[float, float], frame: AnyFrame) -> bool:
    """True if a length of a box and the piece, at the heights of the box, overlap in plan."""
    plan = [frame.plan(s, out) for s, out in zip((*ends, *ends[::-1]), (box.back,) * 2 + (box.out,) * 2, strict=True)]
    seen = [local(piece, frame, place) for place in box.places(_clipped(piece, list(ends), frame))]
    levels = [level_of(piece.incline, station, height) for station, _, height in seen]
    outs = _outs(piece.trim.outline, min(levels), max(levels))
    return outs is not None and any(bite(part, plan) > TOUCH for part in footprints(piece, outs))


def _clipped(piece: Piece, stations: list[float], frame: AnyFrame) -> list[float]:
    """Stations kept within the piece if they are counted along it, else those that lie along it, if any do."""
    low, high = piece.extent
    if frame == piece.frame:
        return [min(high, max(low, s)) for s in stations]
    return [s for s in stations if low <= local(piece, frame, (s, 0.0, 0.0))[0] <= high] or stations


def _outs(outline: Outline, low: float, high: float) -> tuple[float, float] | None:
    """How near the wall and how far out the section lies between two heights; None if it is not there."""
    points = outline.points()
    found: list[float] = []
    for (o0, h0), (o1, h1) in pairwise([*points, points[0]]):
        first, last = max(low, min(h0, h1)), min(high, max(h0, h1))
        if first < last:
            found += [o0 + (o1 - o0) * (h - h0) / (h1 - h0) for h in (first, last)]
    return (min(found), max(found)) if found else None


def _web(piece: Piece, fitting: Fitting, box: _Box, stations: list[float], room: Room) -> float:
    """What is left before a box at the least, mm; less than nothing where it comes through the face."""
    judged = judged_in(piece, fitting.wall, room)
    seen = [judged(place) for place in box.places(stations)]
    levels = [level for _, level in seen]
    return _face(piece.trim.outline, min(levels), max(levels)) - max(out for out, _ in seen)


def _face(outline: Outline, low: float, high: float) -> float:
    """The least distance out of the face between two heights."""
    _, bottom, _, top = outline.bounds
    low, high = max(low, bottom), min(high, top)
    steps = [h for _, h in outline.points() if low < h < high]
    heights = [low + BESIDE, high - BESIDE, *(h + side for h in steps for side in (-BESIDE, BESIDE))]
    return min(out_at(outline, h) for h in heights)


def _housing(piece: Piece, fitting: Fitting, frame: AnyFrame, box: _Box, stations: list[float], room: Room) -> Housing:
    """The box carried to the wall; what would be left thin above or below it is taken off to the edge."""
    for wider in _to_the_edges(piece, box):
        if _web(piece, fitting, wider, stations, room) >= WEB:
            box = wider
            break
    front = [(s, box.out, box.bottom) for s in stations]
    (first, last), open_to = _reached(piece, frame, box), opening(piece, frame, front)
    return Housing(
        fitting=fitting.name,
        frame=frame,
        low=box.low,
        high=box.high,
        bottom=box.bottom,
        top=box.top,
        out=box.out,
        station=(first + last) / 2,
        width=last - first,
        depth=open_to[1],
        opens=open_to[0],
    )


def _to_the_edges(piece: Piece, box: _Box) -> Iterator[_Box]:
    """The box opened to the lower and to the upper edge of the section where less than a web is left there."""
    _, bottom, _, top = piece.trim.edges
    lower = min(piece.height(s, bottom) for s in piece.extent)
    upper = max(piece.height(s, top) for s in piece.extent)
    down = replace(box, bottom=min(box.bottom, lower - OVERCUT)) if box.bottom - lower < WEB else box
    yield replace(down, top=max(box.top, upper + OVERCUT)) if upper - box.top < WEB else down
    yield down
    yield replace(box, top=max(box.top, upper + OVERCUT)) if upper - box.top < WEB else box


def _reached(piece: Piece, frame: AnyFrame, box: _Box) -> tuple[float, float]:
    """Between which stations of the piece the box lies."""
    low, high = piece.extent
    seen = [local(piece, frame, (s, out, 0.0))[0] for s in (box.low, box.high) for out in (0.0, box.out)]
    return max(low, min(seen)), min(high, max(seen))
