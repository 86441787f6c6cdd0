"""Where pipes cut a trim in two along a wall, and what is done there: pieces that meet, stop, or are left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from trimwright.room import Corner, Pipe, Room, Wall
from trimwright.setout.cutouts.passing import Passing, Way, in_mitre, passing
from trimwright.setout.piece import Joint, Opens, Piece, Trim
from trimwright.setout.stubs import taken
from trimwright.tolerance import FINGER

__all__ = ["STUB", "Break", "breaks_along", "joint_helps"]

STUB = 100.0
"""Between a pipe that cuts a trim and the next one, or a free end, less than this is left out: nobody fits a piece so
short there, mm. Common practice, no source."""


Span = tuple[float, float]
"""Two stations, the lesser first."""


@dataclass(frozen=True, slots=True)
class Break:
    """Where a pipe cuts a trim in two: the stations at which the pieces end, one and the same if they meet there.

    `words` say what is done there, after the name of the trim.
    """

    words: str
    low: float
    high: float

    @property
    def span(self) -> Span:
        """Both stations."""
        return self.low, self.high


def breaks_along(
    trim: Trim, room: Room, wall: Wall, clearance: float, free: Sequence[Span], notes: list[str]
) -> list[Break]:
    """The breaks along a wall, left to right, where the trim is free to end at some openings and gaps.

    Pieces meet at a pipe where they can: not on the straight segments of a curved wall, whose ends stand askew, nor at
    two pipes so near each other that only a stub would lie between them, nor behind two pipes in a row, since a piece
    is brought in behind one of them at most. No stub is left between a pipe and a free end either, and nothing that
    cannot be made between a pipe and a corner. A pipe in a mitre that leaves something of the section is half in each.
    `notes` gets a sentence for each pipe behind which a joint is asked for in vain.
    """
    found: list[_Cutting] = []
    corners = (room.corner_left(wall.index), room.corner_right(wall.index))
    near = {wall.index, *(index for c in corners if c is not None for index in (c.left, c.right))}
    for pipe in (leg for leg in room.legs if leg.vertical and leg.wall in near):
        station, out = _seen_from(wall, room, pipe)
        how = passing(trim, wall.frame, room.walls[pipe.wall].frame, pipe, clearance)
        reach = pipe.radius + clearance
        if how.way not in (Way.JOINT, Way.STOP, Way.BEHIND) or not 0.0 <= station <= wall.length:
            continue
        mitres = () if how.way is Way.STOP else _mitres(trim, room, wall, station)
        if not any(in_mitre(corner, away, out, reach) for corner, away in mitres):
            found.append(_Cutting(pipe, station, reach, how))
    found.sort(key=lambda cutting: cutting.station)
    cut = [cutting for cutting in found if cutting.how.way is not Way.BEHIND]
    ends = (*free, (0.0, 0.0), (wall.length, wall.length), *(cutting.sides for cutting in cut))
    can_meet = wall.bend is None or trim.bent
    breaks: list[Break] = []
    behind = False
    for cutting in found:
        if cutting.how.way is not Way.BEHIND:
            breaks.append(_cut_at(cutting, cut, trim, wall, room, free, behind))
        elif why := _not_behind(cutting, (*ends, *(b.span for b in breaks)), behind, can_meet):
            notes.append(f"{trim.name} on {wall.name}: not joined behind pipe {cutting.pipe.name} as asked{why}")
            continue
        else:
            breaks.append(cutting.met())
        behind = breaks[-1].low == breaks[-1].high and cutting.goes_behind
    return breaks


@dataclass(frozen=True, slots=True)
class _Cutting:
    """A pipe that cuts a trim in two, and how it would be passed were it the only one."""

    pipe: Pipe
    station: float
    reach: float
    how: Passing

    @property
    def sides(self) -> Span:
        """The stations of its two sides, with its clearance."""
        return self.station - self.reach, self.station + self.reach

    @property
    def goes_behind(self) -> bool:
        """True if pieces that meet there are brought in behind it."""
        return self.how.way is Way.BEHIND or self.how.opens is Opens.FRONT

    def beyond(self, ends: Sequence[Span]) -> Span | None:
        """The free end at which no more than a stub would be left beside it, if there is one."""
        low, high = self.sides
        return next((end for end in ends if end[0] - high < STUB and low - end[1] < STUB), None)

    def stopped_before(self, end: Span, room: Room) -> Break:
        """All between the pipe and a free end left out."""
        low, high = self.sides
        left = room.units.written(round(max(0.0, end[0] - self.station, self.station - end[1]), 1))
        words = f"stops square at pipe {self.pipe.name}, since no more than {left} would be left beyond it"
        return Break(words, min(low, end[1]), max(high, end[0]))

    def met(self) -> Break:
        """Pieces that meet on its middle."""
        where = "behind" if self.how.way is Way.BEHIND else "at"
        words = f"joined {where} pipe {self.pipe.name}{self.as_asked('joint')}"
        return Break(words, self.station, self.station)

    def parted(self, wall: Wall, why: str) -> Break:
        """Pieces that stop on both sides of it."""
        low, high = self.sides
        words = f"stops square each side of pipe {self.pipe.name}{why}"
        return Break(words, max(0.0, low), min(wall.length, high))

    def as_asked(self, way: str) -> str:
        """Why nothing was cut out of one piece, said after what was done instead."""
        if self.pipe.notch == way:
            return " as asked"
        return f", since {repr(self.pipe.notch) if self.pipe.notch else 'a slot'} would leave too little"


def _cut_at(
    cutting: _Cutting,
    found: Sequence[_Cutting],
    trim: Trim,
    wall: Wall,
    room: Room,
    free: Sequence[Span],
    behind: bool,
) -> Break:
    """What is done at a pipe that cuts a trim in two; `behind` as in `_parted`."""
    beyond = cutting.beyond(free)
    stop = cutting.stopped_before(beyond, room) if beyond is not None else _before_corner(trim, wall, room, cutting)
    if stop is not None:
        return stop
    why = _parted(cutting, found, behind, wall.bend is None or trim.bent)
    return cutting.parted(wall, why) if why else cutting.met()


def _before_corner(trim: Trim, wall: Wall, room: Room, cutting: _Cutting) -> Break | None:
    """The break at a pipe so near the end of a wall that no piece can be made between the two; None if one can.

    At an open end that is less than a stub; before a corner its shorter edge is lost in the mitre or to the slot. The
    trim on the next wall then runs square into the corner, and what this wall has begins no nearer than its front.
    """
    low, high = cutting.sides
    for corner, at, left in (
        (room.corner_left(wall.index), 0.0, low),
        (room.corner_right(wall.index), wall.length, wall.length - high),
    ):
        least = STUB if corner is None else FINGER + max(0.0, trim.edges.front * corner.half_cot)
        if left < least:
            stop = cutting.stopped_before((at, at), room)
            taken = 0.0 if corner is None else _taken(trim, wall, corner)
            return (
                replace(stop, high=max(stop.high, taken)) if at == 0 else replace(stop, low=min(stop.low, at - taken))
            )
    return None


def _taken(trim: Trim, wall: Wall, corner: Corner) -> float:
    """How much of a wall, from a corner, lies behind the trim on the next wall when that runs square into it."""
    other = corner.left if wall.index == corner.right else corner.right
    if other not in trim.walls or not corner.internal:
        return 0.0
    return taken(trim, corner)


def _parted(cutting: _Cutting, found: Sequence[_Cutting], behind: bool, can_meet: bool) -> str:
    """Why pieces do not meet at a pipe, said after what is done; empty if they do.

    `behind`: the piece to its left is brought in behind another pipe already.
    """
    if cutting.how.way is Way.STOP:
        return cutting.as_asked("stop")
    if not can_meet:
        return ", since the straight segments of a curve cannot meet at it"
    k = found.index(cutting)
    beside = (*found[max(0, k - 1) : k], *found[k + 1 : k + 2])
    if any(abs(o.station - cutting.station) - o.reach - cutting.reach < STUB for o in beside):
        return ", since too little would be left between it and the next pipe"
    if behind and cutting.how.opens is Opens.FRONT:
        return ", since no piece can be brought in behind two pipes"
    return ""


def _not_behind(cutting: _Cutting, ends: Sequence[Span], behind: bool, can_meet: bool) -> str:
    """Why pieces do not meet behind a pipe as asked, said after that; empty if they do.

    `ends` are where the trim ends or is cut; `behind`: the piece to its left is brought in behind another pipe already.
    """
    if not can_meet:
        return ", since the straight segments of a curve cannot meet there"
    if any(low - cutting.station < STUB and cutting.station - high < STUB for low, high in ends):
        return ", since too little would be left between it and the next joint or end"
    return ", since no piece can be brought in behind two pipes" if behind else ""


def joint_helps(piece: Piece, pipe: Pipe, room: Room, clearance: float) -> bool:
    """True for a pipe that stands clear before a piece, not near its ends: two pieces could meet behind it."""
    own = room.walls[pipe.wall].frame
    station, _ = piece.frame.locate(own.plan(*pipe.start[:2]))
    low, high = piece.extent
    asked = passing(piece.trim, piece.frame, own, replace(pipe, notch="joint"), clearance)
    return pipe.notch != "joint" and asked.way is Way.BEHIND and low + STUB <= station <= high - STUB


def _seen_from(wall: Wall, room: Room, pipe: Pipe) -> tuple[float, float]:
    """Station and distance out of an upright pipe along a wall, its own or another's."""
    if pipe.wall == wall.index:
        return pipe.start[:2]
    return wall.frame.locate(room.walls[pipe.wall].frame.plan(*pipe.start[:2]))


def _mitres(trim: Trim, room: Room, wall: Wall, station: float) -> Iterator[tuple[Corner, float]]:
    """The corners of a wall that a trim goes round, mitred or able to be, and how far a station is from each."""
    left, right = room.corner_left(wall.index), room.corner_right(wall.index)
    for corner, other, away in (
        (left, None if left is None else left.left, station),
        (right, None if right is None else right.right, wall.length - station),
    ):
        if corner is not None and corner.internal and other in trim.walls and trim.joints.internal is not Joint.SQUARE:
            yield corner, away
