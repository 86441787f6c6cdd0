"""What the pieces of a job take besides themselves, before it is rounded up to packs: jobs can be added up in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil, hypot

from trimwright.profile.measures import measure
from trimwright.setout.piece import End, Joint, Piece, SetOut, Trim
from trimwright.stock.holes import Holes
from trimwright.stock.rates import Rates, kind_rates

__all__ = ["NOISE", "ChannelNeeds", "Needs", "needs_of"]

NOISE = 1e-9
"""Of a quantity: less than this above a whole number is that number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChannelNeeds:
    """What goes with a light channel: `run` mm of diffuser, open ends, corners it goes round, joints along walls."""

    run: float = 0.0
    open: int = 0
    corners: int = 0
    joints: int = 0

    def __add__(self, other: ChannelNeeds) -> ChannelNeeds:
        return ChannelNeeds(
            run=self.run + other.run,
            open=self.open + other.open,
            corners=self.corners + other.corners,
            joints=self.joints + other.joints,
        )

    def times(self, count: int) -> ChannelNeeds:
        """That of so many alike."""
        return ChannelNeeds(
            run=self.run * count, open=self.open * count, corners=self.corners * count, joints=self.joints * count
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """Beads of adhesive and filler (mm), joints glued and their cut faces (mm²), pins, screws, painted face (m²).

    `channels` are the light channels by the name of the trim.
    """

    adhesive: float = 0.0
    filler: float = 0.0
    glued: float = 0.0
    glued_face: float = 0.0
    pins: int = 0
    screws: int = 0
    painted: float = 0.0
    channels: Mapping[str, ChannelNeeds] = field(default_factory=dict)

    def __add__(self, other: Needs) -> Needs:
        names = dict.fromkeys((*self.channels, *other.channels))
        nothing = ChannelNeeds()
        return Needs(
            adhesive=self.adhesive + other.adhesive,
            filler=self.filler + other.filler,
            glued=self.glued + other.glued,
            glued_face=self.glued_face + other.glued_face,
            pins=self.pins + other.pins,
            screws=self.screws + other.screws,
            painted=self.painted + other.painted,
            channels={n: self.channels.get(n, nothing) + other.channels.get(n, nothing) for n in names},
        )

    def times(self, count: int) -> Needs:
        """Those of so many jobs alike."""
        return Needs(
            adhesive=self.adhesive * count,
            filler=self.filler * count,
            glued=self.glued * count,
            glued_face=self.glued_face * count,
            pins=self.pins * count,
            screws=self.screws * count,
            painted=self.painted * count,
            channels={name: channel.times(count) for name, channel in self.channels.items()},
        )


def needs_of(set_out: SetOut, rates: Rates, holes: Sequence[Holes]) -> Needs:
    """Those of all pieces of a job; screws are one for each hole that is set out: see `holes.py`."""
    total = Needs(screws=sum(found.rows * len(found.along) for found in holes))
    for trim in set_out.trims:
        total += _trim_needs(trim, set_out.of_trim(trim), rates)
    return total


def _trim_needs(trim: Trim, pieces: Sequence[Piece], rates: Rates) -> Needs:
    takes = kind_rates(rates, trim.section.kind)
    run = sum(piece.length for piece in pieces)
    ends = [end for piece in pieces for end in (piece.left, piece.right)]
    glued = ends if takes["glue"] else []
    return Needs(
        adhesive=takes["adhesive"] * run,
        filler=takes["filler"] * run,
        glued=sum(_share(end) for end in glued),
        glued_face=sum(_cut_face(trim, end) for end in glued),
        pins=takes["pins"] * sum(_in_row(piece, rates["pins"]) for piece in pieces),
        painted=measure(trim.section).girth * run / 1e6 if takes["paint"] else 0.0,
        channels={trim.name: _channel(run, ends)} if takes["fittings"] else {},
    )


def _share(end: End) -> float:
    """The part of a joint that an end stands for: it has two faces and is wetted once; a cope has only one cut."""
    if end.mate is None or end.joint is Joint.SQUARE:
        return 0.0
    return 1.0 if end.joint is Joint.COPE else 0.5


def _cut_face(trim: Trim, end: End) -> float:
    """An end's share of its joint's face: the section laid on the slant, its area / cos of the slope."""
    return _share(end) * trim.outline.area * hypot(1.0, end.slope)


def _in_row(piece: Piece, rate: Rates) -> int:
    """A pin near each end of a piece and between them no farther apart than the spacing."""
    between: float = max(0.0, piece.length - 2 * rate["from_end"])
    return ceil(between / float(rate["spacing"]) - NOISE) + 1


def _channel(run: float, ends: Sequence[End]) -> ChannelNeeds:
    return ChannelNeeds(
        run=run,
        open=sum(end.mate is None for end in ends),
        corners=sum(end.corner is not None and end.mate is not None for end in ends) // 2,
        joints=sum(end.corner is None and end.mate is not None for end in ends) // 2,
    )
