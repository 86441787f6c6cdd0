"""The channel on the bench and on the wall: lengths with room to grow, clips or screws clear of every joint."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trimwright.light.channel import Channel
from trimwright.setout.piece import Piece, SetOut, Trim

__all__ = ["ChannelCut", "channel_cuts", "fixing_places"]

GROWTH = {"aluminium": 23e-6}
"""Expansion per K (from memory, as handbooks of materials have it)."""

GROWTH_OTHER = 70e-6
"""Of other channels, and of the diffuser (polycarbonate 65 to 70, acrylic 70; from memory)."""

STEP = 0.5
"""Gaps are rounded up to this, mm."""

FROM_END = 60.0
"""Of a piece, to the first clip or screw, mm; a quarter of a short piece. Common practice, no source."""

CLEAR = 40.0
"""Kept between a clip or screw and a joint of the channel, of what it is fixed to, or a hole, mm. Common practice."""

MOST_SHIFT = 120.0
"""A place is moved at most this far to be clear, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChannelCut:
    """A piece of channel: its length and its diffuser's, each less the gap it needs to grow; clips or screws on it.

    `fixings` are stations on its wall.
    """

    piece: str
    wall: int
    length: float
    gap: float
    diffuser: float
    diffuser_gap: float
    fixings: tuple[float, ...]


def channel_cuts(
    set_out: SetOut, channel: Channel, spacing: float, warming: float, holes: Sequence[tuple[int, float]]
) -> tuple[ChannelCut, ...]:
    """Every piece of the channel; `holes` are places (wall, station) that clips and screws keep clear of."""
    mouth_out = (channel.mouth.start[0] + channel.mouth.end[0]) / 2
    growth = GROWTH.get(channel.trim.material.name, GROWTH_OTHER)
    cuts = []
    for piece in set_out.of_trim(channel.trim):
        along = piece.length_at(mouth_out)
        gap, diffuser_gap = _gap(piece.length, growth, warming), _gap(along, GROWTH_OTHER, warming)
        avoid = [station for wall, station in holes if wall == piece.wall] + _joints(set_out, channel.trim, piece.wall)
        cuts.append(
            ChannelCut(
                piece=piece.id,
                wall=piece.wall,
                length=piece.length - gap,
                gap=gap,
                diffuser=along - diffuser_gap,
                diffuser_gap=diffuser_gap,
                fixings=() if piece.is_return else fixing_places(*_span(piece, channel), spacing, avoid),
            )
        )
    return tuple(cuts)


def fixing_places(low: float, high: float, spacing: float, avoid: Sequence[float]) -> tuple[float, ...]:
    """Stations from `low` to `high`, evenly, no further apart than `spacing`, each moved clear of what is avoided."""
    margin = min(FROM_END, (high - low) / 4)
    first, last = low + margin, high - margin
    count = max(2, math.ceil((last - first) / spacing) + 1)
    even = [first + (last - first) * k / (count - 1) for k in range(count)]
    return tuple(_cleared(place, low, high, avoid) for place in even)


def _cleared(place: float, low: float, high: float, avoid: Sequence[float]) -> float:
    """The nearest station that is clear; the place itself if none is near."""
    shifts = [0.0, *(s * sign for s in range(5, int(MOST_SHIFT) + 1, 5) for sign in (1.0, -1.0))]
    for shift in shifts:
        moved = place + shift
        if low + 10 <= moved <= high - 10 and all(abs(moved - other) >= CLEAR for other in avoid):
            return moved
    return place


def _span(piece: Piece, channel: Channel) -> tuple[float, float]:
    """Stations between which the whole section is there."""
    outs = (channel.trim.edges.back, channel.trim.edges.front)
    return max(piece.left.at(o) for o in outs), min(piece.right.at(o) for o in outs)


def _joints(set_out: SetOut, channel: Trim, wall: int) -> list[float]:
    """Stations on a wall where another trim that touches the channel is joined."""
    near = [t for t in set_out.trims if t.name != channel.name and _touch(t, channel)]
    pieces = [p for t in near for p in set_out.of_trim(t) if p.wall == wall and not p.is_return]
    return [end.at(channel.edges.back) for p in pieces for end in (p.left, p.right) if end.corner is None]


def _touch(one: Trim, two: Trim) -> bool:
    a, b = one.edges, two.edges
    return max(a.back - b.front, b.back - a.front, a.bottom - b.top, b.bottom - a.top) < 2.0


def _gap(length: float, growth: float, warming: float) -> float:
    """Room to grow, rounded up."""
    return math.ceil(length * growth * warming / STEP - 1e-9) * STEP
