"""The look of dimensions (ISO 129-1): extension lines, oblique strokes, values above the line.

Values read from the bottom or from the right of the sheet. All constants are paper millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from trimwright.drawing.font import text_width
from trimwright.drawing.lettering import lettering
from trimwright.drawing.marks import Anchor, Dimension, DimensionKind, Layer, Mark, Running, dot
from trimwright.drawing.primitives import Primitive, Stroke
from trimwright.drawing.sheet import View
from trimwright.profile.outline import Line, Point
from trimwright.tolerance import COINCIDENT
from trimwright.units import Units, value

__all__ = [
    "ABOVE",
    "ASIDE",
    "GAP",
    "HEIGHT",
    "OVERHANG",
    "PAST",
    "PITCH",
    "STROKE",
    "any_moved",
    "dimension",
    "distances",
    "feet",
    "lettered",
    "measured",
    "middle_beside",
    "running",
    "spread",
    "value_distance",
]

HEIGHT = 2.5
"""Capitals of the value."""

GAP = 1.0
"""From the point measured to the start of its extension line."""

PAST = 1.5
"""How far an extension line runs past the dimension line."""

STROKE = 3.0
"""Length of the oblique stroke across the dimension line, at 45 degrees to it."""

RING = 2.5
"""Diameter of the ring at the origin of running dimensions."""

ABOVE = 0.8
"""From the dimension line to the value."""

ASIDE = 1.5
"""From the end of the dimension line to a value that does not fit on it."""

LEAN = math.sin(math.radians(5))
"""How far a line may lean past upright and still be read from the right: no wall is quite square."""

OVERHANG = 4.0
"""How much wider than its line a value may be and still stand over the middle of it."""

PITCH = 1.5 * HEIGHT
"""Least distance between neighbouring values of running dimensions."""

DOGLEG = 4.0
"""Room for the leaders of running values that had to move aside."""


def lettered(marks: Iterable[Mark], units: Units) -> Iterator[Mark]:
    """The marks with the values of their dimensions in `units`; those that have a text of their own keep it.

    In plain mm they need no text: what is measured is written, and a DXF dimension follows what it is tied to.
    """
    for mark in marks:
        if units is Units.MM:
            yield mark
        elif isinstance(mark, Dimension) and mark.text is None:
            yield replace(mark, text=units.written(measured(mark)))
        elif isinstance(mark, Running) and mark.texts is None:
            yield replace(mark, texts=tuple(units.written(d) for d in distances(mark)))
        else:
            yield mark


def distances(mark: Running) -> tuple[float, ...]:
    """What running dimensions measure: how far along each point lies from the origin, in model mm."""
    (x, y), (ax, ay) = mark.origin, mark.along
    return tuple(abs((px - x) * ax + (py - y) * ay) for px, py in mark.points)


def measured(mark: Dimension) -> float:
    """What the dimension measures, in model mm."""
    (ax, ay), (bx, by) = mark.start, mark.end
    match mark.kind:
        case DimensionKind.HORIZONTAL:
            return abs(bx - ax)
        case DimensionKind.VERTICAL:
            return abs(by - ay)
        case DimensionKind.ALIGNED:
            return math.dist(mark.start, mark.end)


def feet(kind: DimensionKind, a: Point, b: Point, offset: float) -> tuple[Point, Point]:
    """The ends of the dimension line for points `a` and `b`, all in one frame and unit."""
    (ax, ay), (bx, by) = a, b
    if kind is DimensionKind.HORIZONTAL:
        y = (max(ay, by) if offset >= 0 else min(ay, by)) + offset
        return (ax, y), (bx, y)
    if kind is DimensionKind.VERTICAL:
        x = (min(ax, bx) if offset >= 0 else max(ax, bx)) - offset
        return (x, ay), (x, by)
    length = math.dist(a, b) or 1.0
    nx, ny = -(by - ay) / length * offset, (bx - ax) / length * offset
    return (ax + nx, ay + ny), (bx + nx, by + ny)


def dimension(mark: Dimension, view: View) -> tuple[Primitive, ...]:
    """A dimension as lines and text; nothing for a distance that vanishes on paper.

    A value a little wider than its line is lifted clear of the extension lines; one much wider stands beside it,
    over the line carried on.
    """
    a, b = view.to_paper(mark.start), view.to_paper(mark.end)
    first, last = feet(mark.kind, a, b, mark.offset)
    length = math.dist(first, last)
    if length < COINCIDENT:
        return ()
    if _runs_backwards(first, last):
        a, b, first, last = b, a, last, first
    along = ((last[0] - first[0]) / length, (last[1] - first[1]) / length)
    text = value(measured(mark)) if mark.text is None else mark.text
    width = text_width(text, HEIGHT)
    over = width + 2 * ABOVE - length
    beside = middle_beside(length, width, mark.before)
    centre, start, end = length / 2, first, last
    if beside is not None:
        centre = beside
        start, end = (
            _step(first, along, min(0.0, beside - width / 2)),
            _step(first, along, max(length, beside + width / 2)),
        )
    above = PAST + ABOVE / 2 if 0 < over <= OVERHANG else ABOVE
    return (
        # The value's white ground comes first, so that it clears what is under it but never its own line.
        *lettering(
            _step(_step(first, along, centre), _left(along), above),
            text,
            HEIGHT,
            mark.layer,
            Anchor.BASE,
            math.degrees(math.atan2(along[1], along[0])),
            ground=True,
        ),
        *_extension(a, first, mark.layer),
        *_extension(b, last, mark.layer),
        _line(start, end, mark.layer),
        *(_oblique(p, along, mark.layer) for p in (first, last)),
    )


def middle_beside(length: float, width: float, before: bool) -> float | None:
    """Where along its line, from its start as it is read, the middle of a value lies that is too wide to stand over it.

    None for one that is not. All in paper mm.
    """
    if width + 2 * ABOVE - length <= OVERHANG:
        return None
    return -ASIDE - width / 2 if before else length + ASIDE + width / 2


def spread(places: Sequence[float], pitch: float) -> list[float]:
    """Places moved as little as may be (least squares) so that neighbours are `pitch` apart; sorted input.

    Less k * pitch each, the places only have to be in order: pool adjacent violators.
    """
    pools: list[tuple[float, int]] = []
    for k, place in enumerate(places):
        total, count = place - k * pitch, 1
        while pools and pools[-1][0] / pools[-1][1] > total / count:
            before, more = pools.pop()
            total, count = total + before, count + more
        pools.append((total, count))
    means = [total / count for total, count in pools for _ in range(count)]
    return [mean + k * pitch for k, mean in enumerate(means)]


def any_moved(places: Sequence[float], spread_out: Sequence[float]) -> bool:
    """True if a value had to leave its place, so that the whole row needs leaders."""
    return any(abs(a - b) > COINCIDENT for a, b in zip(places, spread_out, strict=True))


def value_distance(moved: bool) -> float:
    """From the line of running dimensions to the start of its values."""
    return PAST + (DOGLEG if moved else ABOVE)


def running(mark: Running, view: View) -> tuple[Primitive, ...]:
    """Running dimensions: a ring at the origin, a stroke at each point, values turned across the line."""
    along, side = mark.along, _left(mark.along)
    out = math.copysign(1.0, mark.offset)
    start = view.to_paper(mark.origin)
    base = _step(start, side, mark.offset)
    points = [view.to_paper(p) for p in mark.points]
    at = [(p[0] - base[0]) * along[0] + (p[1] - base[1]) * along[1] for p in points]
    texts = mark.texts or tuple(value(abs(t) / view.scale) for t in at)
    order = sorted(range(len(at)), key=at.__getitem__)
    places = spread([at[k] for k in order], PITCH)
    moved = any_moved([at[k] for k in order], places)
    reach = out * value_distance(moved)
    items: list[Primitive] = [*_extension(start, base, mark.layer)]
    items.append(_line(_step(base, along, min([0.0, *at])), _step(base, along, max([0.0, *at])), mark.layer))
    items.append(Stroke(dot(base, RING / 2, mark.layer).segments, mark.layer, True))
    for k, place in zip(order, places, strict=True):
        foot = _step(base, along, at[k])
        value_at = _step(_step(base, along, place), side, reach)
        if abs(at[k]) > COINCIDENT:
            items += [*_extension(points[k], foot, mark.layer), _oblique(foot, along, mark.layer)]
        if moved:
            items.append(_line(_step(foot, side, out * PAST), _step(value_at, side, -out * ABOVE / 2), mark.layer))
        items += _across(value_at, (side[0] * out, side[1] * out), texts[k], mark.layer)
    return tuple(items)


def _across(position: Point, away: Point, text: str, layer: Layer) -> tuple[Primitive, ...]:
    """A value that starts at `position` and leads away from the line, readable from bottom or right."""
    backwards = _runs_backwards((0.0, 0.0), away)
    angle = math.degrees(math.atan2(-away[1], -away[0]) if backwards else math.atan2(away[1], away[0]))
    return lettering(position, text, HEIGHT, layer, Anchor.RIGHT if backwards else Anchor.LEFT, angle, ground=True)


def _runs_backwards(a: Point, b: Point) -> bool:
    """True if text along a -> b would be read from the top or the left of the sheet.

    A line that leans a little past upright still reads from the right, as its upright neighbours do.
    """
    dx, dy = b[0] - a[0], b[1] - a[1]
    lean = LEAN * math.hypot(dx, dy)
    return dx < -lean or (dx <= lean and dy < 0)


def _extension(point: Point, foot: Point, layer: Layer) -> tuple[Primitive, ...]:
    """From a gap off the point to a little past the dimension line; nothing where there is no room for one."""
    length = math.dist(point, foot)
    if length <= GAP:
        return ()
    toward = ((foot[0] - point[0]) / length, (foot[1] - point[1]) / length)
    return (_line(_step(point, toward, GAP), _step(foot, toward, PAST), layer),)


def _oblique(foot: Point, along: Point, layer: Layer) -> Stroke:
    half = STROKE / 2 / math.sqrt(2)
    dx, dy = (along[0] - along[1]) * half, (along[0] + along[1]) * half
    return _line((foot[0] - dx, foot[1] - dy), (foot[0] + dx, foot[1] + dy), layer)


def _line(a: Point, b: Point, layer: Layer) -> Stroke:
    return Stroke((Line(a, b),), layer)


def _left(direction: Point) -> Point:
    return (-direction[1], direction[0])


def _step(point: Point, direction: Point, distance: float) -> Point:
    return (point[0] + direction[0] * distance, point[1] + direction[1] * distance)
