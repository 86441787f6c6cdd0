"""What grooves and housings take away from a piece, as exact solids."""

from __future__ import annotations

import math
from collections.abc import Iterator

import cadquery as cq

from trimwright.frame import Bend
from trimwright.setout.cutouts.hollows import Bar, Block, Rod, Winding, hollow_parts
from trimwright.setout.piece import Groove, Housing, Piece
from trimwright.solid.bar import bar
from trimwright.solid.bent import frame_location, turned
from trimwright.solid.section import EndPlane, end_wire

__all__ = ["hollow_bodies"]


def hollow_bodies(hollow: Groove | Housing, piece: Piece) -> Iterator[cq.Solid]:
    """The parts of what is cut out of the back of a piece, in room coordinates."""
    for part in hollow_parts(hollow, piece):
        if isinstance(part, Bar):
            along, _, across = part.axes
            made = bar(part.section, EndPlane(0.0, part.slope), EndPlane(part.length, part.slope))
            yield made.moved(cq.Location(cq.Plane(origin=part.origin, xDir=along, normal=across)))
        elif isinstance(part, Block):
            yield _block(part)
        elif isinstance(part, Winding):
            yield _winding(part)
        else:
            yield _rod(part)


def _block(part: Block) -> cq.Solid:
    if isinstance(part.frame, Bend):
        return turned(part.section, part.frame, part.low, part.high)
    return bar(part.section, EndPlane(part.low), EndPlane(part.high)).moved(frame_location(part.frame))


def _winding(part: Winding) -> cq.Solid:
    """Straight from each place to the next."""
    flat = end_wire(part.section)
    wires = []
    for place, aside, across in part.places:
        # The wire lies in (minus out, height), across the x axis.
        along = cq.Vector(*aside).cross(cq.Vector(*across))
        wires.append(flat.moved(cq.Location(cq.Plane(origin=place, xDir=along, normal=across))))
    return cq.Solid.makeLoft(wires, ruled=True)


def _rod(part: Rod) -> cq.Solid:
    """Half its outline turned about the way to the wall."""
    r, slant = part.radius, part.radius * math.sqrt(0.5)
    foot, side, head, end = (cq.Vector(*p) for p in ((0, 0, -r), (r, 0, 0), (r, 0, part.length), (0, 0, part.length)))
    edges = [
        cq.Edge.makeThreePointArc(foot, cq.Vector(slant, 0, -slant), side),
        cq.Edge.makeLine(side, head),
        cq.Edge.makeLine(head, end),
        cq.Edge.makeLine(end, foot),
    ]
    half = cq.Face.makeFromWires(cq.Wire.assembleEdges(edges))
    body = cq.Solid.revolve(half, 360, cq.Vector(0, 0, 0), cq.Vector(0, 0, 1))
    return body.moved(cq.Location(cq.Plane(origin=part.middle, xDir=(0, 0, 1), normal=part.mouth)))
