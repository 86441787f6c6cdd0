"""The build-up at full size: every trim in true section where it sits on the wall and under the ceiling.

x is the distance out from the wall face, y the height above the floor datum. Trims far apart in height are shown
in views of their own, each with the wall broken off above and below.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trimwright.drawing.arrises import inside
from trimwright.drawing.dimensions import PITCH, lettered, spread
from trimwright.drawing.labels import Label, place, ring
from trimwright.drawing.marks import (
    Anchor,
    Dimension,
    DimensionKind,
    Drawing,
    Group,
    Hatch,
    Layer,
    Mark,
    Path,
    Running,
    Text,
    dot,
    polyline,
)
from trimwright.drawing.plan_lettering import at_ceiling
from trimwright.drawing.spans import Span, unlike
from trimwright.profile.outline import Line, Point
from trimwright.setout.piece import SetOut, Trim
from trimwright.tolerance import TOUCH

__all__ = ["Cluster", "clusters", "section"]

APART = 120.0
"""Trims with more than this between them are shown in views of their own, mm."""

MARGIN = 14.0
"""Wall shown past the trims of a view, mm."""

BODY = 16.0
"""Thickness of wall and ceiling that is drawn, mm."""

PAST = 30.0
"""How far the ceiling is drawn past the trims, mm."""

HATCHES = {
    "plaster": (30.0, 1.2),
    "wood": (-45.0, 2.5),
    "mdf": (-30.0, 1.5),
    "foam": (75.0, 3.5),
    "alumin": (45.0, 0.7),
}
"""Angle and spacing of hatching by a word in the material's name; other materials get (60, 2)."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """A stretch of height seen in one view, and the trims in it; `ceiling`: the ceiling is in view."""

    bottom: float
    top: float
    trims: tuple[Trim, ...]
    ceiling: bool


def clusters(set_out: SetOut) -> tuple[Cluster, ...]:
    """The trims in groups that lie together in height, the highest first."""
    ceiling = set_out.room.ceiling
    groups: list[list[Trim]] = []
    lowest = ceiling
    for trim in sorted(set_out.trims, key=lambda t: -t.edges.top):
        if not groups or lowest - trim.edges.top > APART:
            groups.append([])
            lowest = trim.edges.bottom
        groups[-1].append(trim)
        lowest = min(lowest, trim.edges.bottom)
    return tuple(_cluster(group, ceiling) for group in groups)


def _cluster(trims: list[Trim], ceiling: float) -> Cluster:
    low, high = min(t.edges.bottom for t in trims), max(t.edges.top for t in trims)
    under = ceiling - high <= APART
    return Cluster(low - MARGIN, ceiling if under else high + MARGIN, tuple(trims), under)


def section(set_out: SetOut, scale: float = 1.0) -> Drawing:
    """All trims in true section with their sizes and places; `scale` is that of the sheet it is meant for."""
    marks: list[Mark] = []
    for cluster in clusters(set_out):
        marks.append(Group("section", tuple(cluster_marks(set_out, cluster, scale))))
    return Drawing("section", tuple(marks))


def cluster_marks(set_out: SetOut, cluster: Cluster, scale: float) -> tuple[Mark, ...]:
    """One view: wall, ceiling, trims, dimensions, then labels clear of all of them."""
    marks: list[Mark] = [*_building(set_out.room.ceiling, cluster)]
    marks += [Group(trim.name, tuple(_trim_marks(trim))) for trim in cluster.trims]
    marks += _setting_out(set_out, cluster)
    marks += lettered(_dimensions(set_out, cluster, scale), set_out.room.units)
    return (*marks, *place(_labels(set_out, cluster, scale), marks, scale))


def _building(ceiling: float, cluster: Cluster) -> Iterator[Mark]:
    """Wall and ceiling, hatched; the wall broken off where it runs on."""
    front = max(t.edges.front for t in cluster.trims) + PAST
    low, high = cluster.bottom, cluster.top
    body = [(0.0, low), (0.0, high), (-BODY, high), (-BODY, low)]
    if cluster.ceiling:
        body = [
            (0.0, low),
            (0.0, ceiling),
            (front, ceiling),
            (front, ceiling + BODY),
            (-BODY, ceiling + BODY),
            (-BODY, low),
        ]
        yield polyline([(0.0, low), (0.0, ceiling), (front, ceiling)], Layer.SECTION)
        yield polyline(_break_up((front, ceiling - 3), (front, ceiling + BODY + 3)), Layer.WALL)
    else:
        yield polyline([(0.0, low), (0.0, high)], Layer.SECTION)
        yield polyline(_break_across((-BODY - 3, high), (6.0, high)), Layer.WALL)
    yield Hatch(polyline(body, Layer.WALL, closed=True).segments, angle=45.0, spacing=3.0)
    yield polyline(_break_across((-BODY - 3, low), (6.0, low)), Layer.WALL)


def _break_across(start: Point, end: Point) -> list[Point]:
    """A break line along x: a straight line with one zigzag in its middle."""
    (a, y), (b, _) = start, end
    middle = (a + b) / 2
    return [start, (middle - 2, y), (middle - 1, y + 3), (middle + 1, y - 3), (middle + 2, y), end]


def _break_up(start: Point, end: Point) -> list[Point]:
    """The same along y."""
    return [(x, y) for y, x in _break_across((start[1], start[0]), (end[1], end[0]))]


def _trim_marks(trim: Trim) -> Iterator[Mark]:
    """The outline, true arcs, hatched for its material."""
    segments = trim.outline.segments
    words = trim.material.name.lower()
    angle, spacing = next((hatch for word, hatch in HATCHES.items() if word in words), (60.0, 2.0))
    yield Hatch(segments, angle=angle, spacing=spacing)
    yield Path(segments, Layer.SECTION, closed=True)


def setting_out_points(set_out: SetOut, trim: Trim) -> tuple[Point, ...]:
    """Where lines are marked for a trim: its lower edge on the wall, its front on the ceiling.

    Neither if it hangs on another trim: then it is set to that.
    """
    back, bottom, front, _ = trim.edges
    on_wall = ((0.0, bottom),) if back <= TOUCH else ()
    on_ceiling = ((front, set_out.room.ceiling),) if trim.name in at_ceiling(set_out) else ()
    return (*on_wall, *on_ceiling)


def _setting_out(set_out: SetOut, cluster: Cluster) -> Iterator[Mark]:
    for trim in cluster.trims:
        front, top = trim.edges.front, trim.edges.top
        for point in setting_out_points(set_out, trim):
            yield dot(point, 1.2, Layer.SETTING_OUT)
            if point[0] > 0 and point[1] - top > TOUCH:
                yield Path((Line((front, top), point),), Layer.SETTING_OUT)


def _dimensions(set_out: SetOut, cluster: Cluster, scale: float) -> Iterator[Mark]:
    """Distances out below, drops at the right, heights above the floor at the left, depths below the ceiling beyond."""
    outs = [out for t in cluster.trims for out in (t.edges.back, t.edges.front)]
    outs = [out for out in unlike(outs) if out > TOUCH]
    low = min(t.edges.bottom for t in cluster.trims)
    yield Running((0.0, low), (1.0, 0.0), tuple((out, low) for out in outs), -16.0)
    front = max(t.edges.front for t in cluster.trims) + (PAST + 3 if cluster.ceiling else 0)
    rows: list[list[Span]] = []
    for trim in cluster.trims:
        span = (trim.edges.bottom, trim.edges.top)
        row = next((k for k, taken in enumerate(rows) if all(span[1] <= a or b <= span[0] for a, b in taken)), None)
        if row is None:
            rows.append([])
            row = len(rows) - 1
        rows[row].append(span)
        start, end = (trim.edges.front, span[0]), (trim.edges.front, span[1])
        yield Dimension(start, (front, end[1]), -(9.0 + 9.0 * row), DimensionKind.VERTICAL)
    yield from _level_marks(set_out, cluster, scale)


def _level_marks(set_out: SetOut, cluster: Cluster, scale: float) -> Iterator[Mark]:
    """Heights above the floor datum at the left, each at a short line; close ones are set apart."""
    levels = unlike([level for t in cluster.trims for level in (t.edges.bottom, t.edges.top)])
    places = spread([level * scale for level in levels], PITCH)
    left = -BODY - 3 / scale
    for level, at in zip(levels, places, strict=True):
        foot = (left - 7 / scale, at / scale)
        yield polyline([(-BODY - 1 / scale, level), (left, level), foot], Layer.DIMENSION)
        words = _level_words(set_out, level)
        yield Text((foot[0] - 1 / scale, foot[1]), words, 2.5, Layer.DIMENSION, Anchor.RIGHT)


def _level_words(set_out: SetOut, level: float) -> str:
    """The height, how far it is below the ceiling, and whether a line is marked there on the wall."""
    below, written = set_out.room.ceiling - level, set_out.room.units.written
    if below <= TOUCH:
        return f"{written(level)} ceiling"
    marked = any((0.0, level) in setting_out_points(set_out, trim) for trim in set_out.trims)
    return f"{'wall line ' if marked else ''}{written(level)} (ceiling − {written(below)})"


def _labels(set_out: SetOut, cluster: Cluster, scale: float) -> Iterator[Label]:
    for trim in cluster.trims:
        heart = inside(trim.outline)
        spots = tuple(
            ((trim.edges.front + across / scale, heart[1] - down / scale), Anchor.LEFT)
            for across in (8, 14, 22, 30, *range(38, 120, 4))
            for down in (0, 6, 10, -6, 14, 18, 24, 30, 36)
        )
        yield Label(text=f"{trim.letter} {trim.name}", spots=spots, target=(heart, heart))
        for point in setting_out_points(set_out, trim):
            if point[0] > 0:
                spots = ring(point, scale, (3, 6, 10, 15, 21, 28))
                yield Label(text="ceiling line", spots=spots, target=(point, point))
