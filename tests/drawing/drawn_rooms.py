"""Rooms and trims made by hand for the tests of the drawings, from plan points and plain formulas."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from trimwright.drawing.marks import Group
from trimwright.drawing.sheet import Sheet
from trimwright.profile.outline import Line, Outline, Point, arc_through
from trimwright.profile.section import Section
from trimwright.room import Corner, Fitting, Frame, Opening, Pipe, Room, Wall
from trimwright.setout.piece import End, Joint, JointPolicy, Material, Notch, Opens, Piece, SetOut, Stock, Trim


def without_frame(sheet: Sheet) -> Sheet:
    """All of a sheet that has to stay inside its frame: the frame's own centring marks reach out of it."""
    kept = tuple(m for m in sheet.marks if not (isinstance(m, Group) and m.name == "frame"))
    assert len(kept) == len(sheet.marks) - 1
    return replace(sheet, marks=kept)


POLICY = JointPolicy(internal=Joint.MITRE, external=Joint.MITRE, end=Joint.RETURN, length=Joint.SCARF)


def room_of(name: str, points: Sequence[Point], closed: bool = True, **content: tuple) -> Room:
    """A room whose corners lie at plan points, clockwise; an open run ends at the last point."""
    ends = [*points[1:], points[0]] if closed else points[1:]
    walls = []
    for k, (a, b) in enumerate(zip(points, ends, strict=False)):
        length = math.dist(a, b)
        along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        walls.append(Wall(k, f"wall {chr(97 + k)}", length, Frame(a, along)))
    corners: list[Corner | None] = []
    for k, wall in enumerate(walls):
        before = walls[k - 1]
        if k == 0 and not closed:
            corners.append(None)
            continue
        (ax, ay), (bx, by) = before.frame.along, wall.frame.along
        turn = math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))
        corners.append(Corner(before.index, k, 180 + turn, wall.start))
    count = len(walls) + (0 if closed else 1)
    ceilings = content.pop("ceilings", tuple(2500.0 + 2 * (k % 3) for k in range(count)))
    return Room(name=name, closed=closed, walls=tuple(walls), corners=tuple(corners), ceilings=ceilings, **content)


def polygon(*points: Point) -> Outline:
    """An outline of straight edges."""
    return Outline.of(Line(a, b) for a, b in zip(points, (*points[1:], points[0]), strict=True))


def cove(leg: float = 100.0, lip: float = 8.0) -> Outline:
    """A quarter hollow with a lip at each edge, its top at height 0."""
    reach = leg - lip
    middle = (leg - reach * math.sqrt(0.5), -leg + reach * math.sqrt(0.5))
    hollow = arc_through((lip, -leg), middle, (leg, -lip))
    return Outline.of(
        (
            Line((0, 0), (0, -leg)),
            Line((0, -leg), (lip, -leg)),
            hollow,
            Line((leg, -lip), (leg, 0)),
            Line((leg, 0), (0, 0)),
        )
    )


def rail() -> Outline:
    """A picture rail, 55 high and 22 out, its top at height 0."""
    return polygon((0, 0), (0, -55), (8, -55), (12, -40), (12, -20), (22, -12), (22, -4), (16, 0))


def trim_of(name: str, letter: str, kind: str, outline: Outline, room: Room) -> Trim:
    section = Section(name=name, kind=kind, outline=outline)
    return Trim(
        name=name,
        letter=letter,
        section=section,
        outline=outline,
        material=Material(name="gypsum plaster" if kind == "cornice" else "softwood", density=900, colour="#eeeeee"),
        walls=tuple(range(len(room.walls))),
        joints=POLICY,
        stock=(Stock(length=3000),),
    )


def mitred(room: Room, trim: Trim) -> list[Piece]:
    """One piece a wall, mitred at each corner; free ends returned, the return's outer face at the wall's end."""
    pieces = []
    front = trim.edges.front
    for k, wall in enumerate(room.walls):
        left, right = room.corner_left(k), room.corner_right(k)
        # Mitre: station L - o cot(C/2) at the right end, mirrored at the left; a return is an external right angle.
        a = (
            End(joint=Joint.MITRE, station=0, slope=left.half_cot, corner=left.angle)
            if left
            else End(joint=Joint.RETURN, station=front, slope=-1, corner=270, mate=f"{trim.letter}{k + 1}r")
        )
        b = (
            End(joint=Joint.MITRE, station=wall.length, slope=-right.half_cot, corner=right.angle)
            if right
            else End(
                joint=Joint.RETURN, station=wall.length - front, slope=1, corner=270, mate=f"{trim.letter}{k + 1}r"
            )
        )
        pieces.append(Piece(id=f"{trim.letter}{k + 1}", trim=trim, wall=k, frame=wall.frame, left=a, right=b))
        for side, free in (("left", left is None), ("right", right is None)):
            if free:
                pieces.append(return_piece(trim, wall, side, f"{trim.letter}{k + 1}r"))
    return linked(pieces)


def return_piece(trim: Trim, wall: Wall, side: str, name: str) -> Piece:
    """The return at a free end: it lies on a plane square to the wall, its face outwards."""
    front = trim.edges.front
    nx, ny = wall.frame.outward
    mate = f"{trim.letter}{wall.index + 1}"
    joint = End(joint=Joint.RETURN, station=0, slope=-1, corner=270, mate=mate)
    if side == "left":
        # Faces away along -x of the wall: runs from the wall outwards, its right end mitred to the main piece.
        frame = Frame(wall.frame.plan(front), (nx, ny))
        left, right = (
            End(joint=Joint.SQUARE, station=0),
            End(joint=Joint.RETURN, station=0, slope=1, corner=270, mate=mate),
        )
    else:
        frame = Frame(wall.frame.plan(wall.length - front), (-nx, -ny))
        left, right = joint, End(joint=Joint.SQUARE, station=0)
    return Piece(id=name, trim=trim, wall=wall.index, frame=frame, left=left, right=right, is_return=True)


def linked(pieces: list[Piece]) -> list[Piece]:
    """Mates of corner mitres filled in: the next piece on the right, the one before on the left."""
    from dataclasses import replace

    main = [p for p in pieces if not p.is_return]
    done = {}
    for k, piece in enumerate(main):
        left = piece.left if piece.left.joint is Joint.RETURN else replace(piece.left, mate=main[k - 1].id)
        right = (
            piece.right
            if piece.right.joint is Joint.RETURN
            else replace(piece.right, mate=main[(k + 1) % len(main)].id)
        )
        done[piece.id] = replace(piece, left=left, right=right)
    return [done.get(p.id, p) for p in pieces]


def l_room() -> SetOut:
    """An L-shaped room a little out of square: five internal corners, one external; door, window, pipe, track."""
    points = [(0, 0), (4620, 20), (4600, -3300), (2400, -3310), (2410, -2000), (15, -1985)]
    room = room_of(
        "L room",
        points,
        openings=(
            Opening(wall=0, kind="door", station=3120, width=838, sill=0, head=2032, architrave=70),
            Opening(wall=1, kind="window", station=900, width=1400, sill=850, head=2100, architrave=60),
        ),
        pipes=(
            Pipe(wall=0, name="flow", start=(260, 38, 0), end=(260, 38, 2500), diameter=22, temperature=70),
            Pipe(wall=0, name="return", start=(330, 38, 0), end=(330, 38, 2500), diameter=22),
        ),
        fittings=(Fitting(wall=1, name="curtain track", left=700, right=2500, bottom=2230, top=2270, out=95),),
    )
    cornice = trim_of("cornice", "C", "cornice", cove().moved(0, 2500), room)
    picture = trim_of("picture rail", "P", "rail", rail().moved(0, 2157), room)
    pieces = mitred(room, cornice) + mitred(room, picture)
    notch = Notch(pipe="flow", station=260, out=38, radius=14, depth=52, opens=Opens.BACK, bottom=2400, top=2500)
    from dataclasses import replace

    pieces = [
        replace(p, notches=(notch, replace(notch, pipe="return", station=330))) if p.id == "C1" else p for p in pieces
    ]
    return SetOut(
        room=room,
        trims=(cornice, picture),
        pieces=tuple(pieces),
        order=tuple(p.id for p in pieces),
        notes=("Rail level with the door casings.",),
    )


def coped_room() -> SetOut:
    """A plain room of four walls whose rail is square on walls 1 and 3 and coped on 2 and 4; wall 3 in two lengths."""
    from dataclasses import replace

    room = room_of(
        "plain room",
        [(0, 0), (3600, 0), (3660, -2700), (-40, -2730)],
        openings=(Opening(wall=2, kind="door", station=900, width=762, sill=0, head=1981, architrave=65),),
    )
    trim = trim_of("picture rail", "R", "rail", rail().moved(0, 2101), room)
    pieces = mitred(room, trim)
    front = trim.edges.front
    for k in (0, 2):
        left, right, length = room.corner_left(k), room.corner_right(k), room.walls[k].length
        pieces[k] = replace(
            pieces[k],
            left=replace(pieces[k].left, joint=Joint.SQUARE, station=max(0.0, front * left.cot), slope=0.0),
            right=replace(pieces[k].right, joint=Joint.SQUARE, station=length - max(0.0, front * right.cot), slope=0.0),
        )
    for k in (1, 3):
        pieces[k] = replace(
            pieces[k], left=replace(pieces[k].left, joint=Joint.COPE), right=replace(pieces[k].right, joint=Joint.COPE)
        )
    # A scarf at 45 degrees whose middle lies at station 2400.
    middle = front / 2
    one = replace(pieces[2], id="R3", right=End(joint=Joint.SCARF, station=2400 - middle, slope=1, mate="R4"))
    two = replace(pieces[2], id="R4", left=End(joint=Joint.SCARF, station=2400 - middle, slope=1, mate="R3"))
    last = replace(pieces[3], id="R5", left=replace(pieces[3].left, mate="R4"))
    first = replace(pieces[0], left=replace(pieces[0].left, mate="R5"))
    second = replace(pieces[1], right=replace(pieces[1].right, mate="R3"))
    last = replace(last, right=replace(last.right, mate="R1"))
    kept = (first, second, one, two, last)
    return SetOut(room=room, trims=(trim,), pieces=kept, order=tuple(p.id for p in kept))


def open_run() -> SetOut:
    """Two walls with an external corner between them and returns at both free ends."""
    room = room_of("chimney breast", [(0, 0), (0, 1500), (1800, 1500)][::-1][::-1], closed=False)
    trim = trim_of("cornice", "C", "cornice", cove(90).moved(0, 2500), room)
    pieces = mitred(room, trim)
    return SetOut(room=room, trims=(trim,), pieces=tuple(pieces), order=tuple(p.id for p in pieces))
