"""The heart: one length of one trim on one wall, its two ends and its notches. All else is computed from it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from trimwright.profile.outline import Bounds, Outline
from trimwright.profile.section import Section
from trimwright.room import AnyFrame, Bend, Room, WallPoint
from trimwright.setout.scarfs import LongStretch
from trimwright.trim import Joint, JointPolicy, Material, Stock

__all__ = [
    "End",
    "Groove",
    "Housing",
    "Incline",
    "Joint",
    "JointPolicy",
    "Material",
    "Notch",
    "Opens",
    "Piece",
    "SetOut",
    "Side",
    "Stock",
    "Trim",
]


class Side(StrEnum):
    """Left or right as one faces the wall."""

    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """One trim of the room, placed: `outline` is the section in the wall frame (out, height above the floor).

    A trim that `follows` the ceiling is placed under its lowest corner, and its pieces are inclined from there.
    `grounds` are the walls where other trims lie between it and the wall, and how far out these reach.
    """

    name: str
    letter: str
    section: Section
    outline: Outline
    material: Material
    walls: tuple[int, ...]
    joints: JointPolicy
    stock: tuple[Stock, ...]
    follows: bool = False
    bent: bool = False
    left_out: tuple[tuple[int, float, float], ...] = ()
    grounds: tuple[tuple[int, float], ...] = ()

    def ground(self, wall: int) -> float:
        """How far out it finds a wall, or what lies on it at its heights: there its square ends and returns stop."""
        return dict(self.grounds).get(wall, 0.0)

    @property
    def edges(self) -> Bounds:
        """Back, bottom, front and top of the placed section."""
        return self.outline.bounds


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """One end of a piece: the vertical plane station + slope * out, and what it meets there.

    `station` is where the plane meets out = 0. `corner` is the angle in the room where the end is at a corner
    or a return (270 there). `mate` is the id of the piece it joins, if any. A cope keeps the plane of the mitre
    that is cut first; its solid is that mitre less what the mate covers. `seam`: it meets the next straight segment of
    a trim along one curved wall. On a bent piece the plane is the one through its back and its front point, which
    `at` gives; in between the true plane is a hair off, see `setout/curved/bends.py`.
    """

    joint: Joint
    station: float
    slope: float = 0.0
    corner: float | None = None
    mate: str | None = None
    seam: bool = False

    def at(self, out: float) -> float:
        """Station of the end plane at a distance out."""
        return self.station + self.slope * out


@dataclass(frozen=True, slots=True, kw_only=True)
class Incline:
    """How a piece follows a sloping ceiling: in its frame, what would lie level rises by `rise` mm per mm of station.

    All end planes and notches stay plumb, so in plan nothing changes. Seen on the wall, a point of the section at
    `height` lies at height + `lift` + `rise` * station, its distance from `pivot` stretched by 1 / cos of the slope:
    that is the plumb cut through a section laid square to the slope.
    """

    rise: float
    lift: float
    pivot: float

    @property
    def stretch(self) -> float:
        """Length along the slope over length in plan: 1 / cos of the slope."""
        return math.hypot(1.0, self.rise)

    def height(self, station: float, height: float) -> float:
        """Height in the room of a point of the level section at a station."""
        return self.pivot + self.lift + self.rise * station + (height - self.pivot) * self.stretch

    def along(self, station: float, height: float) -> float:
        """How far along the slope the plumb line at a station crosses the line of the section at a height."""
        return station * self.stretch + self.rise * (height - self.pivot)

    def level(self, station: float, height: float) -> float:
        """Height in the level section of a point at a height in the room: `height` the other way round."""
        return self.pivot + (height - self.pivot - self.lift - self.rise * station) / self.stretch


class Opens(StrEnum):
    """What a notch is open to. A hole is sawn open to the back and closed by its plug, glued in behind the pipe."""

    BACK = "back"
    FRONT = "front"
    HOLE = "hole"


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """A slot or a hole for a pipe that crosses the section from bottom to top.

    In plan a slot is a U: a half circle of `radius` round (`station`, `out`) carried straight to the back edge of
    the section, or to its front edge, whichever it `opens` to; `depth` is measured from that edge to the bottom of the
    U. A hole is the whole circle, its depth measured from the back. It spans the heights `bottom` to `top`. Pipes that
    stand close together, `pipes`, share one slot: its half circle is parted in two, `spread` from one centre to the
    other, with a straight bottom between. At the end of a piece half of it lies beyond the end, in the next piece.
    """

    pipe: str
    station: float
    out: float
    radius: float
    depth: float
    opens: Opens
    bottom: float
    top: float
    spread: float = 0.0
    shared: tuple[str, ...] = ()

    @property
    def width(self) -> float:
        """Its width along the wall where it is widest in the section: less than its round where it only nibbles at it.

        A circle of radius r is 2 sqrt(d (2r - d)) wide at a depth d of no more than r.
        """
        deep = min(self.depth, self.radius)
        return 2 * math.sqrt(deep * (2 * self.radius - deep)) + self.spread

    @property
    def pipes(self) -> tuple[str, ...]:
        """The names of all pipes in it."""
        return self.shared or (self.pipe,)

    @property
    def what(self) -> str:
        """What it is called."""
        return "hole" if self.opens is Opens.HOLE else "slot"

    @property
    def sides(self) -> tuple[float, float]:
        """Stations of its two sides."""
        return self.station - self.width / 2, self.station + self.width / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove:
    """What is cut out for a pipe that does not stand upright: `radius` all round its axis, and on to the pipe's wall.

    `axis` runs from bend to bend, (station, out, height) in `frame`, which is that of the pipe's wall: on a curved face
    what is level follows it. `station` is that of its middle in the frame of the piece. Seen from the piece it `opens`
    to its back, or to the end that turns to the pipe's wall; `depth` is measured from there to the bottom of the groove
    where it is deepest. `run` is how far along the piece the axis lies in it.
    """

    pipe: str
    frame: AnyFrame
    axis: tuple[WallPoint, ...]
    radius: float
    station: float
    depth: float
    run: float
    opens: str = "back"

    @property
    def what(self) -> str:
        """What it is called."""
        return "groove"

    @property
    def sides(self) -> tuple[float, float]:
        """Stations of the piece between which it lies."""
        half = self.run / 2 + self.radius
        return self.station - half, self.station + half

    @property
    def width(self) -> float:
        """Width across its axis."""
        return 2 * self.radius

    @property
    def pipes(self) -> tuple[str, ...]:
        """The name of the pipe in it, as a notch says them."""
        return (self.pipe,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Housing:
    """A square hollow in the back for a fitting that is let in, with the gap wanted all round.

    In `frame`, that of the fitting's wall, it lies from station `low` to `high` and from `bottom` to `top`, which may
    be past the piece, and reaches `out` from the wall. `station`, `width`, `depth` and `opens` are those of a groove,
    told of as much of it as lies in the piece.
    """

    fitting: str
    frame: AnyFrame
    low: float
    high: float
    bottom: float
    top: float
    out: float
    station: float
    width: float
    depth: float
    opens: str = "back"

    @property
    def what(self) -> str:
        """What it is called."""
        return "housing"

    @property
    def sides(self) -> tuple[float, float]:
        """Stations of the piece between which it lies."""
        return self.station - self.width / 2, self.station + self.width / 2

    @property
    def pipe(self) -> str:
        """What it is cut for, as a notch says it."""
        return self.fitting

    @property
    def pipes(self) -> tuple[str, ...]:
        """None: a notch would name its pipes."""
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One length of one trim, in the frame it lies in.

    `frame` is that of its wall, of its own segment of a curved wall, or of its return: a return turns back to the wall
    at a free end, and its stations are counted along itself from left to right as one faces it. In a curved frame the
    piece is bent.
    """

    id: str
    trim: Trim
    wall: int
    frame: AnyFrame
    left: End
    right: End
    notches: tuple[Notch, ...] = ()
    grooves: tuple[Groove, ...] = ()
    housings: tuple[Housing, ...] = ()
    is_return: bool = False
    incline: Incline | None = None

    @property
    def cuts(self) -> tuple[Notch | Groove | Housing, ...]:
        """All that is cut out for pipes and fittings."""
        return (*self.notches, *self.grooves, *self.housings)

    @property
    def hollows(self) -> tuple[Groove | Housing, ...]:
        """What is cut out of its back alone."""
        return (*self.grooves, *self.housings)

    @property
    def bend(self) -> Bend | None:
        """The arc it is bent to, if it is."""
        return self.frame if isinstance(self.frame, Bend) else None

    @property
    def stretch(self) -> float:
        """Length along the piece over length in plan: 1 unless it follows a slope."""
        return 1.0 if self.incline is None else self.incline.stretch

    def height(self, station: float, height: float) -> float:
        """Height in the room of a point of the section at a station: itself for a level piece."""
        return height if self.incline is None else self.incline.height(station, height)

    def along(self, station: float, height: float) -> float:
        """Distance along the piece at which it is cut plumb at a station: the station itself for a level piece."""
        return station if self.incline is None else self.incline.along(station, height)

    def length_at(self, out: float) -> float:
        """Length along the piece of the line at a distance out, between the end planes."""
        return (self.right.at(out) - self.left.at(out)) * self.stretch * self.frame.scale(out)

    @property
    def back_length(self) -> float:
        """Length at the back edge of the section."""
        return self.length_at(self.trim.edges.back)

    @property
    def front_length(self) -> float:
        """Length at the front edge of the section."""
        return self.length_at(self.trim.edges.front)

    @property
    def extent(self) -> tuple[float, float]:
        """Least and greatest station reached by any part of the piece, in plan."""
        back, _, front, _ = self.trim.edges
        lows = (self.left.at(back), self.left.at(front))
        highs = (self.right.at(back), self.right.at(front))
        return (min(lows), max(highs))

    @property
    def length(self) -> float:
        """What is taken from stock: the greatest extent along the axis. Plumb ends on a slope overhang each other.

        Of a bent piece it is the arc on its longer side.
        """
        low, high = self.extent
        overhang = 0.0 if self.incline is None else abs(self.incline.rise) * self.trim.section.drop
        longer = max(self.frame.scale(out) for out in (self.trim.edges.back, self.trim.edges.front))
        return (high - low) * self.stretch * longer + overhang

    def end(self, side: Side) -> End:
        """The end on one side."""
        return self.left if side is Side.LEFT else self.right


@dataclass(frozen=True, kw_only=True)
class SetOut:
    """The whole job decided: the room, its trims in order of placement, the pieces clockwise, the fitting order.

    `long` holds, by trim, the stretches joined along their walls.
    """

    room: Room
    trims: tuple[Trim, ...]
    pieces: tuple[Piece, ...]
    order: tuple[str, ...]
    notes: tuple[str, ...] = ()
    long: Mapping[str, tuple[LongStretch, ...]] = field(default_factory=dict, hash=False)

    def piece(self, piece_id: str) -> Piece:
        """The piece with an id. Raises KeyError if there is none."""
        return self._by_id[piece_id]

    def of_trim(self, trim: Trim) -> tuple[Piece, ...]:
        """The pieces of one trim, clockwise."""
        return self._by_trim.get(trim.name, ())

    @cached_property
    def _by_id(self) -> dict[str, Piece]:
        return {piece.id: piece for piece in self.pieces}

    @cached_property
    def _by_trim(self) -> dict[str, tuple[Piece, ...]]:
        return {t.name: tuple(p for p in self.pieces if p.trim.name == t.name) for t in self.trims}
