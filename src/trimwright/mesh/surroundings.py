"""The room itself as closed bodies: floor, ceiling, walls with their openings cut, casings, pipes, fittings.

Walls, floor and ceiling lie outside the measured faces, so whatever is measured in the room is exact; how thick
they are drawn, and what is drawn in an opening, is for the look only (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from trimwright.mesh.bend import bent_sweep
from trimwright.mesh.body import Body, Kind
from trimwright.mesh.cut import subtract
from trimwright.mesh.shape import Mesh
from trimwright.mesh.sketched import FACE, WALL, curved_wall, upright
from trimwright.mesh.sweep import prism, stencil_of, sweep
from trimwright.profile.outline import Arc, Outline
from trimwright.project.finish import AS_USUAL, Finish
from trimwright.room import AnyFrame, Bend, Fitting, Opening, Pipe, PlanPoint, Room, Wall
from trimwright.tolerance import CHORD, COINCIDENT, TOUCH

__all__ = ["surroundings"]

LEAF = (-50.0, -10.0)
"""Back and front of a closed door leaf, or of a window frame, out from the wall face."""

PANE = (-33.0, -27.0)
"""Back and front of a window pane."""

SASH = 45.0
"""Face width of a window frame."""

FLOOR_STRIP = 1500.0
"""Width of the floor shown in front of an open run of walls."""

COLOURS = {
    "wall": "#ece8df",
    "floor": "#b59a78",
    "ceiling": "#f6f5f1",
    "casing": "#f2efe8",
    "leaf": "#cdb698",
    "pane": "#bcd3dc",
    "pipe": "#b87349",
    "fitting": "#8d9399",
}

Direction = tuple[float, float, float]
UP: Direction = (0.0, 0.0, 1.0)
DOWN: Direction = (0.0, 0.0, -1.0)

Colours = Mapping[str, str]
"""Of each part of a room, #rrggbb."""

Box = tuple[float, float, float, float, float, float]


def surroundings(room: Room, finish: Finish = AS_USUAL) -> tuple[Body, ...]:
    """Everything in the room that is not trim, each closed and in its colour: what the trim is seen against."""
    return tuple(_bodies(room, {**COLOURS, **finish.part}, finish.wall))


def _bodies(room: Room, colours: Colours, own: Mapping[int, str]) -> Iterator[Body]:
    yield _body(floor(room), Kind.FLOOR, colours["floor"], UP)
    if room.closed:
        yield _body(ceiling(room), Kind.CEILING, colours["ceiling"], DOWN)
    for wall in (wall for wall in room.walls if not _wholly_open(room, wall)):
        colour = own.get(wall.index, colours["wall"])
        yield _on_wall(wall_mesh(room, wall), Kind.WALL, colour, wall.frame, wall.length / 2)
    for opening, name in zip(room.openings, _opening_names(room), strict=True):
        yield from _in_opening(opening, room.walls[opening.wall].frame, name, colours)
    for pipe in room.legs:
        yield _body(pipe_mesh(pipe, room.walls[pipe.wall].frame), Kind.PIPE, colours["pipe"])
    for fitting in room.fittings:
        yield _body(fitting_mesh(fitting, room.walls[fitting.wall].frame), Kind.FITTING, colours["fitting"])


def floor(room: Room) -> Mesh:
    """A slab below the floor datum: the room's plan, or a strip along an open run."""
    loop = room.outline(FACE)[::-1] if room.closed else _strip(room)
    return prism(loop, -WALL, 0.0, name="floor")


def ceiling(room: Room) -> Mesh:
    """A slab above the ceiling, its corners at their own heights."""
    slab = prism(room.outline(FACE)[::-1], 0.0, WALL, name="ceiling")
    heights = np.tile([h for wall in room.walls for h in _heights(room, wall)[:-1]][::-1], 2)
    return Mesh(slab.vertices + np.column_stack([np.zeros((len(heights), 2)), heights]), slab.faces, slab.name)


def wall_mesh(room: Room, wall: Wall) -> Mesh:
    """A wall from floor to ceiling, mitred outwards at its corners, with its openings cut through."""
    body = _straight_wall(room, wall) if wall.bend is None else curved_wall(room, wall, wall.bend)
    holes = [_hole(o, wall.frame, max(_tops(room, wall))) for o in room.openings if o.wall == wall.index]
    return subtract(body, holes) if holes else body


def _straight_wall(room: Room, wall: Wall) -> Mesh:
    before, after = room.corner_left(wall.index), room.corner_right(wall.index)
    left = (0.0, before.half_cot if before else 0.0)
    right = (wall.length, -after.half_cot if after else 0.0)
    # A section of unit height, raised at either end to the height of its own corner.
    section = stencil_of([(-WALL, 0.0), (0.0, 0.0), (0.0, 1.0), (-WALL, 1.0)])
    body = sweep(section, [wall.frame.tangent(0.0)], [left], [right], [f"wall {wall.name}"])[0]
    body.vertices[:, 2] *= np.repeat(_tops(room, wall), len(section.points))
    return body


def _heights(room: Room, wall: Wall) -> list[float]:
    """Height of the ceiling at the stations that divide a wall, straight from corner to corner."""
    left, right = _tops(room, wall)
    return [left + (right - left) * s / wall.length for s in wall.stations(FACE)]


def pipe_mesh(pipe: Pipe, frame: AnyFrame) -> Mesh:
    """A pipe as a many-sided prism with the area of its circle; one that lies along a curved wall follows it."""
    side = (pipe.radius, 0.0)
    half = (-pipe.radius, 0.0)
    ring = Outline.of([Arc(side, half, (0.0, 0.0), clockwise=False), Arc(half, side, (0.0, 0.0), clockwise=False)])
    if isinstance(frame, Bend) and not pipe.vertical:
        round_axis = stencil_of(ring.moved(*pipe.start[1:]).points(CHORD))
        left, right = ([station] * len(round_axis.points) for station in sorted((pipe.start[0], pipe.end[0])))
        return bent_sweep(round_axis, frame, left, right, f"pipe {pipe.name}", FACE)
    flat = prism(ring.points(CHORD), 0.0, math.dist(pipe.start, pipe.end), name=f"pipe {pipe.name}")
    ends = np.array([frame.room_point(*pipe.start), frame.room_point(*pipe.end)])
    axis = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
    aside = np.cross(axis, (1.0, 0.0, 0.0) if abs(axis[0]) < 0.9 else (0.0, 1.0, 0.0))
    aside /= np.linalg.norm(aside)
    turned = flat.vertices @ np.array([aside, np.cross(axis, aside), axis])
    return Mesh(ends[0] + turned, flat.faces, flat.name)


def fitting_mesh(fitting: Fitting, frame: AnyFrame) -> Mesh:
    """A fitting as the box or the disc it was measured as; on a curved wall a box follows the face."""
    if fitting.round:
        return _disc(fitting, frame)
    box = (fitting.left, fitting.right, fitting.back, fitting.out, fitting.bottom, fitting.top)
    return _box(box, frame, f"fitting {fitting.name}")


def _disc(fitting: Fitting, frame: AnyFrame) -> Mesh:
    radius = (fitting.right - fitting.left) / 2
    x, y = frame.plan(fitting.left + radius, (fitting.back + fitting.out) / 2)
    side, half = (x + radius, y), (x - radius, y)
    ring = Outline.of([Arc(side, half, (x, y), clockwise=False), Arc(half, side, (x, y), clockwise=False)])
    return prism(ring.points(CHORD), fitting.bottom, fitting.top, name=f"fitting {fitting.name}")


def _in_opening(opening: Opening, frame: AnyFrame, name: str, colours: Colours) -> Iterator[Body]:
    """Casing, door leaf, window frame and pane, as far as the opening has them."""
    s, w, sill, head = opening.station, opening.width, opening.sill, opening.head
    middle = s + w / 2
    if opening.architrave > 0:
        outer = (opening.left, opening.right, opening.bottom, opening.top)
        boards = _boards(outer, (s, s + w, sill, head), (0.0, opening.casing), frame, f"casing {name}")
        yield from (_on_wall(board, Kind.OPENING, colours["casing"], frame, middle) for board in boards)
    if opening.kind == "door":
        leaf = _box((s, s + w, *LEAF, sill, head), frame, f"leaf {name}")
        yield _on_wall(leaf, Kind.OPENING, colours["leaf"], frame, middle)
    if opening.kind == "window":
        sash = min(SASH, w / 4, (head - sill) / 4)
        inner = (s + sash, s + w - sash, sill + sash, head - sash)
        boards = _boards((s, s + w, sill, head), inner, LEAF, frame, f"frame {name}")
        yield from (_on_wall(board, Kind.OPENING, colours["casing"], frame, middle) for board in boards)
        left, right, low, high = inner
        pane = _box((left, right, *PANE, low, high), frame, f"pane {name}")
        yield _on_wall(pane, Kind.OPENING, colours["pane"], frame, middle)


def _boards(
    outer: Sequence[float], inner: Sequence[float], faces: tuple[float, float], frame: AnyFrame, name: str
) -> Iterator[Mesh]:
    """The mitred boards between two rectangles (left, right, bottom, top): none where they share an edge."""
    (l0, r0, b0, t0), (l1, r1, b1, t1) = outer, inner
    boards = {
        "left": (l0 < l1, [(l0, b0), (l1, b1), (l1, t1), (l0, t0)]),
        "right": (r1 < r0, [(r1, b1), (r0, b0), (r0, t0), (r1, t1)]),
        "head": (t1 < t0, [(l1, t1), (r1, t1), (r0, t0), (l0, t0)]),
        "sill": (b0 < b1, [(l0, b0), (r0, b0), (r1, b1), (l1, b1)]),
    }
    for side, (present, loop) in boards.items():
        if present:
            yield upright(loop, faces, frame, f"{name} {side}")


def _box(box: Box, frame: AnyFrame, name: str) -> Mesh:
    left, right, back, front, bottom, top = box
    return upright([(left, bottom), (right, bottom), (right, top), (left, top)], (back, front), frame, name)


def _hole(opening: Opening, frame: AnyFrame, top: float) -> Mesh:
    """What an opening takes out of its wall: open below if it stands on the floor, above if it reaches `top`."""
    s, depth = opening.station, 2 * WALL
    low = opening.sill if opening.sill > TOUCH else -WALL
    high = opening.head if opening.head < top - TOUCH else top + WALL
    return _box((s, s + opening.width, -depth, depth, low, high), frame, "opening")


def _wholly_open(room: Room, wall: Wall) -> bool:
    """True if an opening leaves nothing of the wall, as between two rooms thrown into one."""
    return any(
        opening.wall == wall.index
        and opening.width > wall.length - TOUCH
        and opening.sill < TOUCH
        and opening.head > min(_tops(room, wall)) - TOUCH
        for opening in room.openings
    )


def _tops(room: Room, wall: Wall) -> tuple[float, float]:
    """Height of the ceiling at the left and at the right end of a wall."""
    return room.ceilings[wall.index], room.ceilings[(wall.index + 1) % len(room.ceilings)]


def _strip(room: Room) -> list[PlanPoint]:
    """The hull, anticlockwise, of an open run and of a line in front of each of its walls (Andrew's chain)."""
    points = sorted(
        {wall.frame.plan(s, out) for wall in room.walls for s in wall.stations(FACE) for out in (0.0, FLOOR_STRIP)}
    )
    return _half_hull(points)[:-1] + _half_hull(points[::-1])[:-1]


def _half_hull(points: Sequence[PlanPoint]) -> list[PlanPoint]:
    chain: list[PlanPoint] = []
    for x, y in points:
        while len(chain) > 1:
            (ax, ay), (bx, by) = chain[-2:]
            if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > COINCIDENT:
                break
            chain.pop()
        chain.append((x, y))
    return chain


def _opening_names(room: Room) -> list[str]:
    """A name each: its own, or its kind and number."""
    return [opening.name or f"{opening.kind} {k}" for k, opening in enumerate(room.openings, start=1)]


def _on_wall(mesh: Mesh, kind: Kind, colour: str, frame: AnyFrame, middle: float) -> Body:
    """A wall or what hangs in it: it faces the room at its middle and, on a curved wall, turns about the centre."""
    body = _body(mesh, kind, colour, (*frame.tangent(middle).outward, 0.0))
    return replace(body, centre=frame.centre) if isinstance(frame, Bend) else body


def _body(mesh: Mesh, kind: Kind, colour: str, inward: Direction = (0.0, 0.0, 0.0)) -> Body:
    return Body(name=mesh.name, vertices=mesh.vertices, faces=mesh.faces, colour=colour, kind=kind, inward=inward)
