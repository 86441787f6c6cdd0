"""What already lies on the paper: boxes of texts and stretches of lines, and which of them a place would meet.

All in paper millimetres at the scale of a view, as it will be drawn: the size of a text is fixed there.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from trimwright.drawing import primitives
from trimwright.drawing.font import DESCENT
from trimwright.drawing.marks import Drawing, Fill, Group, Mark
from trimwright.drawing.primitives import Primitive, Stroke
from trimwright.drawing.render import lower_view
from trimwright.drawing.sheet import View
from trimwright.profile.outline import Arc, Point, chord_points

__all__ = ["Box", "Clutter", "Stretch", "bare_view", "box_of", "on_paper", "texts_and_lines"]

CELL = 10.0
"""Side of the squares by which things are looked up, paper mm: about the size of a label."""

FLAT = 0.1
"""Arcs are looked up as chords within this distance, paper mm."""

Square = tuple[float, float]
"""Column and row."""

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
                ends = chord_points(segment, FLAT) if isinstance(segment, Arc) else [segment.end]
                lines += zip([segment.start, *ends], ends, strict=False)
    return boxes, lines


def on_paper(marks: Sequence[Mark], scale: float) -> tuple[list[Box], list[Stretch]]:
    """Boxes of texts and stretches of lines of marks as they will be drawn, model origin at the paper's origin."""
    return texts_and_lines([lower_view(bare_view(list(_not_filled(marks)), scale))])


def _not_filled(marks: Iterable[Mark]) -> Iterator[Mark]:
    """Marks out of their groups, without the areas: those are neither text nor line."""
    for mark in marks:
        if isinstance(mark, Group):
            yield from _not_filled(mark.marks)
        elif not isinstance(mark, Fill):
            yield mark


def bare_view(marks: Sequence[Mark], scale: float) -> View:
    """Marks seen at a scale, the model's origin at the paper's."""
    return View(drawing=Drawing("", tuple(marks)), scale=scale, model=(0.0, 0.0), paper=(0.0, 0.0))


def _leaves(items: Iterable[Primitive]) -> Iterator[Primitive]:
    for item in items:
        if isinstance(item, primitives.Block):
            yield from _leaves(item.items)
        else:
            yield item


class Clutter:
    """Boxes and lines on a paper, kept by squares so that a place is tested only against what is near it."""

    def __init__(self, boxes: Iterable[Box] = (), lines: Iterable[Stretch] = ()) -> None:
        self._boxes: list[Box] = []
        self._lines: list[Stretch] = []
        self._boxes_in: defaultdict[Square, list[int]] = defaultdict(list)
        self._lines_in: defaultdict[Square, list[int]] = defaultdict(list)
        for box in boxes:
            self.add_box(box)
        for line in lines:
            self.add_line(line)

    def add_box(self, box: Box) -> None:
        """Put a text on the paper."""
        for square in _squares(box):
            self._boxes_in[square].append(len(self._boxes))
        self._boxes.append(box)

    def add_line(self, line: Stretch) -> None:
        """Put a line on the paper."""
        for square in _along(line):
            self._lines_in[square].append(len(self._lines))
        self._lines.append(line)

    def covered(self, zone: Box, enough: float = math.inf) -> float:
        """Area in mm² of texts under a zone; adding up ends when it is more than `enough`."""
        area = 0.0
        for k in {k for square in _squares(zone) for k in self._boxes_in.get(square, ())}:
            if area > enough:
                break
            area += zone.shared(self._boxes[k])
        return area

    def crossed(self, zone: Box, enough: float = math.inf) -> int:
        """How many lines run through a zone; counting ends when there are `enough`."""
        count = 0
        for k in {k for square in _squares(zone) for k in self._lines_in.get(square, ())}:
            if count >= enough:
                break
            count += zone.crossed(*self._lines[k])
        return count

    def texts_on(self, line: Stretch, enough: float = math.inf) -> int:
        """How many texts a line would run through; counting ends when there are more than `enough`."""
        count = 0
        for k in {k for square in _along(line) for k in self._boxes_in.get(square, ())}:
            if count > enough:
                break
            count += self._boxes[k].crossed(*line)
        return count


def _squares(box: Box) -> list[Square]:
    """The squares that a box lies in."""
    columns = range(int(box.left // CELL), int(box.right // CELL) + 1)
    rows = range(int(box.bottom // CELL), int(box.top // CELL) + 1)
    return [(column, row) for column in columns for row in rows]


def _along(line: Stretch) -> Iterable[Square]:
    """The squares that a line runs through, and a few beside it."""
    (x, y), (ex, ey) = line
    column, row = x // CELL, y // CELL
    last, top = ex // CELL, ey // CELL
    if column == last and row == top:  # as most do
        return ((column, row),)
    parts = int(max(abs(last - column), abs(top - row)))
    dx, dy = (ex - x) / parts, (ey - y) / parts
    found: set[Square] = set()
    for k in range(1, parts + 1):
        to, up = (x + k * dx) // CELL, (y + k * dy) // CELL
        found |= {(column, row), (column, up), (to, row), (to, up)}
        column, row = to, up
    return found
