"""Full-size templates: one for each corner joint of each trim, for scarfs and returns, and for each slot.

A template is the plan of the joint seen from above, at the angle the corner really has. It is cut out and laid
on the top edge of the trim, or held against the ceiling to see that the corner is as it was measured.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from trimwright.drawing.cope_template import LEAST, cope_drawing, undercut
from trimwright.drawing.full_size import FullSize, template_sheet
from trimwright.drawing.hollow_template import hollow_templates
from trimwright.drawing.labels import Label, Spot, place
from trimwright.drawing.marks import Anchor, Drawing, Group, Layer, Mark, Path
from trimwright.drawing.notch_template import notch_template
from trimwright.drawing.sheet import Sheet
from trimwright.drawing.template_marks import WALL, Place, body_marks, far_station, wall_strip
from trimwright.names import slug
from trimwright.profile.outline import Line, Point
from trimwright.room import AnyFrame, Corner, Frame, Wall
from trimwright.setout.piece import End, Joint, Piece, SetOut, Side, Trim

__all__ = [
    "SIDES",
    "along_drawing",
    "along_frame",
    "along_pairs",
    "corner_drawing",
    "corner_template",
    "full_size",
    "joint_drawing",
    "mitre_angle",
    "pieces_at",
    "seams",
    "templates",
]

SIDES = (Side.RIGHT, Side.LEFT)
"""The ends that meet in a joint, of the piece on its left and of that on its right."""


def templates(set_out: SetOut) -> list[Sheet]:
    """Every template of the job on a sheet of its own."""
    return [template_sheet(template) for template in full_size(set_out)]


def full_size(set_out: SetOut) -> list[FullSize]:
    """Every template of the job: corners clockwise, scarfs and returns, segments of curves, slots, what is let in."""
    found: list[FullSize] = []
    for corner in (c for c in set_out.room.corners if c is not None):
        for trim in set_out.trims:
            pair = pieces_at(set_out, corner, trim)
            if pair is not None:
                found.append(corner_template(set_out, corner, pair))
                found += _cope_templates(set_out, corner, pair)
    found += [_along_template(set_out, pair) for pair in along_pairs(set_out)]
    found += [_seam_template(set_out, pairs) for pairs in seams(set_out)]
    found += [notch_template(set_out, p, n) for p in set_out.pieces for n in p.notches]
    found += hollow_templates(set_out)
    return _distinct(found)


def _distinct(found: list[FullSize]) -> list[FullSize]:
    """The templates, a number added to a name that another one before it has."""
    seen: Counter[str] = Counter()
    named: list[FullSize] = []
    for template in found:
        seen[template.name] += 1
        count = seen[template.name]
        named.append(template if count == 1 else replace(template, name=f"{template.name}-{count}"))
    return named


def mitre_angle(corner: float) -> float:
    """Angle of the cut from square for a corner angle in the room: 90 less half of it, either way."""
    return abs(90 - corner / 2)


def pieces_at(set_out: SetOut, corner: Corner, trim: Trim) -> tuple[Piece, Piece] | None:
    """The pieces of a trim that meet in a corner: that on its left, which ends there, and that on its right."""
    own = [p for p in set_out.of_trim(trim) if not p.is_return]
    first = [p for p in own if p.wall == corner.left and _in_corner(p.right)]
    second = [p for p in own if p.wall == corner.right and _in_corner(p.left)]
    return (first[-1], second[0]) if first and second else None


def _in_corner(end: End) -> bool:
    """True for an end in a corner of the room, not at a return or between segments of a curve."""
    return end.corner is not None and end.joint is not Joint.RETURN and not end.seam


def _as_cut(corner: Corner, pair: tuple[Piece, Piece]) -> Corner:
    """The corner with the angle between the two pieces: segments of a curve do not leave it along the tangent."""
    return replace(corner, angle=pair[0].right.corner or corner.angle)


def corner_template(set_out: SetOut, corner: Corner, pair: tuple[Piece, Piece]) -> FullSize:
    """The joint of two pieces in a corner, with its angles."""
    left, right = (set_out.room.walls[k] for k in (corner.left, corner.right))
    trim, number, corner = pair[0].trim, corner.right + 1, _as_cut(corner, pair)
    mitred = any(p.end(s).joint in (Joint.MITRE, Joint.COPE) for p, s in zip(pair, SIDES, strict=True))
    mitre = f"; mitre {_mitre_words(corner, pair)} from square (standing or nested)" if mitred else ""
    words = [
        f"{set_out.room.name}, between wall {left.index + 1} ({left.name}) and wall {right.index + 1} ({right.name}).",
        "; ".join(f"{p.id} {s.value} end {_joint_words(p, s)}" for p, s in zip(pair, SIDES, strict=True)) + ".",
        f"Angle in the room {corner.angle:.2f}°, half {corner.angle / 2:.2f}°{mitre}.",
        f"Seen from above. Lay it on the top edge of the {trim.name}, wall lines to the wall side.",
    ]
    return FullSize(
        f"corner-{number}-{slug(trim.name)}",
        f"Corner {number}: {trim.name} {pair[0].id} / {pair[1].id}",
        corner_drawing(set_out, corner, pair),
        tuple(words),
        f"Full-size plan of the joint of {pair[0].id} and {pair[1].id} in corner {number}",
    )


def _mitre_words(corner: Corner, pair: tuple[Piece, Piece]) -> str:
    """The angle of the cut; where one of the two is bent that of each, since the arc does not halve the corner."""
    if all(piece.bend is None for piece in pair):
        return f"{mitre_angle(corner.angle):.2f}°"
    return " and ".join(f"{_slant(p, s):.2f}° ({p.id})" for p, s in zip(pair, SIDES, strict=True))


def _slant(piece: Piece, side: Side) -> float:
    """Degrees from square at which an end is cut; of a bent piece from square to its middle."""
    back, _, front, _ = piece.trim.edges
    return math.degrees(math.atan(abs(piece.end(side).slope) * piece.frame.scale((back + front) / 2)))


def corner_drawing(set_out: SetOut, corner: Corner, pair: tuple[Piece, Piece], scale: float = 1.0) -> Drawing:
    """The pieces that meet in a corner and both walls; `scale` is that of the sheet it is meant for."""
    left, right = (set_out.room.walls[k] for k in (corner.left, corner.right))
    frame = Frame(corner.plan, pair[0].frame.tangent(pair[0].right.station).along)
    walled = tuple(_corner_walls(corner, pair, frame, left, right))
    return joint_drawing(f"corner-{corner.right + 1}", pair, frame, walled, scale=scale)


def _cope_templates(set_out: SetOut, corner: Corner, pair: tuple[Piece, Piece]) -> Iterator[FullSize]:
    """The line to saw for each coped end in a corner."""
    corner = _as_cut(corner, pair)
    for piece, side in zip(pair, SIDES, strict=True):
        if piece.end(side).joint is Joint.COPE:
            mate = pair[0] if piece is pair[1] else pair[1]
            yield FullSize(
                f"cope-{slug(piece.id)}-{side.value}",
                f"Cope: {piece.trim.name} {piece.id}, {side.value} end",
                cope_drawing(piece, side, corner),
                (
                    f"{set_out.room.name}, corner {corner.right + 1}: {piece.id} is scribed to the face of {mate.id}.",
                    f"Seen from the room, {mate.id} on the wall that is hatched. Mitre the end first "
                    f"({mitre_angle(corner.angle):.2f}° from square), then saw along the edge that the mitre leaves on "
                    "the face, here the bold line.",
                    _back_words(undercut(piece, side, corner)),
                ),
                f"Full-size line to saw for the cope at the {side.value} end of {piece.id}",
            )


def _back_words(deepest: float) -> str:
    if deepest >= LEAST:
        return "Lean the saw so that the back is cut away at least to the dashed line."
    return "Lean the saw a little so that behind the bold line the back clears the face of the mate."


def _joint_words(piece: Piece, side: Side) -> str:
    joint = piece.end(side).joint
    return {Joint.COPE: "mitred, then coped", Joint.MITRE: "mitred", Joint.SQUARE: "cut square"}.get(joint, joint.value)


def joint_drawing(
    name: str,
    pair: tuple[Piece, Piece],
    frame: Frame,
    walled: tuple[Mark, ...] = (),
    legs: int = 1,
    scale: float = 1.0,
) -> Drawing:
    """Two pieces in plan, seen from above: station of `frame` to the right, out from it downwards."""
    ends = tuple(zip(pair, SIDES, strict=True))
    marks: list[Mark] = list(walled)
    for piece, side in ends:
        marks.append(Group(piece.id, tuple(body_marks(piece, side, _local(piece.frame, frame), legs))))
    marks += [cut_line(piece, side, frame) for piece, side in ends]
    labels = [_id_label(piece, side, frame, legs, scale) for piece, side in ends]
    return Drawing(name, (*marks, *place(labels, marks, scale)))


def _local(piece_frame: AnyFrame, frame: Frame) -> Place:
    """From (station, out) of a piece to a template drawn in another frame."""

    def at(station: float, out: float) -> Point:
        across, down = frame.locate(piece_frame.plan(station, out))
        return (across, -down)

    return at


def cut_line(piece: Piece, side: Side, frame: Frame) -> Path:
    """The cut across a piece from its back to its front."""
    end, at = piece.end(side), _local(piece.frame, frame)
    back, _, front, _ = piece.trim.edges
    return Path((Line(at(end.at(back), back), at(end.at(front), front)),), Layer.CUT)


def _id_label(piece: Piece, side: Side, frame: Frame, legs: int, scale: float) -> Label:
    """The id between joint and break, in the widest part of the piece, or beside a narrow one."""
    at = _local(piece.frame, frame)
    end, (far, _) = piece.end(side), far_station(piece, side, legs)
    back, _, front, _ = piece.trim.edges
    middle = (back + front) / 2
    spots: list[Spot] = []
    for out in (
        middle,
        back + (front - back) * 0.3,
        back + (front - back) * 0.7,
        front + 6 / scale,
        front + 10 / scale,
    ):
        for part in (0.5, 0.4, 0.6, 0.3, 0.7):
            spots.append((at(end.at(out) + part * (far - end.at(out)), out), Anchor.MIDDLE))
    line = (at(end.at(middle), middle), at(far, middle))
    return Label(text=piece.id, spots=tuple(spots), target=line, height=5.0)


def _corner_walls(corner: Corner, pair: tuple[Piece, Piece], frame: Frame, left: Wall, right: Wall) -> Iterator[Mark]:
    """Both walls as far as the pieces go, meeting in the corner."""
    far, near = (
        wall.frame.locate(piece.frame.plan(far_station(piece, side)[0]))[0]
        for wall, piece, side in zip((left, right), pair, SIDES, strict=True)
    )
    length, past = left.length, WALL * corner.half_cot
    first, last = (_local(wall.frame, frame) for wall in (left, right))
    start, stop = min(far, length), max(near, 0.0)
    yield from wall_strip(first, start, length, (start, length + past), curved=left.bend is not None)
    yield from wall_strip(last, 0.0, stop, (-past, stop), curved=right.bend is not None)


def seams(set_out: SetOut) -> Iterator[list[tuple[Piece, Piece]]]:
    """Segments of a trim that meet along one curved wall, those together that meet at one angle."""
    groups: dict[tuple[str, int, float], list[tuple[Piece, Piece]]] = {}
    for piece in set_out.pieces:
        if piece.right.seam and piece.right.mate and piece.right.corner:
            key = (piece.trim.name, piece.wall, round(piece.right.corner, 1))
            groups.setdefault(key, []).append((piece, set_out.piece(piece.right.mate)))
    yield from groups.values()


def _seam_template(set_out: SetOut, pairs: list[tuple[Piece, Piece]]) -> FullSize:
    """The joint of two segments of a curve, one template for all of the same angle."""
    first, second = pairs[0]
    wall, angle = set_out.room.walls[first.wall], first.right.corner or 180.0
    name = f"segments-{wall.index + 1}-{slug(first.trim.name)}"
    words = (
        f"{set_out.room.name}, wall {wall.index + 1} ({wall.name}), a curve in straight segments: "
        + ", ".join(f"{a.id}/{b.id}" for a, b in pairs)
        + ".",
        f"Angle in the room {angle:.2f}°; every end is mitred {mitre_angle(angle):.2f}° from square.",
        f"Seen from above. Lay it on the top edge of the {first.trim.name}, back line to the back edge.",
    )
    return FullSize(
        name,
        f"Segments: {first.trim.name} {first.id} / {second.id}" + (" and alike" if len(pairs) > 1 else ""),
        joint_drawing(name, (first, second), Frame(second.frame.plan(0.0), first.frame.tangent(0.0).along), legs=2),
        words,
        f"Full-size plan of the joint of {first.id} and {second.id}",
    )


def along_pairs(set_out: SetOut) -> Iterator[tuple[Piece, Piece]]:
    """Pieces that meet in a scarf or a mitred return, not in a corner of the room."""
    for piece in set_out.pieces:
        end = piece.right
        if end.joint in (Joint.SCARF, Joint.RETURN) and end.mate is not None:
            yield piece, set_out.piece(end.mate)


def along_drawing(set_out: SetOut, pair: tuple[Piece, Piece], scale: float = 1.0) -> Drawing:
    """A scarf or a return, drawn along the wall, whichever of the two pieces turns away from it."""
    closing, frame = _closing(pair), along_frame(pair)
    name = f"scarf-{slug(pair[1].id)}" if closing is None else f"return-{slug(closing.id)}"
    return joint_drawing(name, pair, frame, legs=2 if closing is None else 1, scale=scale)


def along_frame(pair: tuple[Piece, Piece]) -> Frame:
    """A frame along the wall at the joint of two pieces, of which one may turn away from it."""
    piece, mate = pair
    along = mate.frame.tangent(mate.left.station) if piece.is_return else piece.frame.tangent(piece.right.station)
    return Frame(piece.frame.plan(piece.right.at(0.0)), along.along)


def _closing(pair: tuple[Piece, Piece]) -> Piece | None:
    return next((piece for piece in pair if piece.is_return), None)


def _along_template(set_out: SetOut, pair: tuple[Piece, Piece]) -> FullSize:
    piece, end, closing = pair[0], pair[0].right, _closing(pair)
    wall = set_out.room.walls[piece.wall]
    angle = 45.0 if end.corner is None else mitre_angle(end.corner)
    drawing = along_drawing(set_out, pair)
    return FullSize(
        drawing.name,
        f"{'Scarf' if closing is None else 'Return'}: {piece.trim.name} {pair[0].id} / {pair[1].id}",
        drawing,
        (
            f"{set_out.room.name}, wall {wall.index + 1} ({wall.name}): {pair[0].id} right end to {pair[1].id} left end"
            + (f"; {closing.id} is the return." if closing else "."),
            f"Cut at {angle:.2f}° from square. Seen from above, the wall along the top.",
        ),
        f"Full-size plan of the joint of {pair[0].id} and {pair[1].id}",
    )
