"""W(n, k): the job the speed figures are measured with, made of the program's own values.

A closed room of n walls (n a multiple of four): an oblong whose two long sides have bays, so that its corners are
90, 135 and 225 degrees; a cove 90 × 90 at the ceiling, a rail of twelve edges, a U channel of twelve edges held off
the wall; every corner mitred; k vertical pipes, each notched out of cove and rail.
"""

from __future__ import annotations

import math

from trimwright.profile.outline import Arc, Line, Outline, Point
from trimwright.profile.section import Section
from trimwright.room import Corner, Frame, Pipe, Room, Wall
from trimwright.setout.piece import End, Joint, JointPolicy, Material, Notch, Opens, Piece, SetOut, Trim

__all__ = ["CHORD", "cove", "polygon", "workload"]

CHORD = 0.1
CEILING = 2600.0
SIDE, FLAT, SLANT, BAY = 5000.0, 3000.0, 1800.0, 2400.0
PITCH, MARGIN = 90.0, 150.0
PIPE_OUT, PIPE_RADIUS, NOTCH_RADIUS = 14.0, 6.0, 9.0

RAIL = [
    (0, 0),
    (30, 0),
    (38, 6),
    (38, 14),
    (32, 16),
    (32, 30),
    (24, 36),
    (24, 48),
    (30, 52),
    (26, 60),
    (12, 64),
    (0, 64),
]
CHANNEL = [(0, 0), (30, 0), (30, 22), (29, 24), (27, 24), (26, 22), (26, 4), (4, 4), (4, 22), (3, 24), (1, 24), (0, 22)]


def polygon(points: list[tuple[float, float]], out: float = 0.0, height: float = 0.0) -> Outline:
    """A closed outline of straight edges, moved."""
    placed: list[Point] = [(x + out, y + height) for x, y in points]
    return Outline.of(Line(a, b) for a, b in zip(placed, (*placed[1:], placed[0]), strict=True))


def cove(leg: float, lip: float, top: float) -> Outline:
    """A quarter hollow between two lips, its corner at (0, top)."""
    face = Arc((lip, top - leg), (leg, top - lip), (leg, top - leg), clockwise=True)
    edges = [Line((0.0, top), (0.0, top - leg)), Line((0.0, top - leg), (lip, top - leg)), face]
    return Outline.of([*edges, Line((leg, top - lip), (leg, top)), Line((leg, top), (0.0, top))])


def workload(walls: int, pipes: int) -> SetOut:
    """The room of `walls` walls with `pipes` pipes, set out."""
    room = _room(walls, pipes)
    sections = {
        "cove": cove(90, 8, CEILING),
        "rail": polygon(RAIL, height=2000),
        "channel": polygon(CHANNEL, out=120, height=2400),
    }
    trims = tuple(_trim(name, outline, room) for name, outline in sections.items())
    pieces = tuple(_piece(trim, wall, room) for trim in trims for wall in room.walls)
    return SetOut(room=room, trims=trims, pieces=pieces, order=tuple(piece.id for piece in pieces))


def _room(count: int, pipes: int) -> Room:
    bays = (count - 4) // 4
    if count != 4 + 4 * bays or bays < 0:
        raise ValueError("n must be a multiple of four")
    # Both long sides are as long as the one with more bays; the other is made up on its last flat wall.
    most = bays - bays // 2
    step = FLAT + 2 * SLANT * math.cos(math.pi / 4) + BAY
    sides = []
    for here in (most, bays // 2):
        flats = [FLAT] * here + [FLAT + (most - here) * step]
        steps = [
            piece for flat in flats[:-1] for piece in ((flat, 225.0), (SLANT, 135.0), (BAY, 135.0), (SLANT, 225.0))
        ]
        sides += [*steps, (flats[-1], 90.0), (SIDE, 90.0)]
    at, heading, walls = (0.0, 0.0), 0.0, []
    for k, (length, corner) in enumerate(sides):
        turn = math.radians(heading)
        frame = Frame(at, (math.cos(turn), math.sin(turn)))
        walls.append(Wall(k, f"wall {k + 1}", length, frame))
        at, heading = frame.plan(length), heading - (180 - corner)
    angles = [corner for _, corner in sides]
    corners = tuple(Corner((k - 1) % count, k, angles[k - 1], walls[k].start) for k in range(count))
    return Room(
        name=f"W({count}, {pipes})",
        closed=True,
        walls=tuple(walls),
        corners=corners,
        ceilings=(CEILING,) * count,
        pipes=_pipes(walls, pipes),
    )


def _pipes(walls: list[Wall], count: int) -> tuple[Pipe, ...]:
    """Pipes spread evenly over all the places at least `PITCH` apart and clear of the corners."""
    places = [
        (wall.index, MARGIN + k * PITCH) for wall in walls for k in range(int((wall.length - 2 * MARGIN) // PITCH) + 1)
    ]
    chosen = [places[k * len(places) // count] for k in range(count)]
    return tuple(
        Pipe(
            wall=wall,
            name=f"pipe {k + 1}",
            start=(station, PIPE_OUT, 0.0),
            end=(station, PIPE_OUT, CEILING),
            diameter=2 * PIPE_RADIUS,
        )
        for k, (wall, station) in enumerate(chosen)
    )


def _trim(name: str, outline: Outline, room: Room) -> Trim:
    return Trim(
        name=name,
        letter=name[0].upper(),
        section=Section(name=name, kind="cornice", outline=outline),
        outline=outline,
        material=Material(name="pine", density=500.0, colour="#d8b98a"),
        walls=tuple(range(len(room.walls))),
        joints=JointPolicy(internal=Joint.MITRE, external=Joint.MITRE, end=Joint.SQUARE, length=Joint.SCARF),
        stock=(),
    )


def _piece(trim: Trim, wall: Wall, room: Room) -> Piece:
    count, letter = len(room.walls), trim.name[0:2].upper()
    left, right = room.corners[wall.index], room.corners[(wall.index + 1) % count]
    assert left is not None
    assert right is not None
    back, bottom, _, top = trim.edges
    notches = tuple(
        Notch(
            pipe=pipe.name,
            station=pipe.start[0],
            out=PIPE_OUT,
            radius=NOTCH_RADIUS,
            depth=PIPE_OUT + NOTCH_RADIUS - back,
            opens=Opens.BACK,
            bottom=bottom,
            top=top,
        )
        for pipe in room.pipes
        if pipe.wall == wall.index and back < PIPE_OUT + NOTCH_RADIUS
    )
    return Piece(
        id=f"{letter}{wall.index + 1}",
        trim=trim,
        wall=wall.index,
        frame=wall.frame,
        left=End(
            joint=Joint.MITRE,
            station=0.0,
            slope=left.half_cot,
            corner=left.angle,
            mate=f"{letter}{(wall.index - 1) % count + 1}",
        ),
        right=End(
            joint=Joint.MITRE,
            station=wall.length,
            slope=-right.half_cot,
            corner=right.angle,
            mate=f"{letter}{(wall.index + 1) % count + 1}",
        ),
        notches=notches,
    )
