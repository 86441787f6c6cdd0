"""Where to mark: cuts and slots as lines on the unrolled face, point by point.

A mitre, a return and a scarf are cut on the plane of the end: at `out` from the wall its station is that of
`End.at`. A cope ends where the mate's face stands, at S -+ (N(v) + out cos C) / sin C with S the station of the
corner, C its angle and N(v) how far the mate reaches out at the height v. Where the face of the piece is the very
line that the mate shows, N(v) = out and the cope is the line of the mitre, S -+ out cot(C/2).

A piece that follows a slope is cut plumb: on its face every line leans by the slope, see `Incline.along`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from trimwright.drawing.developed.strip import Stretch, Strip, along, crossings
from trimwright.errors import GeometryError
from trimwright.profile.outline import Line, Segment
from trimwright.profile.silhouette import front_silhouette, out_at
from trimwright.setout.piece import Joint, Notch, Opens, Piece, Side
from trimwright.tolerance import CHORD, COINCIDENT, TOUCH

__all__ = ["Marked", "cut_line", "slot_outlines"]

DEEPEST = 12
"""A curve is halved at most so often."""

ROUNDS = 6
"""Each round of a cope on a slope brings it nearer by about the slope, so this many settle even a steep one."""


@dataclass(frozen=True, slots=True)
class Marked:
    """A point to mark: its station and its girth on the paper, and where on the piece it comes to lie.

    Stations are counted along the piece; `out` and `height` are those of the level section.
    """

    station: float
    girth: float
    out: float
    height: float


Curve = Callable[[float], Marked]


def cut_line(piece: Piece, side: Side, strip: Strip, mate: Piece | None = None) -> list[Marked]:
    """The cut at one end from the first edge of the strip to the last, within `CHORD` of the true curve.

    A cope needs its `mate`. At an arris the line of a cope may run along the fold: two points of one girth.
    """
    end = piece.end(side)
    if end.joint is Joint.COPE and mate is not None:
        return _cope_line(piece, side, strip, mate)
    line: list[Marked] = []
    for stretch in strip.stretches:
        line += _traced(_on(stretch, piece, end.at), 0.0, 1.0)
    return _without_repeats(line)


def slot_outlines(piece: Piece, notch: Notch, strip: Strip) -> list[list[Marked]]:
    """The closed lines round each part of the face that a slot takes away; a slot may come through it twice."""
    parts = [part for stretch in strip.stretches for part in _slot_parts(piece, notch, stretch)]
    runs: list[list[list[Marked]]] = []
    for part in parts:
        if runs and abs(runs[-1][-1][-1].girth - part[0].girth) <= COINCIDENT:
            runs[-1].append(part)
        else:
            runs.append([part])
    return [_loop(piece, notch, _without_repeats([p for part in run for p in part])) for run in runs]


def _loop(piece: Piece, notch: Notch, side: Sequence[Marked]) -> list[Marked]:
    """Up the right side of a slot and down its left, which mirrors it; at a joint no farther than the piece's end."""
    mirrored = [
        Marked(2 * piece.along(notch.station, p.height) - p.station, p.girth, p.out, p.height) for p in reversed(side)
    ]
    return _without_repeats([_before_ends(piece, p) for p in (*side, *mirrored)])


def _before_ends(piece: Piece, point: Marked) -> Marked:
    first, last = (piece.along(end.at(point.out), point.height) for end in (piece.left, piece.right))
    return replace(point, station=min(max(point.station, first), last))


def _on(stretch: Stretch, piece: Piece, station: Callable[[float], float]) -> Curve:
    """The curve of a plumb cut whose station on the wall depends on the distance out alone."""

    def curve(part: float) -> Marked:
        out, height = along(stretch.edge, part)
        return Marked(piece.along(station(out), height), stretch.girth_at(part), out, height)

    return curve


def _cope_line(piece: Piece, side: Side, strip: Strip, mate: Piece) -> list[Marked]:
    """The line of a cope, taken stretch by stretch between the heights at which the mate's silhouette changes."""
    stations, silhouette = CopeStations.of(piece, side, mate), front_silhouette(mate.trim.outline)
    levels = {p[1] for edge in silhouette for p in (edge.start, edge.end)}
    line: list[Marked] = []
    # Over a slot there is nothing to mark: the line runs straight on to the far side.
    for stretch in (s for s in strip.stretches if not s.bridge):
        for first, last in _parted(stretch.edge, 1, levels):
            front = _front_near(stretch.edge, (first + last) / 2, silhouette)

            def curve(part: float, stretch: Stretch = stretch, front: Segment = front) -> Marked:
                out, height = along(stretch.edge, part)
                station = stations.at(out, height, front)
                return Marked(piece.along(station, height), stretch.girth_at(part), out, height)

            line += _traced(curve, first, last)
    return _without_repeats(line)


@dataclass(frozen=True, slots=True)
class CopeStations:
    """Where on the wall a coped end meets the face of its mate."""

    piece: Piece
    mate: Piece
    corner: float
    mate_corner: float
    sine: float
    cosine: float
    inward: float
    """+1 for a left end, from which stations count into the piece, -1 for a right one; the mate's run the other way."""

    @classmethod
    def of(cls, piece: Piece, side: Side, mate: Piece) -> CopeStations:
        """For one end. Raises GeometryError if its corner is not internal."""
        end = piece.end(side)
        if end.corner is None or not 0 < end.corner < 180:
            raise GeometryError(f"only an internal corner can be coped, this end is at {end.corner}")
        angle = math.radians(end.corner)
        there = mate.frame.locate(piece.frame.plan(end.station))[0]
        inward = 1.0 if side is Side.LEFT else -1.0
        return cls(piece, mate, end.station, there, math.sin(angle), math.cos(angle), inward)

    def at(self, out: float, height: float, front: Segment) -> float:
        """Station at which a point of the section meets an edge of the mate's silhouette.

        On a slope the two sections meet at different heights of their own: from the height in the room of the point
        follows the mate's, from that a better station; slopes are small, so a few rounds settle it.
        """
        low, high = sorted((front.start[1], front.end[1]))
        level = height
        for _ in range(ROUNDS if self.piece.incline or self.mate.incline else 1):
            reach = out_at(front, min(high, max(low, level)))
            station = self.corner + self.inward * (reach + out * self.cosine) / self.sine
            if self.mate.incline is not None or self.piece.incline is not None:
                level = self._mates_level(out, reach, self.piece.height(station, height))
        return station

    def _mates_level(self, out: float, reach: float, height: float) -> float:
        there = self.mate_corner - self.inward * (out + reach * self.cosine) / self.sine
        return height if self.mate.incline is None else self.mate.incline.level(there, height)


def _front_near(edge: Segment, part: float, silhouette: Sequence[Segment]) -> Segment:
    """The edge of the mate's silhouette that stands before a point of the face; beside a level edge, on its solid.

    The face runs with the solid on its left: going out it looks down and the solid lies above, going back below.
    """
    height = along(edge, part)[1]
    if isinstance(edge, Line) and abs(edge.end[1] - edge.start[1]) <= COINCIDENT:
        height += math.copysign(TOUCH, edge.end[0] - edge.start[0])
    rising = [s for s in silhouette if abs(s.end[1] - s.start[1]) > COINCIDENT]
    return min(rising, key=lambda s: max(s.start[1] - height, height - s.end[1], 0.0))


def _slot_parts(piece: Piece, notch: Notch, stretch: Stretch) -> Iterator[list[Marked]]:
    """The right side of a notch where it crosses one stretch: as wide as the pipe's hole at each distance out."""
    rounded = {Opens.BACK: (1.0,), Opens.FRONT: (-1.0,), Opens.HOLE: (1.0, -1.0)}[notch.opens]
    levels = {notch.out, *(notch.out + sign * notch.radius for sign in rounded)}
    heights = {notch.bottom, notch.top}
    cuts = sorted({*_breaks(stretch.edge, 0, levels), *_breaks(stretch.edge, 1, heights)})

    def half(out: float) -> float:
        past = max(0.0, *(sign * (out - notch.out) for sign in rounded))
        return notch.spread / 2 + math.sqrt(max(0.0, notch.radius**2 - past**2))

    for first, last in pairwise(cuts):
        out, height = along(stretch.edge, (first + last) / 2)
        met = all(sign * (out - notch.out) < notch.radius for sign in rounded)
        if met and notch.bottom - TOUCH <= height <= notch.top + TOUCH:
            yield _traced(_on(stretch, piece, lambda o: notch.station + half(o)), first, last)


def _parted(edge: Segment, axis: int, levels: set[float]) -> Iterator[tuple[float, float]]:
    yield from pairwise(_breaks(edge, axis, levels))


def _breaks(edge: Segment, axis: int, levels: set[float]) -> list[float]:
    """Parts of an edge at which it meets one of the levels or turns back, its ends included."""
    turns = {p[axis] for p in edge.extremes()}
    return [0.0, *sorted({p for level in levels | turns for p in crossings(edge, axis, level)}), 1.0]


def _traced(curve: Curve, first: float, last: float) -> list[Marked]:
    """Points of a curve, both ends included, so close that the chords stay within `CHORD` of it on paper."""

    def halves(a: float, one: Marked, b: float, two: Marked, depth: int) -> Iterator[Marked]:
        middle = (a + b) / 2
        between = curve(middle)
        probes = (between, curve((a + middle) / 2), curve((middle + b) / 2))
        if depth < DEEPEST and max(_off(probe, one, two) for probe in probes) > CHORD:
            yield from halves(a, one, middle, between, depth + 1)
            yield from halves(middle, between, b, two, depth + 1)
        else:
            yield two

    start, stop = curve(first), curve(last)
    return [start, *halves(first, start, last, stop, 0)]


def _off(point: Marked, start: Marked, end: Marked) -> float:
    """Distance on paper of a point from the straight line between two."""
    dx, dy = end.station - start.station, end.girth - start.girth
    px, py = point.station - start.station, point.girth - start.girth
    size = math.hypot(dx, dy)
    return math.hypot(px, py) if size <= COINCIDENT else abs(dx * py - dy * px) / size


def _without_repeats(points: Sequence[Marked]) -> list[Marked]:
    kept: list[Marked] = []
    for p in points:
        if not kept or math.hypot(p.station - kept[-1].station, p.girth - kept[-1].girth) > COINCIDENT:
            kept.append(p)
    return kept
