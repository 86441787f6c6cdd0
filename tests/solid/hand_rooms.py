"""Sections and two-wall rooms made by hand, so that the solids are tested apart from the setting-out."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trimwright.profile.outline import Arc, Line, Outline, Point
from trimwright.profile.section import Section
from trimwright.room import Corner, Frame, PlanPoint, Room, Wall
from trimwright.setout.piece import (
    End,
    Joint,
    JointPolicy,
    Material,
    Notch,
    Piece,
    SetOut,
    Trim,
)

CEILING = 2500.0
WALL = 900.0
PLAIN = JointPolicy(internal=Joint.MITRE, external=Joint.MITRE, end=Joint.SQUARE, length=Joint.SCARF)


def polygon(*points: Point) -> Outline:
    """A section of straight lines."""
    return Outline.of(Line(a, b) for a, b in zip(points, (*points[1:], points[0]), strict=True))


def rectangle(width: float, height: float, back: float = 0.0) -> Outline:
    """A batten, its top at the ceiling."""
    low = CEILING - height
    return polygon((back, low), (back + width, low), (back + width, CEILING), (back, CEILING))


def hollow(radius: float) -> Outline:
    """A quarter hollow: wall and ceiling legs and the arc between them, centred on the corner opposite."""
    low = CEILING - radius
    arc = Arc((radius, CEILING), (0.0, low), (radius, low), clockwise=False)
    return Outline.of([Line((0.0, low), (0.0, CEILING)), Line((0.0, CEILING), (radius, CEILING)), arc])


def cove(leg: float, lip: float) -> Outline:
    """A quarter hollow with a flat of `lip` at wall and ceiling."""
    low, top = CEILING - leg, CEILING
    return Outline.of(
        [
            Line((0.0, top), (0.0, low)),
            Line((0.0, low), (lip, low)),
            Arc((lip, low), (leg, top - lip), (leg, low), clockwise=True),
            Line((leg, top - lip), (leg, top)),
            Line((leg, top), (0.0, top)),
        ]
    )


def bead(radius: float) -> Outline:
    """A half round, flat against the wall."""
    low = CEILING - 2 * radius
    arc = Arc((0.0, low), (0.0, CEILING), (0.0, CEILING - radius), clockwise=False)
    return Outline.of([arc, Line((0.0, CEILING), (0.0, low))])


def channel(back: float) -> Outline:
    """A U channel of eight lines, open at the top, held off the wall."""
    b, t = back, CEILING - 20
    return polygon(
        (b, t - 12), (b + 18, t - 12), (b + 18, t), (b + 16, t), (b + 16, t - 10), (b + 2, t - 10), (b + 2, t), (b, t)
    )


def ogee(drop: float = 60.0, projection: float = 50.0) -> Outline:
    """A fillet over an S curve of two quarter circles: round below, hollow above."""
    low, r = CEILING - drop, projection / 2
    middle = (r, low + r)
    return Outline.of(
        [
            Line((0.0, CEILING), (0.0, low)),
            Arc((0.0, low), middle, (0.0, low + r), clockwise=False),
            Arc(middle, (projection, low + projection), (projection, low + r), clockwise=True),
            Line((projection, low + projection), (projection, CEILING)),
            Line((projection, CEILING), (0.0, CEILING)),
        ]
    )


def trim_of(outline: Outline, name: str = "cornice", letter: str = "C", colour: str = "#d8cbb0") -> Trim:
    """A placed trim with nothing but its section."""
    section = Section(name=name, kind="cornice", outline=outline)
    material = Material(name="plaster", density=1000.0, colour=colour)
    return Trim(
        name=name,
        letter=letter,
        section=section,
        outline=outline,
        material=material,
        walls=(0, 1),
        joints=PLAIN,
        stock=(),
    )


def frames_at(angle: float) -> tuple[Frame, Frame]:
    """Two walls of length WALL, clockwise, that meet at `angle` in the room; the first runs along +x from 0, 0."""
    turn = math.radians(180 - angle)
    return Frame((0.0, 0.0), (1.0, 0.0)), Frame((WALL, 0.0), (math.cos(turn), -math.sin(turn)))


def room_of(frames: Sequence[Frame], angle: float = 90.0) -> Room:
    """An open run of walls in these frames."""
    walls = tuple(Wall(k, f"wall {k + 1}", WALL, frame) for k, frame in enumerate(frames))
    corners = (None, *(Corner(k, k + 1, angle, wall.start) for k, wall in enumerate(walls[1:])))
    return Room(name="by hand", closed=False, walls=walls, corners=corners, ceilings=(CEILING,) * (len(walls) + 1))


def square_end(station: float) -> End:
    """A square free end."""
    return End(joint=Joint.SQUARE, station=station)


def mitred_pair(outline: Outline, angle: float) -> SetOut:
    """Two pieces mitred where two walls meet at `angle`, square at their free ends: L - o cot(C/2)."""
    trim, slope = trim_of(outline), 1 / math.tan(math.radians(angle / 2))
    first, second = frames_at(angle)
    ends = (
        End(joint=Joint.MITRE, station=WALL, slope=-slope, corner=angle, mate="C2"),
        End(joint=Joint.MITRE, station=0.0, slope=slope, corner=angle, mate="C1"),
    )
    pieces = (
        Piece(id="C1", trim=trim, wall=0, frame=first, left=square_end(0.0), right=ends[0]),
        Piece(id="C2", trim=trim, wall=1, frame=second, left=ends[1], right=square_end(WALL)),
    )
    return set_out_of((first, second), (trim,), pieces, angle)


def coped_pair(outline: Outline, angle: float, coped: str = "C1") -> SetOut:
    """The same corner with one piece coped over the other, which runs square into it: L - max(0, p cot C)."""
    pair = mitred_pair(outline, angle)
    first, second = pair.pieces
    short = max(0.0, outline.bounds.front / math.tan(math.radians(angle)))
    if coped == "C1":
        right = End(joint=Joint.COPE, station=WALL, slope=first.right.slope, corner=angle, mate="C2")
        left = End(joint=Joint.SQUARE, station=short, corner=angle, mate="C1")
    else:
        right = End(joint=Joint.SQUARE, station=WALL - short, corner=angle, mate="C2")
        left = End(joint=Joint.COPE, station=0.0, slope=second.left.slope, corner=angle, mate="C1")
    trim = first.trim
    pieces = (
        Piece(id="C1", trim=trim, wall=0, frame=first.frame, left=first.left, right=right),
        Piece(id="C2", trim=trim, wall=1, frame=second.frame, left=left, right=second.right),
    )
    return set_out_of((first.frame, second.frame), (trim,), pieces, angle)


def returned(outline: Outline) -> SetOut:
    """One wall whose trim ends in a mitred return at its right; the return has no length at the wall."""
    trim, front = trim_of(outline), outline.bounds.front
    frame = Frame((0.0, 0.0), (1.0, 0.0))
    # The return faces the right: its own stations run from its front mitre back to the wall.
    back_frame = Frame((WALL - front, 0.0), (0.0, 1.0))
    main = Piece(
        id="C1",
        trim=trim,
        wall=0,
        frame=frame,
        left=square_end(0.0),
        right=End(joint=Joint.RETURN, station=WALL - front, slope=1.0, corner=270.0, mate="C1R"),
    )
    short = Piece(
        id="C1R",
        trim=trim,
        wall=0,
        frame=back_frame,
        left=End(joint=Joint.RETURN, station=0.0, slope=-1.0, corner=270.0, mate="C1"),
        right=square_end(0.0),
        is_return=True,
    )
    return set_out_of((frame,), (trim,), (main, short))


def notched(outline: Outline, notches: Sequence[Notch]) -> SetOut:
    """One straight piece with notches."""
    trim, frame = trim_of(outline), Frame((0.0, 0.0), (1.0, 0.0))
    piece = Piece(
        id="C1",
        trim=trim,
        wall=0,
        frame=frame,
        left=square_end(0.0),
        right=square_end(WALL),
        notches=tuple(notches),
    )
    return set_out_of((frame,), (trim,), (piece,))


def set_out_of(
    frames: Sequence[Frame], trims: tuple[Trim, ...], pieces: tuple[Piece, ...], angle: float = 90.0
) -> SetOut:
    """A set-out of these pieces in the order given."""
    return SetOut(room=room_of(frames, angle), trims=trims, pieces=pieces, order=tuple(p.id for p in pieces))


def mitred_ring(outline: Outline, corners: Sequence[PlanPoint]) -> SetOut:
    """A closed clockwise room with one piece a wall, every corner mitred."""
    trim, count = trim_of(outline), len(corners)
    sides = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    frames = [Frame(a, ((b[0] - a[0]) / math.dist(a, b), (b[1] - a[1]) / math.dist(a, b))) for a, b in sides]
    angles = [_angle_between(frames[k - 1], frames[k]) for k in range(count)]
    slopes = [1 / math.tan(math.radians(angle / 2)) for angle in angles]
    pieces = tuple(
        Piece(
            id=f"C{k + 1}",
            trim=trim,
            wall=k,
            frame=frames[k],
            left=End(joint=Joint.MITRE, station=0.0, slope=slopes[k], corner=angles[k], mate=f"C{(k - 1) % count + 1}"),
            right=End(
                joint=Joint.MITRE,
                station=math.dist(*sides[k]),
                slope=-slopes[(k + 1) % count],
                corner=angles[(k + 1) % count],
                mate=f"C{(k + 1) % count + 1}",
            ),
        )
        for k in range(count)
    )
    return set_out_of(frames, (trim,), pieces)


def _angle_between(left: Frame, right: Frame) -> float:
    """The angle in the room between a wall and the next one clockwise."""
    (ax, ay), (bx, by) = left.along, right.along
    return 180 + math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))
