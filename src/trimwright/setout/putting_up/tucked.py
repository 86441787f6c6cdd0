"""Pieces whose end lies behind a pipe that they are joined at or behind: brought in endways, or swung home.

Half a slot that is open to the front, or an end with no slot at all, has the pipe before it, so that the piece cannot
come straight in. Taken out again, it is drawn away from the pipe along the wall; or, where its far end stands against
another, swung out like a door: when it stands at an angle a to the wall it is L (1 - cos a) shorter along it, and by as
much it is drawn back.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trimwright.room import Frame, Pipe, PlanPoint, Room
from trimwright.setout.cutouts.notches import part_at
from trimwright.setout.piece import Joint, Opens, Piece, Side
from trimwright.setout.plan_shapes import Box, Shape, apart, bite, box_of, hull, swept
from trimwright.setout.putting_up.standing import HAND, Standing, meet
from trimwright.tolerance import TOUCH

__all__ = ["Tucked", "tucked"]

FARTHEST = math.radians(75)
"""A piece is not swung further out than this."""

STEPS = 60
"""Places on the way that are looked at."""

HALVINGS = 10
"""How often the last step, on which a piece comes free, is halved to find where."""


@dataclass(frozen=True, slots=True)
class Tucked:
    """A way in behind a pipe: the end that goes first, and how far the other stands out then, mm; 0 if it is slid."""

    side: Side
    pipe: str
    swung: float


@dataclass(frozen=True, slots=True)
class _Behind:
    """An end of a piece behind a pipe: how far it reaches past the pipe's near side, and how far out there."""

    side: Side
    pipe: str
    beside: float
    front: float


def tucked(own: Standing, others: Sequence[Shape], room: Room, play: float) -> Tucked | None:
    """How a piece is brought in behind the one pipe that stands before its end; None if it is not to be had.

    `others` are the plans of what is up at its heights, but for what it is coped over; `play` is how far a piece may be
    in the way, mm. Only straight pieces are judged, and none that a pipe stands in the middle of: it cannot be slid.
    """
    piece = own.piece
    upright = [p for p in room.legs if p.vertical and meet(own.heights, (p.start[2], p.end[2]))]
    slotted = list(_half_slots(piece))
    ends = [*slotted, *_unslotted(own, upright, room)]
    if len(ends) != 1 or len(piece.notches) > len(slotted) or piece.bend is not None:
        return None
    (end,) = ends
    body = _Body.of(piece, end)
    pipes = [_round(room, p) for p in upright]
    for swung in (False, True):
        far = _way(body, others, pipes, swung, play)
        if far is not None:
            return Tucked(end.side, end.pipe, far)
    return None


def _half_slots(piece: Piece) -> Iterator[_Behind]:
    """The ends at which it has half a slot open to the front."""
    for notch in piece.notches:
        side = part_at(piece, notch) if notch.opens is Opens.FRONT else None
        if side is not None:
            beside = abs(notch.station - piece.end(side).station) + notch.radius
            yield _Behind(side, notch.pipe, beside, piece.trim.edges.front - notch.depth)


def _unslotted(own: Standing, upright: Sequence[Pipe], room: Room) -> Iterator[_Behind]:
    """The ends at which it meets another piece behind a pipe that stands clear before it."""
    piece, front = own.piece, own.piece.trim.edges.front
    for side in Side:
        end = piece.end(side)
        for pipe in upright if end.mate is not None and end.joint is Joint.SQUARE else ():
            station, out = piece.frame.locate(room.walls[pipe.wall].frame.plan(*pipe.start[:2]))
            away = abs(station - end.station)
            if away < TOUCH and front - TOUCH <= out - pipe.radius < front + own.depth + HAND:
                yield _Behind(side, pipe.name, away + pipe.radius, front)


@dataclass(frozen=True, slots=True)
class _Body:
    """A piece in plan, x counted from its tucked end along it and out from its wall, in convex parts.

    `length` is that of its longer edge; `beside` how far it has to be drawn until its end is beside the pipe; `stands`:
    its far end has a wall before it, so that it cannot be drawn that way along its own.
    """

    frame: Frame
    sign: float
    parts: tuple[Shape, ...]
    length: float
    beside: float
    front: float
    stands: bool

    @classmethod
    def of(cls, piece: Piece, behind: _Behind) -> _Body:
        """The finger behind the pipe, and the rest; a coped far end as far as it stands before its mate."""
        back, _, front, _ = piece.trim.edges
        side, beside = behind.side, behind.beside
        sign = 1.0 if side is Side.LEFT else -1.0
        near, far = piece.end(side), piece.end(Side.RIGHT if side is Side.LEFT else Side.LEFT)
        at_back, at_front = (sign * (far.at(out) - near.station) for out in (back, front))
        home = min(at_back, at_front) if far.joint is Joint.COPE else at_back
        finger = ((0.0, back), (beside, back), (beside, behind.front), (0.0, behind.front))
        body = ((beside, back), (home, back), (at_front, front), (beside, front))
        frame = piece.frame.tangent(near.station)
        return cls(frame, sign, (finger, body), max(at_back, at_front), beside, front, (far.corner or 360) < 180)

    def placed(self, angle: float, drawn: float) -> list[list[PlanPoint]]:
        """Its parts when it is turned out by an angle about the back of its slotted end, and drawn along itself."""
        c, s = math.cos(angle), math.sin(angle)
        turned = ([(c * x - s * o + drawn * c, s * x + c * o + drawn * s) for x, o in part] for part in self.parts)
        return [[self.frame.plan(self.sign * x, o) for x, o in part] for part in turned]


def _way(body: _Body, others: Sequence[Shape], pipes: Sequence[Shape], swung: bool, play: float) -> float | None:
    """How far the far end stands out once the piece is clear of the pipe; None if something is met on the way."""
    if body.stands and not swung:
        return None
    away = body.front + HAND
    (nx, ny) = body.frame.outward
    met = [(shape, box_of(shape)) for shape in (*pipes, *others)]

    def at(part: float) -> tuple[float, float, list[list[PlanPoint]]]:
        """Angle, way drawn, and where the parts of the piece are, at a part of the longest way."""
        angle = FARTHEST * part * part if swung else 0.0
        drawn = body.length * (1 / math.cos(angle) - 1) + play if swung else 2 * body.beside * part
        return angle, drawn, body.placed(angle, drawn)

    def comes_off(part: float) -> bool:
        _, drawn, parts = at(part)
        return drawn >= body.beside and not _met([swept(p, (nx * away, ny * away)) for p in parts], met, play)

    for k in range(1, STEPS + 1):
        if _met(at(k / STEPS)[2], met, play):
            return None
        if comes_off(k / STEPS):
            low, high = (k - 1) / STEPS, k / STEPS
            for _ in range(HALVINGS):
                middle = (low + high) / 2
                low, high = (low, middle) if comes_off(middle) else (middle, high)
            return body.length * math.sin(at(high)[0])
    return None


def _met(parts: Sequence[Shape], others: Sequence[tuple[Shape, Box]], play: float) -> bool:
    """Whether a part lies in one of the others, each with its box, by more than `play`."""
    boxes = [box_of(part) for part in parts]
    return any(
        not apart(box, around) and bite(part, other) > play
        for part, box in zip(parts, boxes, strict=True)
        for other, around in others
    )


def _round(room: Room, pipe: Pipe) -> list[PlanPoint]:
    """An octagon inside the circle of an upright pipe."""
    x, y = room.walls[pipe.wall].frame.plan(*pipe.start[:2])
    turns = [math.pi * k / 4 for k in range(8)]
    return hull([(x + pipe.radius * math.cos(t), y + pipe.radius * math.sin(t)) for t in turns])
