"""Dimensions and labels of a wall elevation.

Along the floor run distances from the left corner, so that a tape is hooked on once; up the left side heights
from the floor datum; down the right side distances from the ceiling at that corner; above the ceiling a row of
lengths for each trim.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from trimwright.drawing.dimension_rows import Stretch, placed_in_row
from trimwright.drawing.dimensions import HEIGHT, PITCH, lettered, spread, value_distance
from trimwright.drawing.font import text_width
from trimwright.drawing.labels import Label, Spot, along, place, ring
from trimwright.drawing.marks import Anchor, Dimension, DimensionKind, Mark, Running, Text
from trimwright.drawing.spans import unlike
from trimwright.profile.outline import Point
from trimwright.room import Pipe, Room, Wall
from trimwright.setout.curved.unroll import unrolled
from trimwright.setout.cutouts.notches import part_at
from trimwright.setout.piece import Joint, Notch, Piece, SetOut, Side
from trimwright.units import Units, value

__all__ = [
    "ceiling_line",
    "wall_dimensions",
    "wall_heights",
    "wall_labels",
    "wall_stations",
    "wall_title",
    "with_reading",
]

FIRST = 7.0
"""From the drawing to its first dimension line, paper mm."""

ACROSS = 20.0
"""Least height of a row of running dimensions with its values, paper mm."""

ROOM = 6.0
"""From the values of a row of running dimensions to the next dimension line, whose own values stand above it."""

ROW = 6.5
"""From one row of lengths to the next, paper mm."""

LINE = 4.2
"""From one line of a label to the next, paper mm."""

BESIDE_PIPE = 6.0
"""What the text beside a pipe needs besides its own width to stand clear between pipe and corner, paper mm."""

PARTS = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)


def ceiling_line(room: Room, wall: Wall) -> list[Point]:
    """(station, height) of the ceiling along a wall from its left to its right end."""
    return list(room.ceiling_line(wall.index))


def _highest(room: Room, wall: Wall) -> float:
    return max(height for _, height in ceiling_line(room, wall))


def wall_stations(set_out: SetOut, wall: Wall) -> list[float]:
    """Distances from the left corner that are measured along a wall: openings, pipes, fittings, joints."""
    room, stations = set_out.room, list[float]()
    for opening in room.openings:
        if opening.wall == wall.index:
            stations += [opening.station, opening.station + opening.width]
            stations += [opening.left, opening.right] if opening.architrave else []
    for pipe in room.pipes:
        if pipe.wall == wall.index:
            stations += [point[0] for point in (pipe.start, *pipe.via, pipe.end)]
    for fitting in room.fittings:
        if fitting.wall == wall.index:
            stations += [fitting.left, fitting.right]
    for piece in set_out.pieces:
        if piece.wall == wall.index and piece.left.joint is Joint.SCARF:
            front, back = piece.trim.edges.front, piece.trim.edges.back
            stations.append(piece.left.at((front + back) / 2))
    return [s for s in unlike(stations) if 0.05 < s < wall.length - 0.05]


def wall_heights(set_out: SetOut, wall: Wall) -> list[float]:
    """Heights above the floor datum that are measured on a wall: trims, openings, fittings, the ceiling."""
    room, heights = set_out.room, [set_out.room.ceiling_ends(wall.index)[0]]
    for opening in room.openings:
        if opening.wall == wall.index:
            heights += [opening.sill, opening.head]
            heights += [opening.top] if opening.architrave else []
    for fitting in room.fittings:
        if fitting.wall == wall.index:
            heights += [fitting.bottom, fitting.top]
    return [h for h in unlike(heights + _trim_levels(set_out, wall, 0.0)) if h > 0.05]


def _trim_levels(set_out: SetOut, wall: Wall, station: float) -> list[float]:
    """Heights of the lower and upper edge of each trim on a wall, by its piece nearest a station."""
    levels: list[float] = []
    for trim in set_out.trims:
        pieces = [p for p in set_out.of_trim(trim) if p.wall == wall.index and not p.is_return]
        if pieces:
            nearest = min(pieces, key=lambda p: min(abs(station - end) for end in p.extent))
            levels += [nearest.height(station, level) for level in (trim.edges.bottom, trim.edges.top)]
    return levels


def wall_dimensions(set_out: SetOut, wall: Wall, scale: float, read: float | None = None) -> Iterator[Mark]:
    """Stations below, heights at the left, depths below the ceiling at the right, lengths of pieces above.

    `read`: what the tape said of the wall, where that is to stand beside what the survey made of it.
    """
    return lettered(_dimensions(set_out, wall, scale, read), set_out.room.units)


def _dimensions(set_out: SetOut, wall: Wall, scale: float, read: float | None) -> Iterator[Mark]:
    right = set_out.room.ceiling_ends(wall.index)[1]
    flat = unrolled(set_out)
    stations = wall_stations(flat, wall)
    if stations:
        yield Running((0, 0), (1, 0), tuple((s, 0) for s in stations), -FIRST)
    units = set_out.room.units
    overall = FIRST + _across(stations, units)
    length = None if read is None else with_reading(units, wall.length, read)
    yield Dimension((0, 0), (wall.length, 0), -overall, DimensionKind.HORIZONTAL, length)
    low, high = _reach(flat, wall)
    heights = wall_heights(flat, wall)
    yield Running((min(0.0, low), 0), (0, 1), tuple((min(0.0, low), h) for h in heights), FIRST)
    depths = unlike([right - level for level in _trim_levels(flat, wall, wall.length)])
    levels = tuple((max(wall.length, high), right - d) for d in depths if d > 0.05)
    if levels:
        yield Running((max(wall.length, high), right), (0, -1), levels, FIRST)
    ceiling = _highest(set_out.room, wall)
    over = (_over(heights, ceiling, scale), _over([right - d for d in depths], ceiling, scale))
    yield from _length_rows(set_out, flat, wall, ceiling, scale, over)


def _over(heights: Sequence[float], ceiling: float, scale: float) -> float:
    """How far above the ceiling the values of running heights reach, spread out as they are, paper mm."""
    return max(spread(sorted(h * scale for h in heights), PITCH), default=0.0) - ceiling * scale + HEIGHT


def with_reading(units: Units, length: float, read: float) -> str:
    """A length as the survey adjusted it, and beside it what was read: "4620.2 (read 4623)"."""
    return f"{units.written(length)} (read {units.read(read)})"


def _across(stations: Sequence[float], units: Units) -> float:
    """Paper height of the row of running dimensions along the floor; nothing for no row."""
    widths = [text_width(units.written(s), HEIGHT) for s in stations]
    return max(ACROSS, value_distance(moved=True) + max(widths) + ROOM) if widths else 0.0


def _reach(set_out: SetOut, wall: Wall) -> tuple[float, float]:
    """Least and greatest station of anything drawn on the wall."""
    spans = [p.extent for p in set_out.pieces if p.wall == wall.index and not p.is_return]
    return min([0.0, *(s[0] for s in spans)]), max([wall.length, *(s[1] for s in spans)])


def _length_rows(
    set_out: SetOut, flat: SetOut, wall: Wall, ceiling: float, scale: float, over: tuple[float, float]
) -> Iterator[Mark]:
    """One row a trim, the highest trim nearest the ceiling: each piece along its back edge, with its id.

    The places are those of `flat`, the lengths those of the pieces as they are cut. `over`: how far above the ceiling
    the values of heights at the left and of depths at the right reach, paper mm; no words of a row run into them.
    """
    trims = sorted(set_out.trims, key=lambda t: -t.edges.top)
    rows = [[p for p in flat.of_trim(t) if p.wall == wall.index and not p.is_return] for t in trims]
    # The outermost row first: the ground under the values of the inner rows clears its extension lines.
    for row, pieces in reversed(list(enumerate(row for row in rows if row))):
        offset = FIRST + row * ROW
        cut = [set_out.piece(piece.id) for piece in pieces]
        stretches = [
            Stretch(*_back(piece), _length_texts(c, set_out.room.units, scale))
            for piece, c in zip(pieces, cut, strict=True)
        ]
        free = (-math.inf if over[0] < offset else 0.0, math.inf if over[1] < offset else wall.length)
        for (low, high, _), placed in zip(stretches, placed_in_row(stretches, scale, free), strict=True):
            # Many short pieces side by side: one whose length finds no room is named on the wall, and in the lists.
            if placed is not None:
                text, before = placed
                yield Dimension((low, ceiling), (high, ceiling), offset, DimensionKind.HORIZONTAL, text, before=before)


def _back(piece: Piece) -> tuple[float, float]:
    """Where the piece begins and ends along its back."""
    back = piece.trim.edges.back
    return piece.left.at(back), piece.right.at(back)


def _length_texts(piece: Piece, units: Units, scale: float) -> tuple[str, ...]:
    """What may be said of a length, the fullest first: the id, the length along the back, and along the front where
    that is the longer and there is room to say so. Segments of a curve stand close: each is named on the wall as well.
    """
    length = units.written(piece.back_length)
    named = f"{piece.id}  {length}"
    front = f"{named} (front {units.written(piece.front_length)})"
    says_front = piece.front_length > piece.back_length + 0.05
    return (
        *((front,) if says_front and text_width(front, HEIGHT) + 2 < piece.back_length * scale else ()),
        named,
        length,
    )


def wall_title(set_out: SetOut, wall: Wall, scale: float) -> Text:
    """Number and name over the drawing, for whoever sees it without its sheet."""
    rows = sum(any(p.wall == wall.index and not p.is_return for p in set_out.of_trim(t)) for t in set_out.trims)
    above = _highest(set_out.room, wall) + (FIRST + rows * ROW + 2) / scale
    shape = "" if wall.bend is None else f" (unrolled, radius {set_out.room.units.written(wall.bend.radius)})"
    return Text((wall.length / 2, above), f"Wall {wall.index + 1}: {wall.name}{shape}", 3.5, anchor=Anchor.BASE)


def wall_labels(set_out: SetOut, wall: Wall, marks: Sequence[Mark], scale: float) -> tuple[Mark, ...]:
    """Names of openings, pipes and fittings, piece ids, joints and corners, none over another or over a line."""
    labels = (
        *_opening_labels(set_out.room, wall, scale),
        *_piece_labels(set_out, wall, scale),
        *_joint_labels(set_out, wall, scale),
        *_pipe_labels(set_out, wall, scale),
        *_corner_labels(set_out.room, wall, scale),
    )
    return place(labels, marks, scale)


def _opening_labels(room: Room, wall: Wall, scale: float) -> Iterator[Label]:
    """Name and size of each opening, in one line or, where that is wider than the opening, one under the other."""
    written = room.units.written
    for opening in room.openings:
        if opening.wall != wall.index:
            continue
        name = opening.name or opening.kind
        middle = opening.station + opening.width / 2
        lines = [name, written(opening.width), f"× {written(opening.head - opening.sill)}"]
        if text_width(" ".join(lines), HEIGHT) < opening.width * scale - 2:
            lines = [" ".join(lines)]
        for k, line in enumerate(lines):
            under = (0.0, -k * LINE / scale)
            parts = (0.42, 0.58, 0.3, 0.7)
            spots = along((middle, opening.sill), (middle, opening.head), parts, under, Anchor.MIDDLE)
            yield Label(text=line, spots=spots)


def _piece_labels(set_out: SetOut, wall: Wall, scale: float) -> Iterator[Label]:
    for piece in set_out.pieces:
        if piece.wall != wall.index:
            continue
        edges = piece.trim.edges
        if piece.is_return:
            yield _return_label(set_out, piece, scale)
            continue
        middle, lower = (_along_piece(piece, level) for level in ((edges.bottom + edges.top) / 2, edges.bottom))
        spots = along(middle[0], middle[1], PARTS, (0, 0), Anchor.MIDDLE)
        for away in (1.2, 4.0, 8.0, 12.0, 17.0, 23.0):
            spots += along(lower[0], lower[1], PARTS, (0, -away / scale), Anchor.TOP)
        yield Label(text=piece.id, spots=spots, target=lower, height=3.5)


def _along_piece(piece: Piece, level: float) -> tuple[Point, Point]:
    """The line of a piece at a level of its section, from end to end, as it lies on the wall."""
    first, last = piece.extent
    return (first, piece.height(first, level)), (last, piece.height(last, level))


def _return_label(set_out: SetOut, piece: Piece, scale: float) -> Label:
    """A return is named at the free end that it closes."""
    station = set_out.room.walls[piece.wall].frame.locate(piece.frame.plan(piece.left.at(piece.trim.edges.front)))[0]
    point = (station, piece.trim.edges.bottom)
    return Label(text=piece.id, spots=ring(point, scale), target=(point, point), height=3.5)


def _joint_labels(set_out: SetOut, wall: Wall, scale: float) -> Iterator[Label]:
    for piece in set_out.pieces:
        if piece.wall != wall.index or piece.is_return:
            continue
        for side in Side:
            end = piece.end(side)
            named = end.joint in (Joint.COPE, Joint.RETURN) or (end.joint is Joint.SCARF and side is Side.LEFT)
            if named:
                edges = piece.trim.edges
                point = (end.at(edges.front), piece.height(end.at(edges.front), edges.bottom))
                yield Label(text=end.joint.value, spots=ring(point, scale), target=(point, point))


def _pipe_labels(set_out: SetOut, wall: Wall, scale: float) -> Iterator[Label]:
    room, written = set_out.room, set_out.room.units.written
    for pipe in room.pipes:
        if pipe.wall == wall.index:
            (a, _, low), (b, _, high) = pipe.start, pipe.end
            middle = ((a + b) / 2, (low + high) / 2)
            lines = [f"{pipe.name} Ø{written(pipe.diameter)}", *_cut_words(set_out, pipe)]
            space = max(middle[0], wall.length - middle[0]) * scale - BESIDE_PIPE
            if text_width(", ".join(lines), HEIGHT) < space:
                lines = [", ".join(lines)]
            for line in lines:
                yield Label(text=line, spots=_beside(middle, scale), target=((a, low), (b, high)))
    for fitting in room.fittings:
        if fitting.wall == wall.index:
            centre = ((fitting.left + fitting.right) / 2, (fitting.bottom + fitting.top) / 2)
            spots = ((centre, Anchor.MIDDLE), *ring((centre[0], fitting.bottom), scale))
            cut = [p.id for p in set_out.pieces if any(h.fitting == fitting.name for h in p.housings)]
            text = f"{fitting.name}, let into {', '.join(cut)}" if cut else fitting.name
            below = ((fitting.left, fitting.bottom), (fitting.right, fitting.bottom))
            yield Label(text=text, spots=spots, target=below)


def _cut_words(set_out: SetOut, pipe: Pipe) -> Iterator[str]:
    """What is cut out for a pipe: kind, size and pieces, those that share a slot at their joint together."""
    written = set_out.room.units.written
    found: dict[tuple[str, bool], list[str]] = {}
    for piece in set_out.pieces:
        for cut in (c for c in piece.cuts if pipe.name in c.pipes):
            shared = isinstance(cut, Notch) and part_at(piece, cut) is not None
            size = f"{written(cut.width)} × {written(cut.depth)}"
            found.setdefault((f"{cut.what} {size}", shared), []).append(piece.id)
    for (what, shared), ids in found.items():
        yield from (f"{what} in {name}" for name in (["/".join(ids)] if shared else ids))


def _beside(point: Point, scale: float) -> tuple[Spot, ...]:
    """Spots to the left and right of an upright pipe, at several heights, each clear of its outline."""
    spots: list[Spot] = []
    for up in (0.0, -6.0, 6.0, -12.0, 12.0, -18.0, 18.0):
        for across in (2.0, 5.0, 8.0):
            y = point[1] + up / scale
            spots += [((point[0] - across / scale, y), Anchor.RIGHT), ((point[0] + across / scale, y), Anchor.LEFT)]
    return tuple(spots)


def _corner_labels(room: Room, wall: Wall, scale: float) -> Iterator[Label]:
    """The number and angle of the corners at both ends, below the floor and outside the dimensions there."""
    ends = (
        (room.corner_left(wall.index), 0.0, Anchor.TOP_RIGHT, -1),
        (room.corner_right(wall.index), wall.length, Anchor.TOP_LEFT, 1),
    )
    for corner, station, anchor, outward in ends:
        if corner is not None:
            at = station + outward * 3 / scale
            spots = tuple(((at, -down / scale), anchor) for down in (9, 13, 17, 21))
            yield Label(text=f"corner {corner.right + 1}  {value(corner.angle)}°", spots=spots)
