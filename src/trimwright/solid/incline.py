"""Bars that follow a sloping ceiling: the section laid square to the slope, the ends cut plumb."""

from __future__ import annotations

import math

import cadquery as cq

from trimwright.profile.outline import Outline
from trimwright.setout.piece import Incline, Side
from trimwright.solid.bar import bar
from trimwright.solid.section import EndPlane
from trimwright.tolerance import OVERCUT

__all__ = ["long_bar", "plumb_end", "tilt"]


def tilt(incline: Incline) -> cq.Location:
    """The place, in the level frame of a piece, of what was made along its slope (x along, y minus out, z height).

    A turn about the line along `out` through station 0 at the pivot, then the lift.
    """
    turn = cq.Location(cq.Vector(0, 0, 0), cq.Vector(0, 1, 0), -math.degrees(math.atan(incline.rise)))
    raised = cq.Location(cq.Vector(0, 0, incline.pivot + incline.lift))
    return raised * turn * cq.Location(cq.Vector(0, 0, -incline.pivot))


def long_bar(outline: Outline, incline: Incline, low: float, high: float) -> cq.Solid:
    """A tilted bar that covers the stations `low` to `high` of the level frame at every height of the section."""
    _, bottom, _, top = outline.bounds
    reach = [abs(incline.rise) * abs(height - incline.pivot) for height in (bottom, top)]
    spare = max(reach) + OVERCUT
    ends = EndPlane(low * incline.stretch - spare), EndPlane(high * incline.stretch + spare)
    return bar(outline, *ends).moved(tilt(incline))


def plumb_end(
    plane: EndPlane, side: Side, outs: tuple[float, float], heights: tuple[float, float], depth: float
) -> cq.Solid:
    """What lies beyond an upright end plane, `depth` along: a prism in plan over the given outs and heights."""
    back, front = outs[0] - OVERCUT, outs[1] + OVERCUT
    away = -depth if side is Side.LEFT else depth
    far = min(plane.at(back), plane.at(front)) if side is Side.LEFT else max(plane.at(back), plane.at(front))
    loop = [(plane.at(back), back), (plane.at(front), front), (far + away, front), (far + away, back)]
    low, high = heights[0] - OVERCUT, heights[1] + OVERCUT
    wire = cq.Wire.makePolygon([cq.Vector(s, -out, low) for s, out in loop], close=True)
    return cq.Solid.extrudeLinear(cq.Face.makeFromWires(wire), cq.Vector(0, 0, high - low))
