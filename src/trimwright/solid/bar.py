"""A bar: the section carried straight from one vertical end plane to another, exact and without a boolean.

Each line of the outline becomes a plane, each arc a cylinder, and the two ends are planes; all edges are lines,
circles and ellipses, made once and shared by the two faces that meet in them. Nothing is approximated but the
picture of an end ellipse in the cylinder's own coordinates, which the kernel fits to about 1e-7 mm (`FIT`).
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import cadquery as cq
from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.Geom import Geom_CylindricalSurface, Geom_Plane, Geom_Surface
from OCP.Geom2d import Geom2d_Curve, Geom2d_Line
from OCP.GeomProjLib import GeomProjLib
from OCP.gp import gp_Ax3, gp_Dir, gp_Dir2d, gp_Pln, gp_Pnt, gp_Pnt2d, gp_Vec2d
from OCP.TopAbs import TopAbs_REVERSED
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shell, TopoDS_Solid, TopoDS_Wire

from trimwright.errors import GeometryError
from trimwright.profile.outline import Arc, Line, Outline
from trimwright.solid.section import EndPen, EndPlane, arc_range, turn_of
from trimwright.tolerance import COINCIDENT

__all__ = ["bar"]

KERNEL = 1e-7
"""The kernel's own tolerance for points, curves and faces, mm."""

FIT = 2e-7
"""Tolerance of an edge drawn on a cylinder: the kernel aims at 1e-7 mm for the sine and misses it by up to 5 %."""

TURN = 2 * math.pi

_BUILDER = BRep_Builder()
_HERE = TopLoc_Location()


def bar(outline: Outline, left: EndPlane, right: EndPlane) -> cq.Solid:
    """The solid of `outline` between two end planes, in the piece's frame (x station, y minus out, z height).

    The planes may meet along the back or the front of the section. Raises GeometryError if they cross in it.
    """
    back, _, front, _ = outline.bounds
    if min(right.at(out) - left.at(out) for out in (back, front)) < -COINCIDENT:
        raise GeometryError("its two ends cross each other: the length left between them is less than nothing")
    near = EndPen(left)
    outline.draw(near)
    far = EndPen(right, meeting=near)
    outline.draw(far)
    links = _links(outline, near, far)
    shell = TopoDS_Shell()
    _BUILDER.MakeShell(shell)
    for face in (*_sides(outline, near, far, links), _end_face(near, -1), _end_face(far, 1)):
        _BUILDER.Add(shell, face)
    shell.Closed(True)
    solid = TopoDS_Solid()
    _BUILDER.MakeSolid(solid)
    _BUILDER.Add(solid, shell)
    return cq.Solid(solid)


def _links(outline: Outline, near: EndPen, far: EndPen) -> list[TopoDS_Edge | None]:
    """The edge along the piece at the start of each segment; None where the ends share that vertex."""
    return [
        None if far.shares(segment.start[0]) else BRepBuilderAPI_MakeEdge(a, b).Edge()
        for segment, a, b in zip(outline.segments, near.vertices, far.vertices, strict=True)
    ]


def _sides(outline: Outline, near: EndPen, far: EndPen, links: list[TopoDS_Edge | None]) -> Iterable[TopoDS_Face]:
    """The faces along the piece, each bounded by its far edge, the next link, its near edge and its own link."""
    after = [*links[1:], links[0]]
    for segment, near_edge, far_edge, link, following in zip(
        outline.segments, near.edges, far.edges, links, after, strict=True
    ):
        if near_edge is far_edge:
            continue
        loop = [far_edge, _reversed(following), _reversed(near_edge), link]
        wire = _wire(edge for edge in loop if edge is not None)
        if isinstance(segment, Line):
            yield _face(_side_plane(segment), wire)
            continue
        cylinder = _side_cylinder(segment)
        for edge, plane in ((near_edge, near.plane), (far_edge, far.plane)):
            _picture(edge, _end_curve(segment, plane, cylinder), cylinder)
        for edge, angle, out in zip(
            (link, following), arc_range(segment), (segment.start[0], segment.end[0]), strict=True
        ):
            if edge is not None:
                turn = turn_of(segment)
                start = gp_Pnt2d(angle, -turn * near.plane.at(out))
                _picture(edge, Geom2d_Line(start, gp_Dir2d(0, -turn)), cylinder)
        yield _face(cylinder, wire, hollow=segment.clockwise)


def _side_plane(line: Line) -> Geom_Plane:
    """The plane along the piece through a line of the outline, its normal away from the material."""
    (out, height), (end_out, end_height) = line.start, line.end
    return Geom_Plane(gp_Pln(gp_Pnt(0, -out, height), gp_Dir(0, height - end_height, out - end_out)))


def _side_cylinder(arc: Arc) -> Geom_CylindricalSurface:
    """The cylinder along the piece through an arc; its angle runs with the arc, its normal away from the axis."""
    out, height = arc.centre
    axes = gp_Ax3(gp_Pnt(0, -out, height), gp_Dir(-turn_of(arc), 0, 0), gp_Dir(0, -1, 0))
    return Geom_CylindricalSurface(axes, arc.radius)


def _end_curve(arc: Arc, plane: EndPlane, cylinder: Geom_CylindricalSurface) -> Geom2d_Curve:
    """The end's circle or ellipse in the cylinder's coordinates: a level line, or a sine that the kernel fits.

    The kernel may draw the sine a whole turn away; it is brought back to where the links of the face are.
    """
    if plane.square:
        return Geom2d_Line(gp_Pnt2d(0, -turn_of(arc) * plane.station), gp_Dir2d(1, 0))
    first, last = arc_range(arc)
    sine = GeomProjLib.Curve2d_s(plane.conic(arc), first, last, cylinder)
    turns = round((first - sine.Value(first).X()) / TURN)
    if turns:
        sine.Translate(gp_Vec2d(turns * TURN, 0))
    return sine


def _picture(edge: TopoDS_Edge, curve: Geom2d_Curve, surface: Geom_Surface) -> None:
    """Tell an edge where it lies on a curved face (on plane faces the kernel sees for itself)."""
    _BUILDER.UpdateEdge(edge, curve, surface, _HERE, FIT)


def _end_face(pen: EndPen, side: int) -> TopoDS_Face:
    """The plane face at an end, side -1 at the left and 1 at the right."""
    plane = Geom_Plane(gp_Pln(pen.plane.point((0, 0)), gp_Dir(side, side * pen.plane.slope, 0)))
    edges = pen.edges if side < 0 else [_reversed(edge) for edge in reversed(pen.edges)]
    return _face(plane, _wire(edges))


def _face(surface: Geom_Surface, wire: TopoDS_Wire, hollow: bool = False) -> TopoDS_Face:
    """A face bounded by a wire that runs anticlockwise seen from outside; `hollow` if the normal points inwards."""
    face = TopoDS_Face()
    _BUILDER.MakeFace(face, surface, _HERE, KERNEL)
    if hollow:
        face.Orientation(TopAbs_REVERSED)
    _BUILDER.Add(face, wire)
    return face


def _wire(edges: Iterable[TopoDS_Edge]) -> TopoDS_Wire:
    wire = TopoDS_Wire()
    _BUILDER.MakeWire(wire)
    for edge in edges:
        _BUILDER.Add(wire, edge)
    wire.Closed(True)
    return wire


def _reversed(edge: TopoDS_Edge | None) -> TopoDS_Edge | None:
    return None if edge is None else TopoDS.Edge_s(edge.Reversed())
