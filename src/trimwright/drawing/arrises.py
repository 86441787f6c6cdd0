"""A section as it is seen: from the front in an elevation, from above in a plan.

An arris is a sharp edge of the section, which shows as a line along the trim. From the front an arris is seen if
nothing of the section stands further out at its height; from above, if nothing stands higher at its distance
out. Points are (out, height) of the placed section.
"""

from __future__ import annotations

import math

from trimwright.profile.outline import Arc, Outline, Point, Segment, chord_points
from trimwright.profile.silhouette import front_silhouette
from trimwright.tolerance import CHORD, TOUCH

__all__ = ["arrises", "face", "front_at", "inside", "plan_lines", "seen_arrises"]

ARRIS = 8.0
"""Two edges that meet at less than this turn (degrees) run on smoothly: no line is drawn there."""


def _direction(segment: Segment, at_end: bool) -> float:
    """Direction of travel at one end of an edge, radians."""
    if isinstance(segment, Arc):
        x, y = segment.end if at_end else segment.start
        radial = math.atan2(y - segment.centre[1], x - segment.centre[0])
        return radial - math.pi / 2 if segment.clockwise else radial + math.pi / 2
    return math.atan2(segment.end[1] - segment.start[1], segment.end[0] - segment.start[0])


def arrises(outline: Outline) -> list[Point]:
    """Vertices at which the outline turns by more than `ARRIS`."""
    sharp = []
    for before, after in zip((outline.segments[-1], *outline.segments[:-1]), outline.segments, strict=True):
        turn = _direction(after, at_end=False) - _direction(before, at_end=True)
        if abs(math.remainder(turn, math.tau)) > math.radians(ARRIS):
            sharp.append(after.start)
    return sharp


def _furthest(points: list[Point], level: float, along: int) -> float | None:
    """Greatest other coordinate of a polygon where coordinate `along` is `level`; None where it has none."""
    found: list[float] = []
    for a, b in zip(points, (*points[1:], points[0]), strict=True):
        low, high = sorted((a[along], b[along]))
        if not low - TOUCH <= level <= high + TOUCH:
            continue
        if high - low <= TOUCH:
            found += [a[1 - along], b[1 - along]]
        else:
            part = min(1.0, max(0.0, (level - a[along]) / (b[along] - a[along])))
            found.append(a[1 - along] + part * (b[1 - along] - a[1 - along]))
    return max(found, default=None)


def seen_arrises(outline: Outline) -> list[Point]:
    """What shows as a line from the front, lowest first: the lower and upper edge, and the arrises between them."""
    points = outline.points()
    back, bottom, _, top = outline.bounds
    seen: dict[float, Point] = {}
    for out, height in sorted([*arrises(outline), *((front_at(outline, h) or back, h) for h in (bottom, top))]):
        front = _furthest(points, height, along=1)
        if front is not None and out >= front - TOUCH:
            seen[round(height, 2)] = (out, height)
    return [seen[height] for height in sorted(seen)]


def plan_lines(outline: Outline) -> list[tuple[float, bool]]:
    """(out, seen from above) of the back edge, the front edge and each arris between them, from the back."""
    points = outline.points()
    back, _, front, _ = outline.bounds
    lines = {round(back, 2): (back, True), round(front, 2): (front, True)}
    for out, height in arrises(outline):
        top = _furthest(points, out, along=0)
        seen = top is not None and height >= top - TOUCH
        key = round(out, 2)
        lines[key] = (out, seen or lines.get(key, (out, False))[1])
    return [lines[key] for key in sorted(lines)]


def face(outline: Outline, tolerance: float = CHORD) -> list[Point]:
    """The front of the section from its lowest to its highest point, arcs in chords within `tolerance`."""
    line = front_silhouette(outline)
    points = [line[0].start]
    for edge in line:
        points += chord_points(edge, tolerance) if isinstance(edge, Arc) else [edge.end]
    return points


def front_at(outline: Outline, height: float) -> float | None:
    """How far out the section reaches at a height, or None above and below it."""
    return _furthest(outline.points(), height, along=1)


def inside(outline: Outline) -> Point:
    """A point well within the material, level with the centroid (which may lie in the hollow of a channel)."""
    points, level = outline.points(), outline.centroid[1]
    outs = sorted(
        a[0] + (level - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
        for a, b in zip(points, (*points[1:], points[0]), strict=True)
        if (a[1] <= level) != (b[1] <= level)
    )
    first, last = max(zip(outs[::2], outs[1::2], strict=True), key=lambda pair: pair[1] - pair[0])
    return ((first + last) / 2, level)
