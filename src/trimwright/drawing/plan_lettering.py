"""Dimensions and labels of the ceiling plan.

Along each wall run distances from its left corner, outside the room where there is space. Piece ids stand in the
room before their pieces, corner numbers and angles in the corners.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from trimwright.drawing.clutter import Clutter, on_paper
from trimwright.drawing.dimensions import HEIGHT, lettered
from trimwright.drawing.font import text_width
from trimwright.drawing.labels import Label, Spot, ring
from trimwright.drawing.marks import Anchor, Mark, Running
from trimwright.drawing.wall_lettering import wall_stations, with_reading
from trimwright.profile.outline import Point
from trimwright.room import Corner, Frame, Room, Wall
from trimwright.setout.curved.unroll import unrolled
from trimwright.setout.piece import Joint, Piece, SetOut
from trimwright.tolerance import TOUCH
from trimwright.units import value

__all__ = ["at_ceiling", "facing", "plan_dimensions", "plan_labels"]

BELOW = 5.0
"""A trim whose top is at most this far under another hangs on it, mm."""

FIRST = 7.0
"""From a wall face to the nearest line of running dimensions, paper mm."""

ROW = 17.0
"""Least distance to the next such line, paper mm."""

PAST = 8.0
"""What a line takes up besides the width of its values, paper mm."""

PARTS = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82)


def at_ceiling(set_out: SetOut) -> frozenset[str]:
    """Names of the trims that touch the ceiling, or hang on one that does: their lines are marked up there."""
    ceiling, found = set_out.room.ceiling, set[str]()
    for trim in sorted(set_out.trims, key=lambda t: -t.edges.top):
        level = min([ceiling, *(t.edges.bottom for t in set_out.trims if t.name in found)])
        if trim.edges.top >= level - BELOW:
            found.add(trim.name)
    return frozenset(found)


def plan_dimensions(set_out: SetOut, marks: Sequence[Mark], scale: float) -> list[Mark]:
    """Running dimensions of every wall, each on the first line that is clear of walls and of those before it."""
    placed: list[Mark] = []
    clutter = Clutter(*on_paper(marks, scale))
    inside = max((t.edges.front for t in set_out.trims), default=0.0) * scale + 8
    widest = max(text_width(set_out.room.units.written(w.length), HEIGHT) for w in set_out.room.walls)
    outside = [FIRST + k * max(ROW, widest + PAST) for k in range(3)]
    for wall in set_out.room.walls:
        bare = [_running(set_out, wall, offset, scale) for offset in (*outside, -inside)]
        tries = list(lettered(bare, set_out.room.units))
        placed.append(min(tries, key=lambda mark: _conflicts(mark, clutter, scale)))
        boxes, lines = on_paper(placed[-1:], scale)
        for box in boxes:
            clutter.add_box(box)
        for line in lines:
            clutter.add_line(line)
    # The last found a place round the others and is drawn first: the ground under their values clears its lines.
    return placed[::-1]


def _running(set_out: SetOut, wall: Wall, offset: float, scale: float) -> Running:
    """Distances from the left corner, at an offset from the wall face; along a curved wall they say the arc's."""
    stations = (*wall_stations(unrolled(set_out), wall), wall.length)
    points = tuple(wall.frame.plan(s) for s in stations)
    if wall.bend is None:
        return Running(wall.start, wall.frame.tangent(0.0).along, points, offset)
    chord = math.dist(wall.start, wall.end)
    along = ((wall.end[0] - wall.start[0]) / chord, (wall.end[1] - wall.start[1]) / chord)
    rise = max(0.0, Frame(wall.start, along).locate(wall.frame.plan(wall.length / 2))[1] * (-1 if offset > 0 else 1))
    texts = tuple(set_out.room.units.written(s) for s in stations)
    return Running(wall.start, along, points, offset + math.copysign(rise * scale, offset), texts)


def _conflicts(mark: Mark, clutter: Clutter, scale: float) -> int:
    """How many texts and lines run through the values of a mark, and how many of its lines through texts."""
    boxes, lines = on_paper([mark], scale)
    zones = [box.grown(1.0) for box in boxes]
    on_values = sum((clutter.covered(zone) > 0) + clutter.crossed(zone) for zone in zones)
    return on_values + sum(clutter.texts_on(line) for line in lines)


def plan_labels(set_out: SetOut, scale: float, readings: Mapping[int, float]) -> list[Label]:
    """Corners, walls, openings, pipes, fittings and pieces, in the order in which they take their places.

    `readings`: by the wall's index, what the tape said of those that the survey adjusted by more than a little.
    """
    room = set_out.room
    return [
        *_obstacle_labels(set_out, scale),
        *_corner_labels(set_out, scale),
        *_opening_labels(room, scale),
        *(_piece_label(set_out, piece, scale) for piece in set_out.pieces),
        *_scarf_labels(set_out, scale),
        *_line_labels(set_out, scale),
        *(_wall_label(set_out, wall, scale, readings.get(wall.index)) for wall in room.walls),
    ]


def _corner_labels(set_out: SetOut, scale: float) -> Iterator[Label]:
    """Number and angle on the line that halves the corner, beyond the trims."""
    reach = max((t.edges.front for t in set_out.trims), default=0.0)
    for corner in set_out.room.corners:
        if corner is not None:
            spots: list[Spot] = []
            for away in (5.0, 8.0, 11.0, 15.0, 20.0, 26.0, 32.0, 40.0):
                spots += ring(_bisector(set_out.room, corner, reach + away / scale), scale, (0.0,))
            spots += ring(_bisector(set_out.room, corner, reach), scale)
            text = f"corner {corner.right + 1}  {value(corner.angle)}°"
            yield Label(text=text, spots=tuple(spots), target=(corner.plan, corner.plan))


def _bisector(room: Room, corner: Corner, out: float) -> tuple[float, float]:
    """The point of a corner's bisector that is `out` from both walls (at a flat external corner, from the point)."""
    wall = room.walls[corner.left]
    return wall.frame.plan(wall.length - out * corner.half_cot, out)


def _opening_labels(room: Room, scale: float) -> Iterator[Label]:
    way_in = next((o for o in room.openings if o.kind == "door"), None)
    for opening in room.openings:
        frame = room.walls[opening.wall].frame
        middle = opening.station + opening.width / 2
        name = opening.name or opening.kind
        spots: list[Spot] = []
        for away in (6, 9, 12, 16, 20, 26):
            spots += [
                (frame.plan(middle + shift / scale, away / scale), Anchor.MIDDLE) for shift in (0, -8, 8, -16, 16)
            ]
        face = (frame.plan(middle, 0.0), frame.plan(middle, 0.0))
        yield Label(text=f"{name} (way in)" if opening is way_in else name, spots=tuple(spots), target=face)


def _piece_label(set_out: SetOut, piece: Piece, scale: float) -> Label:
    """The id in the room before the piece; trims that lie over each other stand at different parts of the wall."""
    front = piece.trim.edges.front
    first, last = piece.left.at(front), piece.right.at(front)
    rank = [t.name for t in set_out.trims].index(piece.trim.name)
    turn = 2 * rank % len(PARTS)
    parts = (0.5,) if piece.is_return else PARTS[turn:] + PARTS[:turn]
    anchor = facing(piece.frame.tangent((first + last) / 2))
    spots = [
        (piece.frame.plan(first + part * (last - first), front + away / scale), anchor)
        for away in (1.5, 4.0, 7.0, 11.0, 16.0, 22.0)
        for part in parts
    ]
    line = (piece.frame.plan(first, front), piece.frame.plan(last, front))
    return Label(text=piece.id, spots=tuple(spots), target=line, height=3.5)


def facing(frame: Frame) -> Anchor:
    """The anchor of a text that stands off a wall into the room."""
    x, y = frame.outward
    if abs(x) > abs(y):
        return Anchor.LEFT if x > 0 else Anchor.RIGHT
    return Anchor.BASE if y > 0 else Anchor.TOP


def _line_labels(set_out: SetOut, scale: float) -> Iterator[Label]:
    """How far from the wall each line on the ceiling is marked, said once, on the trim's longest wall."""
    for trim in set_out.trims:
        if trim.name not in at_ceiling(set_out):
            continue
        wall = max((set_out.room.walls[k] for k in trim.walls), key=lambda w: w.length)
        for edge, out in (("back", trim.edges.back), ("front", trim.edges.front)):
            if out > TOUCH:
                way = facing(wall.frame.tangent(wall.length / 2))
                spots = tuple(
                    (wall.frame.plan(wall.length * part, trim.edges.front + away / scale), way)
                    for away in (5.0, 9.0, 14.0, 20.0)
                    for part in (0.25, 0.75, 0.3, 0.7, 0.35, 0.65, 0.4, 0.6)
                )
                line = (wall.frame.plan(wall.length * 0.1, out), wall.frame.plan(wall.length * 0.9, out))
                text = f"{trim.name} {edge}: {set_out.room.units.written(out)} from the wall"
                yield Label(text=text, spots=spots, target=line, optional=True)


def _scarf_labels(set_out: SetOut, scale: float) -> Iterator[Label]:
    for piece in set_out.pieces:
        if piece.left.joint is Joint.SCARF:
            front = piece.trim.edges.front
            at = piece.frame.plan(piece.left.at(front), front)
            yield Label(text="scarf", spots=ring(at, scale), target=(at, at))


def _obstacle_labels(set_out: SetOut, scale: float) -> Iterator[Label]:
    room = set_out.room
    for pipe in room.pipes:
        at = room.walls[pipe.wall].frame.plan(pipe.start[0], pipe.start[1] + pipe.radius)
        yield Label(text=f"{pipe.name} Ø{room.units.written(pipe.diameter)}", spots=ring(at, scale), target=(at, at))
    for fitting in room.fittings:
        frame = room.walls[fitting.wall].frame
        line = (frame.plan(fitting.left, fitting.out), frame.plan(fitting.right, fitting.out))
        middle = frame.plan((fitting.left + fitting.right) / 2, fitting.out)
        yield Label(text=fitting.name, spots=ring(middle, scale), target=line)


def _wall_label(set_out: SetOut, wall: Wall, scale: float, read: float | None) -> Label:
    """Number and name of the wall, further into the room than the piece ids, or outside if that is full."""
    front = max((t.edges.front for t in set_out.trims), default=0.0)
    face = wall.frame.tangent(wall.length / 2)
    inside, outside = facing(face), facing(Frame(face.origin, _reversed(face.along)))
    spots = [
        *(
            (wall.frame.plan(wall.length * part, front + away / scale), inside)
            for away in (8, 13, 18)
            for part in PARTS
        ),
        *((wall.frame.plan(wall.length * part, -away / scale), outside) for away in (6, 12, 24) for part in PARTS),
        *((wall.frame.plan(wall.length * part, front + away / scale), inside) for away in (26, 36) for part in PARTS),
    ]
    text = f"{wall.index + 1} {wall.name}"
    if wall.bend is not None:
        text += f", radius {set_out.room.units.written(wall.bend.radius)}"
    if read is not None:
        text += f": {with_reading(set_out.room.units, wall.length, read)}"
    middle = wall.frame.plan(wall.length / 2)
    target = (wall.start, wall.end) if wall.bend is None else (middle, middle)
    return Label(text=text, spots=tuple(spots), target=target)


def _reversed(along: Point) -> Point:
    return (-along[0], -along[1])
