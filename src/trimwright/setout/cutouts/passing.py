"""How a trim gets past an upright pipe: beside it, in a slot or a hole, or joined at it or behind it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from trimwright.profile.outline import Outline
from trimwright.room import AnyFrame, Corner, Pipe, Room
from trimwright.setout.piece import Opens, Trim
from trimwright.setout.plan_shapes import kept
from trimwright.setout.putting_up.standing import HAND
from trimwright.tolerance import FINGER, TOUCH, WEB

__all__ = ["Passing", "Way", "heights_meet", "in_mitre", "passing", "refusals", "severed_corner"]

PLUG = 60.0
"""Sawing out a plug and gluing it back is worth the trouble where it saves more depth of slot than this, mm. Common
practice, no source: what is less is made good with filler."""

LEAST_PLUG = 12.0
"""A plug thinner than this behind a pipe splits, mm. Common practice, no source."""


class Way(StrEnum):
    """What becomes of a trim at an upright pipe."""

    CLEAR = "clear"
    BEHIND = "behind"
    SLOT = "slot"
    JOINT = "joint"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Passing:
    """A way past a pipe; `opens` is how what is cut out for it, in a piece or in both that are joined there, opens.

    BEHIND: it stands before the trim, with nothing to cut out, and two pieces meet there since its owner wants it so.
    SLOT is anything cut out of one piece: a U open to the back or the front, or a hole. JOINT: two pieces meet on the
    pipe's middle, half the slot in each. STOP: they stop square on each side of it.
    """

    way: Way
    opens: Opens = Opens.BACK


CLEAR, BEHIND, STOP = Passing(Way.CLEAR), Passing(Way.BEHIND), Passing(Way.STOP)


@dataclass(frozen=True, slots=True)
class _Webs:
    """What is left of a section in front of a pipe's hole and behind it, mm; `ended`: the pipe ends within its heights.

    A trim can be brought over the end of such a pipe; one that goes past it above and below would have to be threaded.
    """

    front: float
    back: float
    hole: float
    ended: bool

    @property
    def slots(self) -> dict[Opens, float]:
        """The slots that leave a sound web, each with the depth that is lost by it."""
        found = {}
        if self.front >= WEB:
            found[Opens.BACK] = self.back + self.hole
            if self.back >= LEAST_PLUG:
                found[Opens.HOLE] = self.hole + PLUG
        if self.ended and self.back >= WEB:
            found[Opens.FRONT] = self.front + self.hole
        return found

    def bears(self, asked: str) -> Passing | None:
        """What was asked for, if thin fingers of trim at least are left by it."""
        if asked == "stop":
            return STOP
        if asked == "joint":
            return self.joint
        sound = {
            Opens.BACK: self.front >= FINGER,
            Opens.HOLE: self.front >= FINGER and self.back >= LEAST_PLUG,
            Opens.FRONT: self.ended and self.back >= FINGER,
        }
        return Passing(Way.SLOT, Opens(asked)) if sound[Opens(asked)] else None

    @property
    def joint(self) -> Passing | None:
        """Pieces that meet on the pipe go straight in with slots open to the back, else endways behind it."""
        if max(self.front, self.back) < FINGER:
            return None
        return Passing(Way.JOINT, Opens.BACK if self.front >= FINGER else Opens.FRONT)


def passing(
    trim: Trim, frame: AnyFrame, pipe_frame: AnyFrame, pipe: Pipe, clearance: float, at_joint: bool = False
) -> Passing:
    """How the trim, in `frame`, gets past an upright pipe given in its own wall's frame.

    CLEAR also when the trim passes behind the pipe or in front of it, or BEHIND where a joint is asked for and the pipe
    bars the way of a piece. What the pipe's entry asks for is done where the
    section bears it; else, of the slots that leave a web of `tolerance.WEB`, the one that takes the least. Where none
    does, and `at_joint`, where pieces meet in any case, the trim is joined at the pipe.
    """
    if not pipe.vertical:
        return CLEAR
    _, out = frame.locate(pipe_frame.plan(pipe.start[0], pipe.start[1]))
    reach = pipe.radius + clearance
    low, high = out - reach, out + reach
    back, bottom, front, top = trim.edges
    if pipe.notch == "joint" and _bars(trim, low, pipe):
        return BEHIND
    if high <= back + TOUCH or low >= front - TOUCH or not heights_meet(trim.outline, low, high, pipe, clearance):
        return CLEAR
    ended = pipe.start[2] > bottom + TOUCH or pipe.end[2] < top - TOUCH
    webs = _Webs(front - high, low - back, 2 * reach, ended)
    asked = webs.bears(pipe.notch) if pipe.notch else None
    if asked is not None and not (at_joint and asked.way is Way.STOP):
        return asked
    slots = {} if at_joint and pipe.notch == "joint" else webs.slots
    if slots:
        return Passing(Way.SLOT, min(slots, key=slots.__getitem__))
    return webs.joint or STOP


def in_mitre(corner: Corner, away: float, out: float, reach: float) -> bool:
    """True if what reaches so far round a place lies in the mitre of a corner, where pieces meet anyway, or beyond it.

    `away` is the distance of the place from the corner along its wall; the mitre is the line away = out * cot(C/2).
    """
    return (away - out * corner.half_cot) / math.hypot(1.0, corner.half_cot) < reach


def severed_corner(trim: Trim, room: Room, corner: Corner, clearance: float) -> bool:
    """True if a pipe in a corner would cut a piece in two that ran square into it: it is passed in a mitre."""
    for pipe in (leg for leg in room.legs if leg.vertical and leg.wall in (corner.left, corner.right)):
        own = room.walls[pipe.wall].frame
        for wall in (room.walls[corner.left], room.walls[corner.right]):
            station, out = wall.frame.locate(own.plan(*pipe.start[:2]))
            away = station if wall.index == corner.right else wall.length - station
            way = passing(trim, wall.frame, own, pipe, clearance).way
            if way is Way.JOINT and in_mitre(corner, away, out, pipe.radius + clearance):
                return True
    return False


def refusals(trim: Trim, room: Room, clearance: float) -> Iterator[str]:
    """What pipes ask to be cut out of a trim on their walls and is cut otherwise, since the section does not bear it.

    Where the trim is cut in two instead, the ends there say so.
    """
    for pipe in (leg for leg in room.legs if leg.notch and leg.wall in trim.walls):
        frame = room.walls[pipe.wall].frame
        found = passing(trim, frame, frame, pipe, clearance)
        if found.way is Way.SLOT and pipe.notch != found.opens:
            done = "a hole" if found.opens is Opens.HOLE else f"a slot open to the {found.opens}"
            yield f"{trim.name} at pipe {pipe.name}: '{pipe.notch}' would leave too little; {done} instead"


def _bars(trim: Trim, low: float, pipe: Pipe) -> bool:
    """True if a pipe whose hole begins at `low` stands clear before a trim and no piece comes straight in past it."""
    back, bottom, front, top = trim.edges
    before = front - TOUCH <= low < front + (front - back) + HAND
    return before and pipe.start[2] < top - TOUCH and pipe.end[2] > bottom + TOUCH


def heights_meet(outline: Outline, low: float, high: float, pipe: Pipe, clearance: float) -> bool:
    """True if the section has material between the two distances out at a height the pipe reaches."""
    part = outline.points()
    for limit, sign in ((low, 1.0), (high, -1.0)):
        part = kept(part, [sign * (out - limit) for out, _ in part])
    heights = [h for _, h in part]
    return bool(part) and min(heights) < pipe.end[2] + clearance and max(heights) > pipe.start[2] - clearance
