"""A section drawn on a vertical end plane with the kernel's own lines, circles and ellipses.

Solids are made in the piece's own frame, right-handed for the kernel: x the station, y minus the distance out,
z the height. The plane of an end is station + slope * out, so a circular arc of the section appears on it as an
arc of an ellipse whose long axis is level and longer by sqrt(1 + slope²); it stays one, never a row of chords.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import cadquery as cq
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeVertex
from OCP.Geom import Geom_Circle, Geom_Ellipse
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Elips, gp_Pnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Vertex

from trimwright.profile.outline import Arc, Outline, Point
from trimwright.tolerance import COINCIDENT, SQUARE_SLOPE

__all__ = ["EndPen", "EndPlane", "arc_range", "end_wire", "turn_of"]


WHOLE_TURN = 1e-12
"""Radians; rounding of the coordinates puts an angle that should be nought this far off."""


@dataclass(frozen=True, slots=True)
class EndPlane:
    """The vertical plane station + slope * out."""

    station: float
    slope: float = 0.0

    @property
    def square(self) -> bool:
        """True if the plane stands square to the piece, or so nearly that the kernel cannot tell."""
        return abs(self.slope) < SQUARE_SLOPE

    def at(self, out: float) -> float:
        """Station of the plane at a distance out."""
        return self.station + self.slope * out

    def point(self, place: Point) -> gp_Pnt:
        """Where the line along the piece through (out, height) meets the plane."""
        out, height = place
        return gp_Pnt(self.at(out), -out, height)

    def conic(self, arc: Arc) -> Geom_Circle | Geom_Ellipse:
        """The whole circle or ellipse of which the arc's picture on the plane is a part.

        Its parameter is the angle of the circle in the section, counted the way the arc runs.
        """
        turn = turn_of(arc)
        axes = gp_Ax2(self.point(arc.centre), gp_Dir(-turn, -turn * self.slope, 0), gp_Dir(self.slope, -1, 0))
        if self.square:
            return Geom_Circle(gp_Circ(axes, arc.radius))
        return Geom_Ellipse(gp_Elips(axes, arc.radius * math.hypot(1, self.slope), arc.radius))


def turn_of(arc: Arc) -> int:
    """1 for an anticlockwise (convex) arc of an outline, -1 for a clockwise (hollow) one."""
    return -1 if arc.clockwise else 1


def arc_range(arc: Arc) -> tuple[float, float]:
    """First and last parameter of the arc on its conic or cylinder, radians, increasing.

    An arc that begins a hair before a whole turn begins at none: the kernel would put its ends a turn apart.
    """
    first = (turn_of(arc) * arc.start_angle) % (2 * math.pi)
    if 2 * math.pi - first < WHOLE_TURN:
        first = 0.0
    return first, first + abs(arc.sweep)


@dataclass(slots=True)
class EndPen:
    """Draws an outline on an end plane as kernel edges that share their vertices.

    `meeting` is the pen of the piece's other end, drawn before. Where the two planes meet in the section (a
    return has no length at the wall) this pen takes the other's vertices and edges for its own, so that the
    solid closes there without a face of no width.
    """

    plane: EndPlane
    meeting: EndPen | None = None
    vertices: list[TopoDS_Vertex] = field(default_factory=list)
    edges: list[TopoDS_Edge] = field(default_factory=list)
    _first: Point = (0.0, 0.0)
    _place: Point = (0.0, 0.0)

    def shares(self, out: float) -> bool:
        """True where this plane meets the other end's."""
        return self.meeting is not None and abs(self.plane.at(out) - self.meeting.plane.at(out)) <= COINCIDENT

    def move_to(self, point: Point) -> None:
        """Begin the loop."""
        self._first = self._place = point
        self.vertices.append(self._new_vertex(point))

    def line_to(self, point: Point) -> None:
        """Add a straight edge."""
        start, end = self.vertices[-1], self._next_vertex(point)
        if self.meeting and self.shares(self._place[0]) and self.shares(point[0]):
            self.edges.append(self.meeting.edges[len(self.edges)])
        else:
            self.edges.append(BRepBuilderAPI_MakeEdge(start, end).Edge())
        self._place = point

    def arc_to(self, end: Point, centre: Point, clockwise: bool) -> None:
        """Add an arc of the plane's circle or ellipse."""
        arc = Arc(self._place, end, centre, clockwise)
        start, stop = self.vertices[-1], self._next_vertex(end)
        self.edges.append(BRepBuilderAPI_MakeEdge(self.plane.conic(arc), start, stop, *arc_range(arc)).Edge())
        self._place = end

    def close(self) -> None:
        """Nothing is left to do: the last edge already ends in the first vertex."""

    def wire(self) -> cq.Wire:
        """What was drawn, as one closed wire."""
        return cq.Wire.assembleEdges([cq.Edge(edge) for edge in self.edges])

    def _new_vertex(self, point: Point) -> TopoDS_Vertex:
        if self.meeting and self.shares(point[0]):
            return self.meeting.vertices[len(self.vertices)]
        return BRepBuilderAPI_MakeVertex(self.plane.point(point)).Vertex()

    def _next_vertex(self, point: Point) -> TopoDS_Vertex:
        """The first vertex again when the loop is back at it, else a new one."""
        if math.dist(point, self._first) <= COINCIDENT:
            return self.vertices[0]
        self.vertices.append(self._new_vertex(point))
        return self.vertices[-1]


def end_wire(outline: Outline, station: float = 0.0, slope: float = 0.0) -> cq.Wire:
    """The outline on the vertical plane station + slope * out, as a wire in the piece's frame."""
    pen = EndPen(EndPlane(station, slope))
    outline.draw(pen)
    return pen.wire()
