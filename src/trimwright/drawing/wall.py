"""The elevation of a wall as one faces it: x is the station from the left corner, y the height above the floor.

What is drawn is what is seen: the arrises of each piece between its ends, the joints in their true shape, pipes
and batten dashed where something stands before them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from trimwright.drawing.arrises import face, front_at, seen_arrises
from trimwright.drawing.cut_outline import cut_outlines
from trimwright.drawing.hole_marks import hole_marks
from trimwright.drawing.marks import Drawing, Fill, Group, Layer, Mark, Path, dot, polyline
from trimwright.drawing.spans import Span, split
from trimwright.drawing.wall_lettering import ceiling_line, wall_dimensions, wall_labels, wall_title
from trimwright.profile.outline import Line, Point
from trimwright.room import Fitting, Opening, Pipe, Wall
from trimwright.setout.curved.unroll import unrolled
from trimwright.setout.piece import End, Joint, Notch, Opens, Piece, SetOut, Side
from trimwright.stock.holes import Holes
from trimwright.tolerance import TOUCH

__all__ = ["PIECE_SHADE", "end_line", "wall_elevation", "wall_pieces"]

PIECE_SHADE = 0.93
FINEST = 0.8
"""Lines nearer to each other than this run together on paper, mm."""


def wall_elevation(
    set_out: SetOut, wall: Wall, scale: float = 0.05, read: float | None = None, holes: Sequence[Holes] = ()
) -> Drawing:
    """All that is on one wall, with its dimensions and piece ids; `scale` is that of the sheet it is meant for.

    `read`: the tape's reading of its length, if that should stand beside the adjusted one. A curved wall is unrolled.
    """
    flat = unrolled(set_out)
    marks = (*_wall_marks(flat, wall), *_trim_marks(flat, wall, scale), *_pipe_marks(flat, wall))
    marks = (*marks, *hole_marks(holes, wall, scale), *wall_dimensions(set_out, wall, scale, read))
    named = (*marks, wall_title(set_out, wall, scale))
    return Drawing(f"wall-{wall.index + 1}", (*named, *wall_labels(flat, wall, named, scale)))


def wall_pieces(set_out: SetOut, wall: Wall) -> tuple[Piece, ...]:
    """The pieces along a wall, without the returns that turn back to it."""
    return tuple(p for p in set_out.pieces if p.wall == wall.index and not p.is_return)


def _wall_marks(set_out: SetOut, wall: Wall) -> Iterator[Mark]:
    room = set_out.room
    ceiling = ceiling_line(room, wall)
    left, right = ceiling[0][1], ceiling[-1][1]
    yield Path((Line((0, 0), (wall.length, 0)),), Layer.FLOOR)
    yield polyline(ceiling, Layer.CEILING)
    yield Path((Line((0, 0), (0, left)),), Layer.WALL)
    yield Path((Line((wall.length, 0), (wall.length, right)),), Layer.WALL)
    for opening in room.openings:
        if opening.wall == wall.index:
            yield Group(opening.name or opening.kind, tuple(_opening_marks(opening)))
    for fitting in room.fittings:
        if fitting.wall == wall.index:
            yield Group(fitting.name, (_fitting_mark(fitting),))


def _opening_marks(opening: Opening) -> Iterator[Mark]:
    """Clear opening and casing; a door with its threshold, a window with its cross."""
    left, right = opening.station, opening.station + opening.width
    bottom, top = opening.sill, opening.head
    if opening.architrave and bottom > 0:
        outer = [(opening.left, opening.bottom), (opening.right, opening.bottom)]
        outer += [(opening.right, opening.top), (opening.left, opening.top)]
        yield polyline(outer, Layer.OPENING, closed=True)
    elif opening.architrave:
        legs = [(opening.left, bottom), (opening.left, opening.top), (opening.right, opening.top)]
        yield polyline([*legs, (opening.right, bottom)], Layer.OPENING)
    yield polyline([(left, bottom), (left, top), (right, top), (right, bottom)], Layer.OPENING, closed=True)
    if opening.kind == "window":
        middle, level = (left + right) / 2, (bottom + top) / 2
        yield Path((Line((middle, bottom), (middle, top)),), Layer.OPENING)
        yield Path((Line((left, level), (right, level)),), Layer.OPENING)


def _fitting_mark(fitting: Fitting) -> Path:
    low, high = (fitting.left, fitting.bottom), (fitting.right, fitting.top)
    return polyline([low, (high[0], low[1]), high, (low[0], high[1])], Layer.FITTING, closed=True)


def _trim_marks(set_out: SetOut, wall: Wall, scale: float) -> Iterator[Mark]:
    pieces = wall_pieces(set_out, wall)
    for piece in sorted(pieces, key=lambda p: p.trim.edges.front):
        yield Group(piece.id, tuple(_piece_marks(set_out, piece, pieces, scale)), title=piece.trim.name)


def seen_end(set_out: SetOut, piece: Piece, side: Side) -> End:
    """The end as it shows in the elevation.

    A square end that runs into an internal corner is covered by its mate, whose face meets it on the mitre plane.
    """
    wall = set_out.room.walls[piece.wall]
    corner = set_out.room.corner_left(wall.index) if side is Side.LEFT else set_out.room.corner_right(wall.index)
    if corner is None or not corner.internal or not _runs_in(set_out, piece, side):
        return piece.end(side)
    if side is Side.LEFT:
        return replace(piece.left, station=0.0, slope=corner.half_cot)
    return replace(piece.right, station=wall.length, slope=-corner.half_cot)


def _runs_in(set_out: SetOut, piece: Piece, side: Side) -> bool:
    """True for a square end whose mate is coped over it or butts against it: the one that stops nearer the corner."""
    end = piece.end(side)
    if end.joint is not Joint.SQUARE or end.mate is None or end.corner is None:
        return False
    mate = set_out.piece(end.mate)
    across = Side.RIGHT if side is Side.LEFT else Side.LEFT
    return mate.end(across).joint is Joint.COPE or _setback(set_out, piece, side) < _setback(set_out, mate, across)


def _setback(set_out: SetOut, piece: Piece, side: Side) -> float:
    """How far a square end stops short of the end of its wall."""
    station = 0.0 if side is Side.LEFT else set_out.room.walls[piece.wall].length
    return abs(piece.end(side).station - station)


def end_line(piece: Piece, end: End) -> list[Point]:
    """The face of the section where the end plane cuts it, seen from the room: (station, height) upwards."""
    return [_seen_at(piece, end, out, height) for out, height in face(piece.trim.outline)]


def _seen_at(piece: Piece, end: End, out: float, height: float) -> Point:
    """(station, height) on the wall of a point of the section in an end plane."""
    return (end.at(out), piece.height(end.at(out), height))


def _piece_marks(set_out: SetOut, piece: Piece, pieces: tuple[Piece, ...], scale: float) -> Iterator[Mark]:
    ends = {side: seen_end(set_out, piece, side) for side in Side}
    left, right = (end_line(piece, ends[side]) for side in Side)
    body = [*left, *reversed(right)]
    before = [p for p in pieces if p.trim.name != piece.trim.name]
    if not any(_covers(other, *piece.trim.edges[2:]) for other in before):
        yield Fill(polyline(body, Layer.TRIM, closed=True).segments, Layer.TRIM, PIECE_SHADE)
    for out, height in _apart(seen_arrises(piece.trim.outline), FINEST / scale):
        span = (ends[Side.LEFT].at(out), ends[Side.RIGHT].at(out))
        seen, hidden = split(span, [other.extent for other in before if _covers(other, out, height)])
        for spans, layer in ((seen, Layer.TRIM), (hidden, Layer.HIDDEN)):
            yield from (polyline([(s, piece.height(s, height)) for s in span], layer) for span in spans)
    middle = (piece.trim.edges.bottom + piece.trim.edges.top) / 2
    for side, line in ((Side.LEFT, left), (Side.RIGHT, right)):
        behind = any(_covers(other, piece.trim.edges.front, middle) for other in before)
        layer = Layer.HIDDEN if behind else Layer.JOINT if ends[side].mate else Layer.TRIM
        yield polyline(line, layer)
    for notch in piece.notches:
        yield from _notch_marks(piece, notch)
    for hollow in piece.hollows:
        yield from (polyline(loop, Layer.HIDDEN, closed=True) for loop in cut_outlines(piece, hollow))


def _apart(lines: list[Point], least: float) -> list[Point]:
    """Arrises thinned out to what a pen can show: the lowest and highest, and between them those `least` apart."""
    kept = lines[:1]
    for line in lines[1:-1]:
        if line[1] - kept[-1][1] >= least and lines[-1][1] - line[1] >= least:
            kept.append(line)
    return [*kept, lines[-1]]


def _covers(other: Piece, out: float, height: float) -> bool:
    """True if `other` stands before a point that is `out` from the wall at a height."""
    edges = other.trim.edges
    if not edges.bottom + TOUCH < height < edges.top - TOUCH:
        return False
    front = front_at(other.trim.outline, height)
    return front is not None and front > out + TOUCH


def _notch_marks(piece: Piece, notch: Notch) -> Iterator[Mark]:
    """The two sides of a slot: dashed if the web in front hides it."""
    layer = Layer.JOINT if notch.opens is Opens.FRONT else Layer.HIDDEN
    for station in notch.sides:
        yield polyline([(station, piece.height(station, h)) for h in (notch.bottom, notch.top)], layer)


def _pipe_marks(set_out: SetOut, wall: Wall) -> Iterator[Mark]:
    pieces = wall_pieces(set_out, wall)
    for pipe in set_out.room.legs:
        if pipe.wall == wall.index:
            marks = _upright_pipe(pipe, pieces) if pipe.vertical else _level_pipe(pipe, pieces)
            yield Group(pipe.name, tuple(marks))


def _before_pipe(pipe: Pipe, piece: Piece) -> bool:
    """True if the piece hides the pipe: it stands further out and is not slotted from the front."""
    open_front = any(pipe.name in n.pipes and n.opens is Opens.FRONT for n in piece.notches)
    return piece.trim.edges.front > pipe.start[1] and not open_front


def _upright_pipe(pipe: Pipe, pieces: tuple[Piece, ...]) -> Iterator[Mark]:
    station, (low, high) = pipe.start[0], sorted((pipe.start[2], pipe.end[2]))
    covers = []
    for piece in pieces:
        first, last = piece.extent
        if first < station < last and _before_pipe(pipe, piece):
            edges = piece.trim.edges
            covers.append((piece.height(station, edges.bottom), piece.height(station, edges.top)))
    seen, hidden = split((low, high), covers)
    for spans, layer in ((seen, Layer.PIPE), (hidden, Layer.HIDDEN)):
        for a, b in spans:
            for side in (station - pipe.radius, station + pipe.radius):
                yield Path((Line((side, a), (side, b)),), layer)
    yield Path((Line((station, low - 20), (station, high + 20)),), Layer.CENTRE)


def _level_pipe(pipe: Pipe, pieces: tuple[Piece, ...]) -> Iterator[Mark]:
    (a, _, low), (b, _, high) = sorted((pipe.start, pipe.end))
    if b - a < TOUCH:
        yield dot((a, low), pipe.radius, Layer.PIPE)
        return
    rise = (high - low) / (b - a)
    covers: list[Span] = [
        p.extent for p in pieces if p.trim.edges.bottom < low < p.trim.edges.top and _before_pipe(pipe, p)
    ]
    seen, hidden = split((a, b), covers)
    for spans, layer in ((seen, Layer.PIPE), (hidden, Layer.HIDDEN)):
        for first, last in spans:
            for side in (-pipe.radius, pipe.radius):
                ends = [(s, low + (s - a) * rise + side) for s in (first, last)]
                yield polyline(ends, layer)
    yield Path((Line((a - 20, low), (b + 20, high)),), Layer.CENTRE)
