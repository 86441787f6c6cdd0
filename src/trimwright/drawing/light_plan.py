"""The strip in plan: where it shines and where it stays dark, feeds, polarity, and how the cables come."""

from __future__ import annotations

from collections.abc import Iterator

from trimwright.drawing.ceiling_plan import piece_plan, room_marks
from trimwright.drawing.labels import Label, place, ring
from trimwright.drawing.marks import Drawing, Fill, Group, Layer, Mark, dot, polyline
from trimwright.drawing.plan_lettering import facing
from trimwright.light.channel import Leg
from trimwright.light.route import Dark, Route, Stretch
from trimwright.light.run import Entry, LightRun
from trimwright.profile.outline import Point
from trimwright.room import Room
from trimwright.setout.piece import SetOut

__all__ = ["feed_labels", "feed_marks", "light_plan"]

ARROW = 3.5
"""Length of the wedge that shows which way the strip runs, paper mm."""

TICK = 1.6
"""Half length of the tick at an end of strip, paper mm."""

HOLE = 1.1
"""Radius of the mark of a cable's hole, paper mm."""


def light_plan(set_out: SetOut, run: LightRun, scale: float) -> Drawing:
    """Walls, the channel, the strip with its marks, and labels clear of all of them."""
    marks: list[Mark] = [*room_marks(set_out.room, scale)]
    edges = (run.channel.trim.edges.back, run.channel.trim.edges.front)
    for piece in set_out.of_trim(run.channel.trim):
        marks.append(Group(piece.id, tuple(polyline(piece_plan(piece, out), Layer.HATCHING) for out in edges)))
    marks += _strip_marks(run, scale)
    labels = [
        *(_entry_label(entry, scale) for entry in run.entries),
        *(_start_label(route, scale) for route in run.routes),
        *(_dark_label(dark, scale) for dark in run.darks),
        *(
            Label(text="reel ends, joint", spots=ring(reel.plan, scale), target=(reel.plan, reel.plan))
            for reel in run.reels
            if reel.joint
        ),
        *_wall_labels(set_out.room, scale),
    ]
    return Drawing("light", (*marks, *place(labels, marks, scale)))


def feed_marks(run: LightRun, scale: float) -> Iterator[Mark]:
    """Strip and holes of the feeds for the ceiling plan, to be drawn under the pieces."""
    for number, stretch in enumerate(run.stretches, 1):
        yield Group(f"strip {number}", tuple(_lines(stretch)))
    for entry in run.entries:
        yield dot(entry.plan, HOLE / scale, Layer.STRIP)


def feed_labels(run: LightRun, scale: float) -> Iterator[Label]:
    """Name and poles of each feed for the ceiling plan, clear of the trims there."""
    for entry in run.entries:
        spots = ring(entry.plan, scale, (7, 10, 14, 19, 25))
        yield Label(text=f"{entry.name} + −", spots=spots, target=(entry.plan, entry.plan))


def _strip_marks(run: LightRun, scale: float) -> Iterator[Mark]:
    """Strip, direction, ends and holes."""
    for number, stretch in enumerate(run.stretches, 1):
        yield Group(f"strip {number}", tuple(_stretch_marks(stretch, scale)))
    for entry in run.entries:
        yield Group(
            entry.name, (dot(entry.plan, HOLE / scale, Layer.STRIP), dot(entry.plan, 1.6 * HOLE / scale, Layer.LABEL))
        )


def _stretch_marks(stretch: Stretch, scale: float) -> Iterator[Mark]:
    """The line of a stretch, leg by leg, a tick across each end, and a wedge that points the way it runs."""
    yield from _lines(stretch)
    ends = _on_legs(stretch)
    for leg, at in ((ends[0][0], ends[0][1]), (ends[-1][0], ends[-1][2])):
        yield polyline([_aside(leg, at, side * TICK / scale) for side in (-1, 1)], Layer.LABEL)
    leg, low, high = max(ends, key=lambda end: end[2] - end[1])
    tip = (low + high) / 2
    if high - low > 3 * ARROW / scale:
        back, half = tip - ARROW / scale, ARROW / 3 / scale
        wedge = [leg.plan(tip), _aside(leg, back, half), _aside(leg, back, -half)]
        yield Fill(polyline(wedge, Layer.LABEL, closed=True).segments, Layer.LABEL, 0.0)


def _lines(stretch: Stretch) -> Iterator[Mark]:
    """A line on each leg; along a curved wall in short chords."""
    for leg, low, high in _on_legs(stretch):
        parts = 24 if leg.pieces[0].bend else 1
        yield polyline([leg.plan(low + (high - low) * k / parts) for k in range(parts + 1)], Layer.STRIP)


def _on_legs(stretch: Stretch) -> list[tuple[Leg, float, float]]:
    """Each leg with the distances from its left end between which it has strip."""
    last = len(stretch.legs) - 1
    return [
        (leg, stretch.start if k == 0 else 0.0, leg.length - (stretch.rest if k == last else 0.0))
        for k, leg in enumerate(stretch.legs)
    ]


def _aside(leg: Leg, at: float, out: float) -> Point:
    """A point beside the strip: `at` along its leg and `out` further from the wall."""
    (x, y), (nx, ny) = leg.plan(at), leg.pieces[0].frame.tangent(leg.start + at).outward
    return (x + out * nx, y + out * ny)


def _entry_label(entry: Entry, scale: float) -> Label:
    text = f"{entry.name} + −  hole {round(entry.station)} from left"
    return Label(text=text, spots=ring(entry.plan, scale, (4, 8, 12, 17, 23, 30)), target=(entry.plan, entry.plan))


def _start_label(route: Route, scale: float) -> Label:
    first = next(s for s in route.stretches if s.count)
    at = first.legs[0].plan(first.start)
    return Label(text="strip begins", spots=ring(at, scale), target=(at, at))


def _dark_label(dark: Dark, scale: float) -> Label:
    """How much stays dark at a corner, a pipe or an end."""
    return Label(text=f"dark {round(dark.length)}", spots=ring(dark.plan, scale), target=(dark.plan, dark.plan))


def _wall_labels(room: Room, scale: float) -> Iterator[Label]:
    for wall in room.walls:
        anchor = facing(wall.frame.tangent(wall.length / 2))
        spots = tuple(
            (wall.frame.plan(wall.length * part, away / scale), anchor)
            for away in (9, 14, 20, 27)
            for part in (0.5, 0.4, 0.6, 0.3, 0.7)
        )
        yield Label(text=f"{wall.index + 1} {wall.name}", spots=spots, target=(wall.start, wall.end))
