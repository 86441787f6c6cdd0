"""The two pictures of a room: from the door as one comes in, and up into a corner where the trims meet."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from trimwright.picture.camera import View
from trimwright.room import Corner, Frame, Opening, PlanPoint, Room
from trimwright.setout.piece import SetOut

__all__ = ["CORNER_FIELD", "HIGH", "chosen_corner", "corner_view", "inside_room", "stack", "views"]

EYE = 1600.0
"""Height of the eye of a person who stands in the door, mm."""

STEP_IN = 250.0
"""How far inside the door, or off the wall, the eye is held."""

ROOM_FIELD, CORNER_FIELD = 78.0, 52.0
"""Horizontal angles of view: the whole room, and one corner without distortion."""

RISE = 0.12
"""The far ceiling stands this far (height over distance) above the middle of the picture of the room."""

LOOK_UP = 0.5
"""Height over distance at which the picture of the corner looks up."""

NEAREST, FARTHEST = 900.0, 1600.0
"""Distances from which a corner is looked at."""

ROUGHLY = 1.0
"""What hides a view may be known this roughly, mm: curved walls as chords, and a line along a wall is not hidden."""

HIGH = 700.0
"""Trims within this of the ceiling belong to the build-up that the corner is chosen and framed for."""


def views(set_out: SetOut) -> list[View]:
    """The room as a whole, and the richest corner seen from below."""
    return [_whole_room(set_out.room), _build_up(set_out)]


def _whole_room(room: Room) -> View:
    eye = _standpoint(room)
    target = max(_in_sight(room, eye), key=lambda point: math.dist(point, eye)) if room.closed else _middle(room.plan)
    height = room.ceiling - RISE * math.dist(target, eye)
    return View(
        name="room", title="The room from the door", eye=(*eye, EYE), target=(*target, height), field=ROOM_FIELD
    )


def _standpoint(room: Room) -> PlanPoint:
    """Inside the door; with no door, off the corner from which one sees farthest; or in front of an open run."""
    doors = [o for o in room.openings if o.kind == "door"] or [o for o in room.openings if o.sill <= 0]
    if doors:
        return _inside(room, doors[0])
    if not room.closed:
        return _before(room)
    corners = [c for c in room.corners if c and c.internal]
    places = [_off_corner(room, corner, 2 * STEP_IN) for corner in corners]
    return max(places, key=lambda place: max(math.dist(place, seen) for seen in _in_sight(room, place)))


def _inside(room: Room, door: Opening) -> PlanPoint:
    return room.walls[door.wall].frame.plan(door.station + door.width / 2, STEP_IN)


def _before(room: Room) -> PlanPoint:
    """A place in front of the middle of an open run, far enough to see much of it."""
    middle = room.walls[len(room.walls) // 2]
    return middle.frame.plan(middle.length / 2, max(1500.0, 0.6 * middle.length))


def _middle(points: Sequence[PlanPoint]) -> PlanPoint:
    return (sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points))


def _in_sight(room: Room, eye: PlanPoint) -> Iterator[PlanPoint]:
    """Internal corners that no wall hides from the eye; all points of the plan where there are none."""
    from shapely import LineString, Polygon

    inside = Polygon(room.outline(ROUGHLY)).buffer(ROUGHLY) if room.closed else None
    seen = [
        corner.plan
        for corner in room.corners
        if corner and corner.internal and (inside is None or inside.covers(LineString([eye, corner.plan])))
    ]
    yield from seen or [p for p in room.plan if p != eye]


def _build_up(set_out: SetOut) -> View:
    return corner_view(set_out, chosen_corner(set_out), "corner", "Up into a corner")


def corner_view(set_out: SetOut, corner: Corner | None, name: str, title: str, drawn_out: float = 0.0) -> View:
    """Up into a corner, or at the longest wall for None; `drawn_out`: how much lower the lowest trim is shown, mm."""
    room, (height, projection) = set_out.room, stack(set_out)
    height += drawn_out
    reach = min(FARTHEST + 2 * drawn_out, max(NEAREST, 3.2 * height))
    if corner is None:
        wall = max(room.walls, key=lambda w: w.length)
        place, eye, ceiling = wall.frame.plan(wall.length / 2), wall.frame.plan(wall.length * 0.35, reach), room.ceiling
    else:
        place, eye, ceiling = corner.plan, _off_corner(room, corner, reach), room.ceilings[corner.right]
    away = math.dist(place, eye)
    rise = LOOK_UP * away
    # Seen from below, the front of the trims stands higher in the picture than the ceiling in the corner itself.
    highest = rise / max(away - math.sqrt(2) * projection, away / 2)
    middle = (highest + (rise - height) / away) / 2
    at = ceiling - rise
    return View(
        name=name,
        title=title,
        eye=(*eye, at),
        target=(*place, at + middle * away),
        field=CORNER_FIELD,
    )


def stack(set_out: SetOut) -> tuple[float, float]:
    """Height and width of what is built up below the ceiling; at least 200 high, so that one small trim stays small."""
    ceiling = set_out.room.ceiling
    high = [t.edges for t in set_out.trims if t.edges.bottom > ceiling - HIGH]
    return max([200.0, *(ceiling - e.bottom for e in high)]), max([0.0, *(e.front for e in high)])


def chosen_corner(set_out: SetOut) -> Corner | None:
    """The internal corner where most trims meet, then the one with most room before it; else an external one."""
    room = set_out.room

    def worth(corner: Corner) -> tuple[bool, int, float]:
        meeting = sum(corner.left in t.walls and corner.right in t.walls for t in set_out.trims)
        return (corner.internal, meeting, min(room.walls[k].length for k in (corner.left, corner.right)))

    return max(_present(room.corners), key=worth, default=None)


def _present(corners: Iterable[Corner | None]) -> Iterator[Corner]:
    return (corner for corner in corners if corner is not None)


def inside_room(room: Room, place: PlanPoint) -> bool:
    """True for a place in the room and clear of its walls; anywhere before an open run."""
    from shapely import Point, Polygon

    return not room.closed or bool(Polygon(room.outline(ROUGHLY)).buffer(-STEP_IN).covers(Point(place)))


def _off_corner(room: Room, corner: Corner, distance: float) -> PlanPoint:
    """A place on the bisector of a corner, nearer than asked for where the room is too narrow."""
    before, after = room.walls[corner.left], room.walls[corner.right]
    way = _bisector(before.frame.tangent(before.length), after.frame.tangent(0.0))
    for part in (1.0, 0.8, 0.65, 0.5):
        place = (corner.plan[0] + way[0] * part * distance, corner.plan[1] + way[1] * part * distance)
        if inside_room(room, place):
            break
    return place


def _bisector(left: Frame, right: Frame) -> PlanPoint:
    """Unit vector into the room between two walls that meet."""
    x, y = left.outward[0] + right.outward[0], left.outward[1] + right.outward[1]
    size = math.hypot(x, y)
    return (x / size, y / size) if size > 1e-9 else left.outward
