"""What a section shows from the front: its greatest projection at each height, and what hides behind it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from trimwright.profile.outline import Arc, Line, Outline, Point, Segment
from trimwright.tolerance import COINCIDENT

__all__ = ["behind_silhouette", "front_silhouette", "undercut"]


@dataclass(frozen=True, slots=True)
class Band:
    """A range of heights in which no edge of the outline begins or ends: `flanks` from back to front."""

    bottom: float
    top: float
    flanks: tuple[Segment, ...]


@dataclass(frozen=True, slots=True)
class Gap:
    """A space in a band with material in front of it: the flanks behind (None: the back line) and before it."""

    band: int
    behind: Segment | None
    before: Segment

    def spread(self, height: float, back: float) -> tuple[float, float]:
        """Least and greatest out at a height."""
        return (back if self.behind is None else out_at(self.behind, height), out_at(self.before, height))


def front_silhouette(outline: Outline) -> tuple[Segment, ...]:
    """The greatest out at each height, exact: segments of increasing height, joined by level lines where it jumps.

    A coped piece is cut to this line of its mate.
    """
    runs: list[tuple[Segment, float, float]] = []
    for band in _bands(outline):
        front = band.flanks[-1]
        if runs and runs[-1][0] is front:
            runs[-1] = (front, runs[-1][1], band.top)
        else:
            runs.append((front, band.bottom, band.top))
    line: list[Segment] = []
    for flank, bottom, top in runs:
        piece = _clipped(flank, bottom, top)
        if line and math.dist(line[-1].end, piece.start) > COINCIDENT:
            line.append(Line(line[-1].end, piece.start))
        line.append(piece)
    return tuple(line)


def behind_silhouette(outline: Outline, depth: float, past: float = 0.0) -> Outline:
    """The region from `depth` behind the back edge to the front silhouette: what a coped mate must keep out of.

    It is carried straight on `past` mm above the top and below the bottom, wanted where two pieces slope apart.
    """
    bounds, front = outline.bounds, front_silhouette(outline)
    back, (low_out, low), (high_out, high) = bounds.back - depth, front[0].start, front[-1].end
    corners = [
        *((high_out, high), (high_out, high + past), (back, high + past)),
        *((back, low - past), (low_out, low - past), (low_out, low)),
    ]
    return Outline.of([*front, *(Line(a, b) for a, b in pairwise(corners))])


def undercut(outline: Outline) -> bool:
    """True if a pocket hidden from the front opens downwards or outwards, as a drip groove or an open channel does.

    Such a section cannot be coped. A groove in the top behind a lip (a hanging rail), a hollow in the back, the
    space behind a sprung crown and a closed bore are no undercuts.
    """
    bands, back = _bands(outline), outline.bounds.back
    gaps = [gap for index, band in enumerate(bands) for gap in _gaps(index, band, back)]
    group = list(range(len(gaps)))
    for upper, gap in enumerate(gaps):
        for lower, other in enumerate(gaps):
            if gap.band == other.band + 1 and _overlap(gap, other, bands[gap.band].bottom, back):
                kept, merged = group[lower], group[upper]
                group = [kept if g == merged else g for g in group]
    to_wall = {g for g, gap in zip(group, gaps, strict=True) if gap.behind is None}
    open_below = {g for g, gap in zip(group, gaps, strict=True) if _opens_below(gap, bands, back)}
    return bool(open_below - to_wall)


def out_at(flank: Segment, height: float) -> float:
    """Out of a piece of outline that climbs or falls steadily, at a height within it."""
    (x0, y0), (x1, y1) = flank.start, flank.end
    if isinstance(flank, Line):
        return x0 + (x1 - x0) * (height - y0) / (y1 - y0)
    across = math.sqrt(max(0.0, flank.radius**2 - (height - flank.centre[1]) ** 2))
    return flank.centre[0] + math.copysign(across, flank.middle[0] - flank.centre[0])


def _bands(outline: Outline) -> list[Band]:
    """The outline cut into bands of height, bottom to top; flanks never cross, so the middle gives their order."""
    flanks = [piece for segment in outline.segments for piece in _steady(segment)]
    levels = sorted(y for flank in flanks for y in (flank.start[1], flank.end[1]))
    kept = levels[:1]
    for level in levels:
        if level - kept[-1] > COINCIDENT:
            kept.append(level)
    bands = []
    for bottom, top in pairwise(kept):
        middle = (bottom + top) / 2
        here = [f for f in flanks if min(f.start[1], f.end[1]) < middle < max(f.start[1], f.end[1])]
        here.sort(key=lambda flank: out_at(flank, middle))
        bands.append(Band(bottom, top, tuple(here)))
    return bands


def _steady(segment: Segment) -> list[Segment]:
    """A segment in pieces that only climb or only fall: an arc parted at its top and bottom; level ones left out."""
    pieces: list[Segment] = [segment]
    if isinstance(segment, Arc):
        tips = [p for p in segment.extremes() if abs(p[0] - segment.centre[0]) < COINCIDENT]
        tips = [p for p in tips if min(math.dist(p, segment.start), math.dist(p, segment.end)) > COINCIDENT]
        sense = -1 if segment.clockwise else 1
        tips.sort(key=lambda p: sense * (_angle(segment, p) - segment.start_angle) % math.tau)
        pieces = [replace(segment, start=a, end=b) for a, b in pairwise([segment.start, *tips, segment.end])]
    return [piece for piece in pieces if abs(piece.end[1] - piece.start[1]) > COINCIDENT]


def _angle(arc: Arc, point: Point) -> float:
    return math.atan2(point[1] - arc.centre[1], point[0] - arc.centre[0])


def _clipped(flank: Segment, bottom: float, top: float) -> Segment:
    """The part of a climbing flank between two heights; an end within rounding of its own stays its own."""
    start = flank.start if abs(flank.start[1] - bottom) <= COINCIDENT else (out_at(flank, bottom), bottom)
    end = flank.end if abs(flank.end[1] - top) <= COINCIDENT else (out_at(flank, top), top)
    return replace(flank, start=start, end=end)


def _gaps(index: int, band: Band, back: float) -> list[Gap]:
    """Spaces of a band that have material in front: flanks alternate into and out of the material."""
    middle = (band.bottom + band.top) / 2
    entries = band.flanks[::2]
    behind: Sequence[Segment | None] = (None, *band.flanks[1:-1:2])
    gaps = [Gap(index, a, b) for a, b in zip(behind, entries, strict=True)]
    return [gap for gap in gaps if gap.spread(middle, back)[1] - gap.spread(middle, back)[0] > COINCIDENT]


def _overlap(one: Gap, two: Gap, height: float, back: float) -> bool:
    (a, b), (c, d) = one.spread(height, back), two.spread(height, back)
    return min(b, d) - max(a, c) > COINCIDENT


def _opens_below(gap: Gap, bands: Sequence[Band], back: float) -> bool:
    """True if the lower end of a gap is open: to nothing at the bottom of the section, or to the front of it."""
    height = bands[gap.band].bottom
    least, greatest = gap.spread(height, back)
    below = -math.inf if gap.band == 0 else out_at(bands[gap.band - 1].flanks[-1], height)
    return greatest - max(least, below) > COINCIDENT
