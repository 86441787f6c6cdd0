"""The plan of the ceiling, seen from above: lines to mark, pieces, joints and corners, in plan coordinates.

Lines are offsets of the walls as they are, not of an ideal rectangle, and meet on the mitre lines.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from trimwright.drawing.clutter import Box
from trimwright.drawing.curves import along_face, box_on_face
from trimwright.drawing.cut_outline import plan_outlines
from trimwright.drawing.diagonals import Diagonal, diagonal_labels, diagonal_lines
from trimwright.drawing.labels import Label, place
from trimwright.drawing.marks import Drawing, Fill, Group, Layer, Mark, Path, dot, polyline
from trimwright.drawing.notch_lines import notch_lines, plug_lines
from trimwright.drawing.plan_lettering import at_ceiling, plan_dimensions, plan_labels
from trimwright.drawing.spans import split
from trimwright.profile.outline import Line, Point
from trimwright.room import AnyFrame, Fitting, Opening, Pipe, Room, Wall
from trimwright.setout.piece import End, Joint, Piece, SetOut, Side
from trimwright.tolerance import TOUCH

__all__ = ["ceiling_plan", "cope_mark", "labelled_plan", "piece_plan", "plan_lines", "room_marks"]

THICKNESS = 4.0
"""Walls are drawn this thick, paper mm: nobody has measured how thick they are."""

CASING = 18.0
"""How far casings are drawn out from the wall, mm: their width is measured, their thickness is not."""

MARK = 2.4
"""Length of the wedge that marks a cope, paper mm."""


def ceiling_plan(set_out: SetOut, scale: float = 0.05) -> Drawing:
    """Walls, openings, pipes, trims and their joints seen from above; `scale` is that of the sheet it is meant for."""
    return labelled_plan(set_out, plan_lines(set_out, scale), scale)


def plan_lines(
    set_out: SetOut, scale: float, diagonals: Sequence[Diagonal] = (), strip: Sequence[Mark] = ()
) -> Drawing:
    """The plan with its dimensions and without its labels; `strip`: marks of a light strip and its feeds."""
    room = set_out.room
    marks: list[Mark] = [*room_marks(room, scale), *strip]
    marks += [Group(p.id, tuple(_piece_marks(set_out, p, scale)), title=p.trim.name) for p in set_out.pieces]
    marks += [Group(pipe.name, tuple(_pipe_marks(room.walls[pipe.wall].frame, pipe))) for pipe in room.legs]
    marks += plan_dimensions(set_out, marks, scale)
    return Drawing("ceiling-plan", (*marks, *diagonal_lines(diagonals)))


def labelled_plan(
    set_out: SetOut,
    lines: Drawing,
    scale: float,
    readings: Mapping[int, float] | None = None,
    diagonals: Sequence[Diagonal] = (),
    feeds: Sequence[Label] = (),
    within: Box | None = None,
) -> Drawing:
    """The plan with its labels, none over another or over a line.

    `readings`: by the wall's index, the tape's readings that should stand beside the adjusted lengths. `feeds`: the
    labels of a light strip's feeds. `within`: where the labels should stay, paper mm.
    """
    labels = (*plan_labels(set_out, scale, readings or {}), *feeds, *diagonal_labels(set_out.room, diagonals, scale))
    return lines.plus(place(labels, lines.marks, scale, within))


def room_marks(room: Room, scale: float) -> Iterator[Mark]:
    """Walls with their openings, and fittings, from above."""
    for wall in room.walls:
        openings = [o for o in room.openings if o.wall == wall.index]
        yield Group(wall.name, tuple(_wall_marks(room, wall, openings, THICKNESS / scale)))
    for fitting in room.fittings:
        yield Group(fitting.name, (_fitting_mark(room.walls[fitting.wall].frame, fitting),))


def _fitting_mark(frame: AnyFrame, fitting: Fitting) -> Path:
    """A box along the face, or a disc."""
    if fitting.round:
        radius = (fitting.right - fitting.left) / 2
        return dot(frame.plan(fitting.left + radius, (fitting.back + fitting.out) / 2), radius, Layer.FITTING)
    near, far = (((fitting.left, out), (fitting.right, out)) for out in (fitting.back, fitting.out))
    return Path(box_on_face(frame, near, far), Layer.FITTING, closed=True)


def _wall_marks(room: Room, wall: Wall, openings: list[Opening], thickness: float) -> Iterator[Mark]:
    """The body of a wall, grey between its openings, and its face."""
    low, high = _outer_ends(room, wall, thickness)
    solid, _ = split((0.0, wall.length), [(o.station, o.station + o.width) for o in openings])
    for a, b in solid:
        outer = (low if a <= 0 else a, high if b >= wall.length else b)
        behind = ((outer[0], -thickness), (outer[1], -thickness))
        yield Fill(box_on_face(wall.frame, ((a, 0.0), (b, 0.0)), behind), Layer.WALL, 0.8)
        yield along_face(wall.frame, *outer, -thickness, Layer.HATCHING)
        yield along_face(wall.frame, a, b, 0.0, Layer.WALL)
    for opening in openings:
        yield Group(opening.name or opening.kind, tuple(_opening_marks(wall.frame, opening, thickness)))


def _outer_ends(room: Room, wall: Wall, thickness: float) -> tuple[float, float]:
    """Stations on a wall at which its back meets those of its neighbours in their mitres."""
    left, right = room.corner_left(wall.index), room.corner_right(wall.index)
    first, last = wall.frame.tangent(0.0), wall.frame.tangent(wall.length)
    low = wall.frame.locate(first.plan(-thickness * left.half_cot, -thickness))[0] if left else 0.0
    high = wall.frame.locate(last.plan(thickness * right.half_cot, -thickness))[0] if right else wall.length
    return low, high


def _opening_marks(frame: AnyFrame, opening: Opening, thickness: float) -> Iterator[Mark]:
    """Jambs and casings; a door has its threshold, a window its two lines of glass and frame."""
    a, b = opening.station, opening.station + opening.width
    for station in (a, b):
        yield polyline([frame.plan(station), frame.plan(station, -thickness)], Layer.WALL)
    outs = (-thickness / 3, -2 * thickness / 3) if opening.kind == "window" else (0.0, -thickness)
    for out in outs:
        yield along_face(frame, a, b, out, Layer.OPENING)
    if opening.architrave:
        for first, last in ((opening.left, a), (b, opening.right)):
            box = box_on_face(frame, ((first, 0.0), (last, 0.0)), ((first, CASING), (last, CASING)))
            yield Path(box, Layer.OPENING, closed=True)


def _pipe_marks(frame: AnyFrame, pipe: Pipe) -> Iterator[Mark]:
    if pipe.vertical:
        centre, reach = frame.plan(*pipe.start[:2]), pipe.radius + 10
        yield dot(centre, pipe.radius, Layer.PIPE)
        for dx, dy in ((reach, 0.0), (0.0, reach)):
            yield Path((Line((centre[0] - dx, centre[1] - dy), (centre[0] + dx, centre[1] + dy)),), Layer.CENTRE)
        return
    if pipe.start[1] != pipe.end[1]:
        yield from _slanting_pipe_marks(frame, pipe)
        return
    for side in (-pipe.radius, pipe.radius):
        yield along_face(frame, pipe.start[0], pipe.end[0], pipe.start[1] + side, Layer.PIPE)


def _slanting_pipe_marks(frame: AnyFrame, pipe: Pipe) -> Iterator[Mark]:
    """A leg that comes off the wall as it runs: its two sides."""
    (x0, y0), (x1, y1) = frame.plan(*pipe.start[:2]), frame.plan(*pipe.end[:2])
    scale = pipe.radius / math.hypot(x1 - x0, y1 - y0)
    aside = ((y0 - y1) * scale, (x1 - x0) * scale)
    for sign in (-1, 1):
        dx, dy = sign * aside[0], sign * aside[1]
        yield polyline([(x0 + dx, y0 + dy), (x1 + dx, y1 + dy)], Layer.PIPE)


def piece_plan(piece: Piece, out: float) -> tuple[Point, Point]:
    """Plan points of the ends of the line of a piece at a distance out, left and right."""
    return piece.frame.plan(piece.left.at(out), out), piece.frame.plan(piece.right.at(out), out)


def _piece_marks(set_out: SetOut, piece: Piece, scale: float) -> Iterator[Mark]:
    """Back and front line of a piece, its ends and its slots."""
    back, _, front, _ = piece.trim.edges
    above = piece.trim.name in at_ceiling(set_out)
    front_layer = Layer.SETTING_OUT if above else Layer.HIDDEN
    yield along_face(piece.frame, piece.left.at(front), piece.right.at(front), front, front_layer)
    if back > TOUCH:
        yield along_face(piece.frame, piece.left.at(back), piece.right.at(back), back, front_layer)
    for side in Side:
        yield from _end_marks(set_out, piece, side, above, scale)
    for notch in piece.notches:
        for line in notch_lines(piece, notch):
            yield polyline([piece.frame.plan(*p) for p in line], Layer.JOINT)
        for line in plug_lines(piece, notch):
            yield polyline([piece.frame.plan(*p) for p in line], Layer.HIDDEN)
    for hollow in piece.hollows:
        for loop in plan_outlines(piece, hollow):
            yield polyline([piece.frame.plan(*p) for p in loop], Layer.HIDDEN, closed=True)


def _end_marks(set_out: SetOut, piece: Piece, side: Side, above: bool, scale: float) -> Iterator[Mark]:
    """The end plane as a line across the section, and the wedge of a cope."""
    end = piece.end(side)
    back, _, front, _ = piece.trim.edges
    line = [piece.frame.plan(end.at(out), out) for out in (back, front)]
    if end.joint is Joint.COPE:
        yield cope_mark(piece, side, MARK / scale)
    if math.dist(*line) > TOUCH:
        # The mitre of a coped end is cut first and then sawn away.
        yield polyline(line, Layer.JOINT if above and end.joint is not Joint.COPE else Layer.HIDDEN)


def cope_mark(piece: Piece, side: Side, length: float) -> Fill:
    """A wedge on the coped piece, in the middle of its width, its point towards the face it is scribed to."""
    end: End = piece.end(side)
    back, _, front, _ = piece.trim.edges
    middle, inward = (back + front) / 2, 1.0 if side is Side.LEFT else -1.0
    tip = end.at(middle)
    wedge = [(tip, middle), (tip + inward * length, middle - length / 3), (tip + inward * length, middle + length / 3)]
    return Fill(polyline([piece.frame.plan(*p) for p in wedge], Layer.JOINT, closed=True).segments, Layer.JOINT, 0.0)
