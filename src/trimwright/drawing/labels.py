"""Where texts go: each label has spots to try in order, and takes the first that is clear of all else.

Tests are made on paper, in paper millimetres at the scale of the view: the size of a text is fixed there, and
what it must keep clear of (lines, values of dimensions, hatching) is taken as it will be drawn.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from trimwright.drawing import primitives
from trimwright.drawing.font import DESCENT
from trimwright.drawing.lettering import lettering
from trimwright.drawing.marks import Anchor, Drawing, Layer, Mark, Path, Text
from trimwright.drawing.primitives import Primitive, Stroke
from trimwright.drawing.render import lower
from trimwright.drawing.sheet import Sheet, View
from trimwright.profile.outline import Arc, Line, Point, chord_points

__all__ = ["Box", "Label", "Spot", "Stretch", "along", "box_of", "on_paper", "place", "ring", "texts_and_lines"]

CLEARANCE = 0.5
"""Kept free round a text, paper mm."""

BESIDE = 3.0
"""A text nearer than this to what it names needs no leader, paper mm."""

AWAY = (1.5, 4.0, 7.0, 11.0, 16.0, 22.0, 30.0)
"""Distances from what is named that are tried in turn, paper mm."""

RING = 8
"""Spots in one ring."""

FAR = tuple(float(d) for d in range(6, 50, 4))
"""Distances tried for a label that has no clear spot nearby, paper mm."""

Spot = tuple[Point, Anchor]
"""A model point and the point of the text that lies there."""

Stretch = tuple[Point, Point]
"""A straight line from point to point; a single point if both are the same."""


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle, paper mm."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top."""
        return self.top - self.bottom

    def grown(self, by: float) -> Box:
        """The box with `by` more on every side."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def shared(self, other: Box) -> float:
        """Area in mm² that the two have in common."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.top, other.top) - max(self.bottom, other.bottom)
        return max(0.0, wide) * max(0.0, high)

    def crossed(self, start: Point, end: Point) -> bool:
        """True if the line from `start` to `end` runs through the inside (clipping by Liang and Barsky)."""
        (x, y), (ex, ey) = start, end
        if max(x, ex) <= self.left or min(x, ex) >= self.right or max(y, ey) <= self.bottom or min(y, ey) >= self.top:
            return False
        dx, dy = ex - x, ey - y
        first, last = 0.0, 1.0
        for step, room in ((-dx, x - self.left), (dx, self.right - x), (-dy, y - self.bottom), (dy, self.top - y)):
            if step == 0:
                if room <= 0:
                    return False
                continue
            part = room / step
            if step < 0:
                first = max(first, part)
            else:
                last = min(last, part)
            if first >= last:
                return False
        return True


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


def box_of(label: primitives.Label) -> Box:
    """The box of a text as it is drawn, descenders included; of a turned text the upright box round it."""
    turn = math.radians(label.angle)
    cos, sin = math.cos(turn), math.sin(turn)
    corners = [(x, y) for x in (0.0, label.width) for y in (-DESCENT * label.height, label.height)]
    xs = [label.position[0] + x * cos - y * sin for x, y in corners]
    ys = [label.position[1] + x * sin + y * cos for x, y in corners]
    return Box(min(xs), min(ys), max(xs), max(ys))


def texts_and_lines(items: Iterable[Primitive]) -> tuple[list[Box], list[Stretch]]:
    """Boxes of all texts and all straight stretches of lines among primitives."""
    boxes: list[Box] = []
    lines: list[Stretch] = []
    for item in _leaves(items):
        if isinstance(item, primitives.Label):
            boxes.append(box_of(item))
        elif isinstance(item, Stroke):
            for segment in item.segments:
                ends = chord_points(segment, 0.1) if isinstance(segment, Arc) else [segment.end]
                lines += zip([segment.start, *ends], ends, strict=False)
    return boxes, lines


def on_paper(marks: Sequence[Mark], scale: float) -> tuple[list[Box], list[Stretch]]:
    """Boxes of texts and stretches of lines of marks as they will be drawn, model origin at the paper's origin."""
    sheet = Sheet(name="", title="", width=0, height=0, views=(_bare_view(marks, scale),))
    return texts_and_lines(lower(sheet))


def _bare_view(marks: Sequence[Mark], scale: float) -> View:
    return View(drawing=Drawing("", tuple(marks)), scale=scale, model=(0.0, 0.0), paper=(0.0, 0.0))


def _leaves(items: Iterable[Primitive]) -> Iterator[Primitive]:
    for item in items:
        if isinstance(item, primitives.Block):
            yield from _leaves(item.items)
        else:
            yield item


def ring(
    point: Point, scale: float, distances: Sequence[float] = (1.5, 4.0, 7.0, 11.0, 16.0, 22.0, 30.0)
) -> tuple[Spot, ...]:
    """Spots all round a point, the near ones first; distances in paper mm."""
    directions = (
        (0.0, -1.0, Anchor.TOP),
        (0.0, 1.0, Anchor.BASE),
        (1.0, 0.0, Anchor.LEFT),
        (-1.0, 0.0, Anchor.RIGHT),
        (0.8, -0.8, Anchor.TOP_LEFT),
        (-0.8, -0.8, Anchor.TOP_RIGHT),
        (0.8, 0.8, Anchor.BASE_LEFT),
        (-0.8, 0.8, Anchor.BASE_RIGHT),
    )
    return tuple(
        ((point[0] + dx * distance / scale, point[1] + dy * distance / scale), anchor)
        for distance in distances
        for dx, dy, anchor in directions
    )


def along(start: Point, end: Point, parts: Sequence[float], away: Point, anchor: Anchor) -> tuple[Spot, ...]:
    """Spots at parts (0 to 1) of the way from `start` to `end`, each moved by `away` (model mm)."""
    (x, y), (dx, dy) = start, (end[0] - start[0], end[1] - start[1])
    return tuple(((x + part * dx + away[0], y + part * dy + away[1]), anchor) for part in parts)


def place(labels: Iterable[Label], marks: Sequence[Mark], scale: float) -> tuple[Mark, ...]:
    """Texts (and leaders) of the labels, each at its first clear spot among `marks` and the labels before it.

    Where none is clear, spots further and further off are tried; then the one is taken with the least text under it,
    and of those the one with the fewest lines.
    """
    view = _bare_view(marks, scale)
    boxes, lines = on_paper(marks, scale)
    placed: list[Mark] = []
    for label in labels:
        near = _best(label, label.spots, boxes, lines, view, len(label.spots))
        if near.covered and label.optional:
            continue
        best = near if not near.covered else min(near, _best(label, _far_spots(label, scale), boxes, lines, view, RING))
        boxes.append(best.box)
        if best.leader is not None:
            placed.append(best.leader)
            lines.append(_ends(best.leader, view))
        placed.append(best.text)
    return tuple(placed)


@dataclass(frozen=True, slots=True, order=True)
class _Try:
    """A text at one of its spots: how much text it covers (mm², and 100 for each its leader crosses), how far off."""

    covered: float
    trouble: int
    text: Text = field(compare=False)
    box: Box = field(compare=False)
    leader: Path | None = field(compare=False)


def _best(
    label: Label, spots: Iterable[Spot], boxes: Sequence[Box], lines: Sequence[Stretch], view: View, line_cost: int
) -> _Try:
    """The first clear spot, or the least bad; a line under the text is as bad as going `line_cost` spots further.

    Text over text cannot be read; over a line it can, on its white ground.
    """
    tried: list[_Try] = []
    for rank, (position, anchor) in enumerate(spots):
        text = Text(position, label.text, label.height, anchor=anchor, ground=True)
        (box,) = texts_and_lines(lettering(view.to_paper(position), label.text, label.height, text.layer, anchor))[0]
        zone = box.grown(CLEARANCE)
        leader = _leader(label, box, view)
        covered = sum(zone.shared(other) for other in boxes)
        if leader is not None:
            ends = _ends(leader, view)
            covered += 100 * sum(other.crossed(*ends) for other in boxes)
        if tried and covered > min(tried).covered:
            continue
        crossed = sum(zone.crossed(a, b) for a, b in lines)
        tried.append(_Try(covered, crossed * line_cost + rank, text, box, leader))
        if not covered and not crossed:
            break
    return min(tried)


def _far_spots(label: Label, scale: float) -> tuple[Spot, ...]:
    """Spots round the label's first one, up to the far side of a small sheet."""
    return ring(label.spots[0][0], scale, FAR)


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
