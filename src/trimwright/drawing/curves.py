"""Lines along a wall in plan: straight on a straight face, true arcs on a curved one."""

from __future__ import annotations

from trimwright.drawing.marks import Layer, Path
from trimwright.frame import AnyFrame, Bend
from trimwright.profile.outline import Arc, Line, Point, Segment

__all__ = ["along_face", "box_on_face", "face_line"]


def face_line(frame: AnyFrame, start: float, stop: float, out: float) -> Segment:
    """The line at a distance out from one station to another, in plan."""
    a, b = frame.plan(start, out), frame.plan(stop, out)
    if isinstance(frame, Bend):
        return Arc(a, b, frame.centre, clockwise=frame.inward is (stop < start))
    return Line(a, b)


def along_face(frame: AnyFrame, start: float, stop: float, out: float, layer: Layer) -> Path:
    """That line as a mark."""
    return Path((face_line(frame, start, stop, out),), layer)


def box_on_face(frame: AnyFrame, near: tuple[Point, Point], far: tuple[Point, Point]) -> tuple[Segment, ...]:
    """A closed outline with two edges along the face, each from (station, out) to (station, out) at one distance."""
    (a, out), (b, _) = near
    (c, beyond), (d, _) = far
    first, last = face_line(frame, a, b, out), face_line(frame, d, c, beyond)
    return (first, Line(first.end, last.start), last, Line(last.end, first.start))
