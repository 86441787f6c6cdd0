"""Where texts go: each label has spots to try in order, and takes the first that is clear of all else."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from trimwright.drawing.clutter import Box, Clutter, Stretch, bare_view, on_paper, texts_and_lines
from trimwright.drawing.lettering import lettering
from trimwright.drawing.marks import Anchor, Layer, Mark, Path, Text
from trimwright.drawing.sheet import View
from trimwright.profile.outline import Line, Point

__all__ = ["Label", "Spot", "along", "place", "ring"]

CLEARANCE = 0.5
"""Kept free over and under a text, paper mm."""

APART = 2.0
"""Kept free of other texts before and behind a text, lest two be read as one, paper mm."""

BESIDE = 3.0
"""A text nearer than this to what it names needs no leader, paper mm."""

AWAY = (1.5, 4.0, 7.0, 11.0, 16.0, 22.0, 30.0)
"""Distances from what is named that are tried in turn, paper mm."""

FULL, FIRST = 60, 8
"""After so many labels without a clear spot the paper is full: the others try only so many of theirs."""

FAR = tuple(float(d) for d in range(6, 50, 4))
"""Distances tried for a label that has no clear spot nearby, paper mm."""

Spot = tuple[Point, Anchor]
"""A model point and the point of the text that lies there."""

ROUND = (
    (0.0, -1.0, Anchor.TOP),
    (0.0, 1.0, Anchor.BASE),
    (1.0, 0.0, Anchor.LEFT),
    (-1.0, 0.0, Anchor.RIGHT),
    (0.8, -0.8, Anchor.TOP_LEFT),
    (-0.8, -0.8, Anchor.TOP_RIGHT),
    (0.8, 0.8, Anchor.BASE_LEFT),
    (-0.8, 0.8, Anchor.BASE_RIGHT),
)
"""Directions tried round a point, and the anchor of a text that stands there."""


BEYOND = 80.0
"""Labels are kept out of so wide a strip round what they should stay within, paper mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A text, the spots to try for it in order, and the line (or point) it names, in model mm.

    A leader runs to the nearest point of that line if the text does not stand right beside it. An `optional` text
    is left out where nothing is clear.
    """

    text: str
    spots: tuple[Spot, ...]
    target: Stretch | None = None
    height: float = 2.5
    optional: bool = False


def ring(point: Point, scale: float, distances: Sequence[float] = AWAY) -> tuple[Spot, ...]:
    """Spots all round a point, the near ones first; distances in paper mm."""
    return tuple(
        ((point[0] + dx * distance / scale, point[1] + dy * distance / scale), anchor)
        for distance in distances
        for dx, dy, anchor in ROUND
    )


def along(start: Point, end: Point, parts: Sequence[float], away: Point, anchor: Anchor) -> tuple[Spot, ...]:
    """Spots at parts (0 to 1) of the way from `start` to `end`, each moved by `away` (model mm)."""
    (x, y), (dx, dy) = start, (end[0] - start[0], end[1] - start[1])
    return tuple(((x + part * dx + away[0], y + part * dy + away[1]), anchor) for part in parts)


def place(labels: Iterable[Label], marks: Sequence[Mark], scale: float, within: Box | None = None) -> tuple[Mark, ...]:
    """Texts (and leaders) of the labels, each at its first clear spot among `marks` and the labels before it.

    Where none is clear, spots further and further off are tried; then the one is taken with the least text under it,
    and of those the one with the fewest lines. On a paper that is full no more than a few are tried. What lies outside
    `within`, paper mm, counts as text.
    """
    view = bare_view(marks, scale)
    boxes, lines = on_paper(marks, scale)
    clutter = Clutter([*boxes, *_around(within)] if within else boxes, lines)
    placed: list[Mark] = []
    crowded = 0
    for label in labels:
        spots = label.spots if crowded < FULL else label.spots[:FIRST]
        best = _best(label, spots, clutter, view, line_cost=len(label.spots))
        crowded += best.covered > 0
        if best.covered and label.optional:
            continue
        if best.covered and crowded < FULL:
            far = ring(label.spots[0][0], scale, FAR)
            best = min(best, _best(label, far, clutter, view, line_cost=len(ROUND)))
        clutter.add_box(best.box)
        if best.leader is not None:
            placed.append(best.leader)
            clutter.add_line(_ends(best.leader, view))
        placed.append(best.text)
    return tuple(placed)


def _around(inner: Box) -> list[Box]:
    """Four boxes beside, under and over one, as wide as labels are ever put off."""
    outer = inner.grown(BEYOND)
    return [
        Box(outer.left, outer.bottom, inner.left, outer.top),
        Box(inner.right, outer.bottom, outer.right, outer.top),
        Box(inner.left, outer.bottom, inner.right, inner.bottom),
        Box(inner.left, inner.top, inner.right, outer.top),
    ]


@dataclass(frozen=True, slots=True, order=True)
class _Try:
    """A text at one of its spots: how much text it covers (mm², and 100 for each its leader crosses), how far off."""

    covered: float
    trouble: int
    text: Text = field(compare=False)
    box: Box = field(compare=False)
    leader: Path | None = field(compare=False)


def _best(label: Label, spots: Sequence[Spot], clutter: Clutter, view: View, line_cost: int) -> _Try:
    """The first clear spot, or the least bad; a line under the text is as bad as going `line_cost` spots further.

    Text over text cannot be read; over a line it can, on its white ground.
    """
    best: _Try | None = None
    for rank, ((position, anchor), box) in enumerate(zip(spots, _boxes(label, spots, view), strict=True)):
        zone = box.grown(CLEARANCE)
        most = math.inf if best is None else best.covered
        covered = clutter.covered(Box(box.left - APART, zone.bottom, box.right + APART, zone.top), most)
        if covered > most:
            continue
        leader = _leader(label, box, view)
        covered += 100 * clutter.texts_on(_ends(leader, view), (most - covered) / 100) if leader else 0
        if covered > most:
            continue
        spare = math.inf if best is None or covered < best.covered else (best.trouble - rank) / line_cost
        crossed = clutter.crossed(zone, enough=spare)
        if crossed >= spare:
            continue
        text = Text(position, label.text, label.height, anchor=anchor, ground=True)
        found = _Try(covered, crossed * line_cost + rank, text, box, leader)
        best = found if best is None else min(best, found)
        if not covered and not crossed:
            break
    if best is None:
        raise ValueError(f"label {label.text!r} has no spot")
    return best


def _boxes(label: Label, spots: Sequence[Spot], view: View) -> Iterable[Box]:
    """Boxes of a label's text at each of its spots; the text itself is measured once an anchor."""
    measured: dict[Anchor, Box] = {}
    for position, anchor in spots:
        if anchor not in measured:
            text = lettering((0.0, 0.0), label.text, label.height, Layer.LABEL, anchor)
            (measured[anchor],) = texts_and_lines(text)[0]
        bare, (x, y) = measured[anchor], view.to_paper(position)
        yield Box(bare.left + x, bare.bottom + y, bare.right + x, bare.top + y)


def _ends(leader: Path, view: View) -> Stretch:
    return view.to_paper(leader.segments[0].start), view.to_paper(leader.segments[0].end)


def _leader(label: Label, box: Box, view: View) -> Path | None:
    """A line from the edge of the text to the nearest point of what it names, unless that is right beside it."""
    if label.target is None:
        return None
    middle = ((box.left + box.right) / 2, (box.bottom + box.top) / 2)
    x, y = _nearest(middle, view.to_paper(label.target[0]), view.to_paper(label.target[1]))
    near = (min(max(x, box.left), box.right), min(max(y, box.bottom), box.top))
    if math.dist(near, (x, y)) < BESIDE:
        return None
    start, end = ((px / view.scale, py / view.scale) for px, py in (near, (x, y)))
    return Path((Line(start, end),), Layer.DIMENSION)


def _nearest(point: Point, start: Point, end: Point) -> Point:
    """The point of a line that lies nearest."""
    (dx, dy), square = (end[0] - start[0], end[1] - start[1]), math.dist(start, end) ** 2
    if square == 0:
        return start
    part = ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / square
    part = min(1.0, max(0.0, part))
    return (start[0] + part * dx, start[1] + part * dy)
