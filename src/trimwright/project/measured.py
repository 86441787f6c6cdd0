"""From the tables of a room file to a `Room` whose parts agree with each other."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import islice, pairwise

from trimwright.errors import RoomFileError
from trimwright.frame import Bend, corner_angle
from trimwright.project.models import DiagonalTable, FittingTable, OpeningTable, PipeTable, RoomFile, WallTable
from trimwright.room import Corner, Fitting, Frame, Opening, Pipe, PlanPoint, Room, Wall
from trimwright.spelling import nearest
from trimwright.survey.adjust import Survey, adjust
from trimwright.survey.reading import Accuracy, room_readings
from trimwright.tolerance import DIVIDED, TOUCH
from trimwright.units import Units

__all__ = ["measured_room"]

WIDEST_SWEEP = 170.0
"""Degrees that one curved wall may turn: near a half turn its radius and the straight distance hardly fix it."""


def measured_room(tables: RoomFile) -> tuple[Room, Survey]:
    """The room of a file and how well it is known. Raises RoomFileError that names the entry, without the path.

    Readings that contradict each other are not an error here: the survey has them as suspects.
    """
    _check_names(tables)
    survey = _adjusted(tables)
    points = survey.points
    closed = tables.room.closed
    count = len(tables.wall)
    walls = tuple(_wall(i, tables.wall[i], points[i], points[(i + 1) % len(points)]) for i in range(count))
    _check_simple(walls, closed)
    corners = tuple(_corner(walls, k, survey) if closed or k else None for k in range(count))
    ceilings = _ceilings(tables, count if closed else count + 1)
    index = {wall.name: wall for wall in walls}
    room = Room(
        name=tables.room.name,
        closed=closed,
        walls=walls,
        corners=corners,
        ceilings=ceilings,
        between=tuple(_between(t, walls[k]) for k, t in enumerate(tables.wall)),
        units=Units(tables.room.units),
    )
    trims = [trim.name for trim in tables.trim]
    openings = tuple(_opening(t, f"[[opening]] {i}", index, room) for i, t in enumerate(tables.opening, 1))
    pipes = tuple(_pipe(t, index, room) for t in tables.pipe)
    fittings = tuple(_fitting(t, index, room.highest, trims) for t in tables.fitting)
    return replace(room, openings=openings, pipes=pipes, fittings=fittings), survey


def _adjusted(tables: RoomFile) -> Survey:
    """The most probable room from everything that was read."""
    closed = tables.room.closed
    if closed and len(tables.wall) < 3:
        raise RoomFileError("[[wall]]: a closed room needs at least three walls; for an open run set closed = false")
    index = {w.name: k for k, w in enumerate(tables.wall)}
    readings = room_readings(
        [w.length for w in tables.wall],
        [w.angle for w in tables.wall],
        [_diagonal(d, k, tables) for k, d in enumerate(tables.diagonal, 1)],
        [
            (_known(index, a, f"[[parallel]] {k}"), _known(index, b, f"[[parallel]] {k}"))
            for k, (a, b) in enumerate((p.walls for p in tables.parallel), 1)
        ],
        closed=closed,
        accuracy=Accuracy(**tables.survey.model_dump()),
    )
    return adjust(readings, closed=closed)


def _diagonal(table: DiagonalTable, number: int, tables: RoomFile) -> tuple[int, int, float]:
    corners = len(tables.wall) + (not tables.room.closed)
    first, second = table.corners
    if max(first, second) > corners or first == second:
        raise RoomFileError(
            f"[[diagonal]] {number}: corners {first} and {second}: give two different ones of 1 to {corners};"
            " corner k is the left end of wall k"
        )
    return (first - 1, second - 1, table.length)


def _known(index: Mapping[str, int], name: str, entry: str) -> int:
    if name not in index:
        raise RoomFileError(f"{entry}: there is no wall '{name}'{nearest(name, list(index))}")
    return index[name]


def _wall(index: int, table: WallTable, start: PlanPoint, end: PlanPoint) -> Wall:
    chord = math.dist(start, end)
    if table.radius is None:
        return _straight(index, table.name, start, end)
    least = chord / (2 * math.sin(math.radians(WIDEST_SWEEP / 2)))
    if table.radius < least:
        raise RoomFileError(
            f"[[wall]] {index + 1} ({table.name}), radius: an arc of radius {table.radius:g} cannot span the"
            f" {chord:.1f} between its ends in less than {WIDEST_SWEEP:g} degrees; {math.ceil(least)} or more can. A"
            " wall that turns further is measured as two"
        )
    bend = Bend.between(start, end, table.radius, inward=table.bow == "in")
    return Wall(index, table.name, 2 * math.asin(chord / 2 / bend.radius) * bend.radius, bend, table.sagitta)


def _straight(index: int, name: str, start: PlanPoint, end: PlanPoint) -> Wall:
    length = math.dist(start, end)
    return Wall(index, name, length, Frame(start, ((end[0] - start[0]) / length, (end[1] - start[1]) / length)))


def _corner(walls: Sequence[Wall], k: int, survey: Survey) -> Corner:
    """The corner at the left end of wall k: its angle in the room from the headings of the two faces there."""
    before, after = walls[k - 1], walls[k]
    angle = corner_angle(before.frame.tangent(before.length), after.frame.tangent(0.0))
    if not 30 - TOUCH <= angle <= 330 + TOUCH:
        where = " at the curved face" if before.bend or after.bend else ""
        raise RoomFileError(
            f"[[wall]] {before.name}: its corner would be {angle:.1f} degrees{where}; 30 to 330 can be fitted"
        )
    return Corner(before.index, after.index, angle, after.start, survey.angle_sds[k])


def _ceilings(tables: RoomFile, corners: int) -> tuple[float, ...]:
    ceiling = tables.room.ceiling
    if isinstance(ceiling, float):
        return (ceiling,) * corners
    if len(ceiling) != corners:
        raise RoomFileError(f"[room], ceiling: give one height, or one for each of the {corners} corners")
    return tuple(ceiling)


def _between(table: WallTable, wall: Wall) -> tuple[tuple[float, float], ...]:
    entry = f"[[wall]] {wall.index + 1} ({wall.name}), ceiling"
    for station, _ in table.ceiling:
        _within(entry, wall, station, station)
    return tuple(sorted(table.ceiling))


def _check_names(tables: RoomFile) -> None:
    seen: dict[str, int] = {}
    for number, wall in enumerate(tables.wall, 1):
        if wall.name in seen:
            raise RoomFileError(f"[[wall]] {number}: '{wall.name}' is already wall {seen[wall.name]}; rename one")
        seen[wall.name] = number


def _check_simple(walls: Sequence[Wall], closed: bool) -> None:
    """No two walls cross or touch, other than neighbours at their corner; curves are taken as chords."""
    faces: list[Wall] = []
    for wall in walls:
        points = [wall.frame.plan(s) for s in wall.stations(DIVIDED)]
        faces += [_straight(len(faces) + k, wall.name, a, b) for k, (a, b) in enumerate(pairwise(points))]
    for a, b in _beside(faces, closed):
        if _meet(a, b):
            raise RoomFileError(
                f"[[wall]]: '{a.name}' and '{b.name}' cross, so the room overlaps itself;"
                " check the lengths, and which corners are internal and which external"
            )


def _beside(faces: Sequence[Wall], closed: bool) -> list[tuple[Wall, Wall]]:
    """Faces whose boxes in plan meet and that are no neighbours, in their order: swept from left to right."""
    boxes = {face.index: _box(face) for face in faces}
    ordered = sorted(faces, key=lambda face: boxes[face.index][0])
    found: list[tuple[int, int]] = []
    for k, face in enumerate(ordered):
        _, right, low, high = boxes[face.index]
        for other in islice(ordered, k + 1, None):
            left, _, under, over = boxes[other.index]
            if left > right:
                break
            if low <= over and under <= high:
                found.append((min(face.index, other.index), max(face.index, other.index)))
    last = len(faces) - 1
    return [(faces[a], faces[b]) for a, b in sorted(found) if b > a + 1 and not (closed and (a, b) == (0, last))]


def _box(face: Wall) -> tuple[float, float, float, float]:
    """Left, right, bottom, top."""
    (ax, ay), (bx, by) = face.start, face.end
    return min(ax, bx), max(ax, bx), min(ay, by), max(ay, by)


def _meet(a: Wall, b: Wall) -> bool:
    """True if two plan segments whose boxes meet share a point (orientation test)."""
    a1, a2 = (a.frame.locate(p)[1] for p in (b.start, b.end))
    b1, b2 = (b.frame.locate(p)[1] for p in (a.start, a.end))
    return a1 * a2 <= TOUCH * TOUCH and b1 * b2 <= TOUCH * TOUCH


def _find(index: Mapping[str, Wall], name: str, entry: str) -> Wall:
    if name not in index:
        raise RoomFileError(f"{entry}, wall: there is no wall '{name}'{nearest(name, list(index))}")
    return index[name]


def _within(entry: str, wall: Wall, low: float, high: float) -> None:
    """Stations on the wall, else an error that says by how much it is off."""
    if low < -TOUCH or high > wall.length + TOUCH:
        raise RoomFileError(
            f"{entry}: reaches from {low:g} to {high:g} along wall '{wall.name}', which is {wall.length:.1f} long"
        )


def _opening(table: OpeningTable, entry: str, index: Mapping[str, Wall], room: Room) -> Opening:
    wall = _find(index, table.wall, entry)
    entry = f"{entry} ({table.kind} in '{table.wall}')"
    _within(entry, wall, table.from_left, table.from_left + table.width)
    if table.head <= table.sill:
        raise RoomFileError(f"{entry}: its head at {table.head:g} is not above its sill at {table.sill:g}")
    sides = (table.from_left, table.from_left + table.width)
    within = (height for station, height in room.ceiling_line(wall.index) if sides[0] < station < sides[1])
    ceiling = min([*(room.ceiling_at(wall.index, side) for side in sides), *within])
    if table.head > ceiling + TOUCH:
        raise RoomFileError(f"{entry}: its head at {table.head:g} is above the ceiling at {round(ceiling, 1):g}")
    return Opening(
        wall=wall.index,
        kind=table.kind,
        station=table.from_left,
        width=table.width,
        sill=table.sill,
        head=table.head,
        architrave=table.architrave,
        name=table.name,
        casing=table.casing,
        hinge=table.hinge or "",
        swing=table.swing,
    )


def _pipe(table: PipeTable, index: Mapping[str, Wall], room: Room) -> Pipe:
    entry = f"[[pipe]] '{table.name}'"
    wall = _find(index, table.wall, entry)
    points, ceiling = _pipe_points(table, wall, entry, room), room.highest
    _within(entry, wall, min(p[0] for p in points), max(p[0] for p in points))
    for _, out, height in points:
        if out < table.diameter / 2:
            raise RoomFileError(
                f"{entry}: out {out:g} is wall to centre; a {table.diameter:g} pipe would be in the wall"
            )
        if height > ceiling + TOUCH:
            raise RoomFileError(f"{entry}: goes up to {height:g}, above the ceiling at {ceiling:g}")
    return Pipe(
        wall=wall.index,
        name=table.name,
        start=points[0],
        end=points[-1],
        via=tuple(points[1:-1]),
        collar=table.collar,
        notch=table.notch or "",
        diameter=table.diameter,
        temperature=table.temperature,
    )


def _pipe_points(table: PipeTable, wall: Wall, entry: str, room: Room) -> Sequence[tuple[float, float, float]]:
    """The ends of its axis, and where it bends."""
    if table.points is not None:
        for a, b in pairwise(table.points):
            if math.dist(a, b) < TOUCH:
                raise RoomFileError(f"{entry}, points: two that follow each other are the same, {list(a)}")
        return table.points
    out, low = table.out or 0.0, 0.0 if table.start is None else table.start
    if table.end is not None:
        high = table.end
    else:
        high = wall.length if table.from_left is None else room.ceiling_at(wall.index, table.from_left)
    if high <= low:
        raise RoomFileError(f"{entry}: 'to' ({high:g}) must be more than 'from' ({low:g})")
    if table.from_left is not None:
        return (table.from_left, out, low), (table.from_left, out, high)
    height = table.height or 0.0
    return (low, out, height), (high, out, height)


def _fitting(table: FittingTable, index: Mapping[str, Wall], ceiling: float, trims: Sequence[str]) -> Fitting:
    entry = f"[[fitting]] '{table.name}'"
    wall = _find(index, table.wall, entry)
    _within(entry, wall, table.from_left, table.from_left + table.width)
    if table.top <= table.bottom:
        raise RoomFileError(f"{entry}: its top at {table.top:g} is not above its bottom at {table.bottom:g}")
    if table.top > ceiling + TOUCH:
        raise RoomFileError(f"{entry}: its top at {table.top:g} is above the ceiling at {ceiling:g}")
    return Fitting(
        wall=wall.index,
        name=table.name,
        left=table.from_left,
        right=table.from_left + table.width,
        bottom=table.bottom,
        top=table.top,
        out=table.out,
        back=table.back,
        kind=table.kind,
        round=table.round,
        free=_free(table),
        hinge=table.hinge or "",
        swing=table.swing,
        let_in=_let_in(table, entry, trims),
    )


def _let_in(table: FittingTable, entry: str, trims: Sequence[str]) -> tuple[str, ...]:
    """The trims that may be cut out for a fitting."""
    if isinstance(table.let_in, bool):
        return tuple(trims) if table.let_in else ()
    for name in table.let_in:
        if name not in trims:
            raise RoomFileError(f"{entry}, let_in: there is no trim '{name}'{nearest(name, trims)}")
    return tuple(table.let_in)


def _free(table: FittingTable) -> float:
    """Depth kept free before a fitting.

    Air that leaves a grille of w x h and turns aside passes all round its edge: there it has the same area as in the
    grille at a depth of w h / (2 (w + h)).
    """
    if table.free is not None:
        return table.free
    height = table.top - table.bottom
    return table.width * height / (2 * (table.width + height)) if table.kind == "grille" else 0.0
