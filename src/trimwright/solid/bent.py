"""Bent bars: the section turned about the centre of its wall, each line a cone, plane or cylinder, each arc a torus."""

from __future__ import annotations

import math

import cadquery as cq
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

from trimwright.errors import GeometryError
from trimwright.frame import Bend, Frame
from trimwright.profile.outline import Outline
from trimwright.setout.curved.bends import end_station
from trimwright.setout.piece import Piece, Side
from trimwright.solid.incline import plumb_end
from trimwright.solid.section import EndPlane, end_wire
from trimwright.tolerance import COINCIDENT, OVERCUT

__all__ = ["bent_bar", "exact_volume", "frame_location", "turned"]

INTEGRATED = 1e-9
"""Part of its volume to which the kernel sums up a solid; as it comes it is 5e-6 off where a torus is cut slantwise."""

PAST = 10.0
"""A cutting plane at the end of a bent bar reaches this far past the section on both sides, mm."""


def frame_location(frame: Frame) -> cq.Location:
    """The place in the room of a solid made in a frame (x station, y minus out, z height)."""
    (x, y), (ax, ay) = frame.origin, frame.along
    return cq.Location(cq.Plane(origin=(x, y, 0), xDir=(ax, ay, 0), normal=(0, 0, 1)))


def turned(outline: Outline, bend: Bend, low: float, high: float) -> cq.Solid:
    """The solid of a section along an arc between two stations, cut square at both, in room coordinates."""
    face = cq.Face.makeFromWires(end_wire(outline)).moved(frame_location(bend.tangent(low)))
    x, y = bend.centre
    angle = math.degrees((high - low) / bend.radius)
    return cq.Solid.revolve(face, angle, cq.Vector(x, y, 0), cq.Vector(x, y, bend.side))


def bent_bar(piece: Piece, bend: Bend) -> cq.Solid:
    """A bent piece between its end planes, before notches, in room coordinates.

    Square ends are where the turning begins and stops; at a slanting one the bar is made longer and cut off.
    """
    back, bottom, front, top = piece.trim.edges
    slanting = [side for side in Side if abs(piece.end(side).slope) > COINCIDENT]
    stations = {side: end_station(piece, side, [back, front]) for side in Side}
    low, high = min(stations[Side.LEFT]), max(stations[Side.RIGHT])
    spare = {side: OVERCUT if side in slanting else 0.0 for side in Side}
    body = turned(piece.trim.outline, bend, low - spare[Side.LEFT], high + spare[Side.RIGHT])
    if not slanting:
        return body
    tools = []
    for side in slanting:
        a, b = stations[side]
        face = bend.tangent((a + b) / 2)
        (s0, o0), (s1, o1) = face.locate(bend.plan(a, back)), face.locate(bend.plan(b, front))
        slope = (s1 - s0) / (o1 - o0)
        plane = EndPlane(s0 - slope * o0, slope)
        beyond = plumb_end(plane, side, (back - PAST, front + PAST), (bottom, top), abs(a - b) + PAST)
        tools.append(beyond.moved(frame_location(face)))
    bodies = body.cut(*tools).Solids()
    if len(bodies) != 1:
        raise GeometryError(f"piece {piece.id}: its ends leave {len(bodies)} bodies instead of one")
    return bodies[0]


def exact_volume(solid: cq.Solid) -> float:
    """Volume in mm³, the kernel's sum refined to `INTEGRATED`."""
    sums = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid.wrapped, sums, INTEGRATED)
    return float(sums.Mass())
