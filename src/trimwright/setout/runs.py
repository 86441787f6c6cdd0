"""Where a trim goes: the stretches of wall that it covers, joined at corners into runs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from trimwright.room import Room, Wall
from trimwright.setout.curved.facets import corners_turned, divided
from trimwright.setout.cutouts.breaks import STUB, breaks_along
from trimwright.setout.piece import Trim
from trimwright.setout.stretch import Stretch
from trimwright.setout.stubs import crosses, least_length, left_out_words
from trimwright.tolerance import TOUCH

__all__ = ["Run", "runs_of"]


@dataclass(frozen=True, slots=True)
class Run:
    """Stretches joined at corners, clockwise; `closed` if the last goes on into the first.

    `start` is the stretch that is fitted first: on the wall seen first on entering, else the longest.
    """

    stretches: tuple[Stretch, ...]
    closed: bool
    start: int

    def rank(self, i: int) -> int:
        """When a stretch is fitted: from the first one on to the right, then (an open run) from it to the left."""
        count = len(self.stretches)
        if self.closed:
            return (i - self.start) % count
        return i - self.start if i >= self.start else count - 1 - i


def runs_of(trim: Trim, room: Room, clearance: float, notes: list[str]) -> tuple[Run, ...]:
    """The runs of a trim, in clockwise order of their first stretch; `notes` gathers what the fitter should be told."""
    walls = [wall for wall in room.walls if wall.index in trim.walls]
    stretches = [s for wall in walls for s in _stretches(trim, room, wall, clearance, notes)]
    stretches = _without_stubs(stretches, trim, room, notes)
    if not trim.bent:
        stretches = [part for s in stretches for part in divided(s, trim.edges.front)]
    stretches = corners_turned(stretches, room)
    groups: list[list[Stretch]] = []
    for stretch in stretches:
        if stretch.left_joined and groups and groups[-1][-1].right_joined:
            groups[-1].append(stretch)
        else:
            groups.append([stretch])
    first = _first_seen(room)
    if len(groups) > 1 and groups[-1][-1].right_joined:
        groups[0] = groups.pop() + groups[0]
    closed = len(groups) == 1 and groups[0][0].left_joined and groups[0][-1].right_joined
    return tuple(Run(tuple(g), closed, _start(g, first)) for g in groups)


def _stretches(trim: Trim, room: Room, wall: Wall, clearance: float, notes: list[str]) -> list[Stretch]:
    """The parts of a wall that the trim can cover, left to right."""
    free = [(o.left, o.right) for o in room.openings if o.wall == wall.index and crosses(trim, o)]
    free += [(low, high) for index, low, high in trim.left_out if index == wall.index]
    breaks = breaks_along(trim, room, wall, clearance, free, notes)
    at_pipes = {edge for b in breaks for edge in (b.low, b.high)}
    parts: list[tuple[float, float]] = []
    low = 0.0
    for left, right in sorted([*free, *((b.low, b.high) for b in breaks)]):
        stub = {low, left} <= at_pipes and left - low < STUB
        if left - low > TOUCH and not stub:
            parts.append((low, left))
        low = max(low, right)
    if wall.length - low > TOUCH:
        parts.append((low, wall.length))
    return [
        Stretch(
            wall=wall,
            low=a,
            high=b,
            at=a,
            left_corner=room.corner_left(wall.index) if a <= 0 else None,
            right_corner=room.corner_right(wall.index) if b >= wall.length else None,
            left_pipe=next((k.words for k in breaks if k.high == a), ""),
            right_pipe=next((k.words for k in breaks if k.low == b), ""),
        )
        for a, b in parts
    ]


def _without_stubs(stretches: list[Stretch], trim: Trim, room: Room, notes: list[str]) -> list[Stretch]:
    """Those that are long enough for their joints, joined at the corners; where one is left out a mate may be next."""
    while True:
        stretches = _joined(stretches, room)
        stubs = [stretch for stretch in stretches if _is_stub(trim, room, stretch)]
        if not stubs:
            return stretches
        notes += [left_out_words(trim, room, stretch) for stretch in stubs]
        stretches = [stretch for stretch in stretches if stretch not in stubs]


def _is_stub(trim: Trim, room: Room, stretch: Stretch) -> bool:
    """True for what is too short for its joints beside an opening or a gap; pipes see to theirs themselves."""
    whole = stretch.low <= 0 and stretch.high >= stretch.wall.length
    if whole or stretch.left_pipe or stretch.right_pipe:
        return False
    return stretch.high - stretch.low < least_length(trim, room, stretch)


def _joined(stretches: Sequence[Stretch], room: Room) -> list[Stretch]:
    """The same stretches with their joined ends marked."""
    at_left = {s.wall.index for s in stretches if s.left_corner}
    at_right = {s.wall.index for s in stretches if s.right_corner}
    count = len(room.walls)
    return [
        replace(
            s,
            left_joined=s.left_corner is not None and (s.wall.index - 1) % count in at_right,
            right_joined=s.right_corner is not None and (s.wall.index + 1) % count in at_left,
        )
        for s in stretches
    ]


def _start(stretches: Sequence[Stretch], first_seen: int | None) -> int:
    """Index of the stretch to fit first."""
    longest = max(range(len(stretches)), key=lambda i: (stretches[i].high - stretches[i].low, -i))
    return next((i for i, s in enumerate(stretches) if s.wall.index == first_seen), longest)


def _first_seen(room: Room) -> int | None:
    """The wall opposite the first door: the nearest one straight ahead on entering."""
    door = next((o for o in room.openings if o.kind == "door"), None)
    if door is None:
        return None
    middle = door.station + door.width / 2
    frame = room.walls[door.wall].frame.tangent(middle)
    ahead = []
    for wall in room.walls:
        (s0, d0), (s1, d1) = (frame.locate(p) for p in (wall.start, wall.end))
        if wall.index != door.wall and min(s0, s1) <= 0 <= max(s0, s1) and not math.isclose(s0, s1):
            distance = d0 - (d1 - d0) * s0 / (s1 - s0)
            if distance > 0:
                ahead.append((distance, wall.index))
    return min(ahead)[1] if ahead else None
