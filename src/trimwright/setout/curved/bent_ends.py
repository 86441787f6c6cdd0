"""Ends of bent pieces: at a corner and at a return they are mitred, on the plane where arc and neighbour meet."""

from __future__ import annotations

from dataclasses import replace

from trimwright.errors import DoesNotFit
from trimwright.frame import Bend, Frame
from trimwright.profile.outline import Bounds
from trimwright.room import Corner
from trimwright.setout.curved.bends import mitre_of
from trimwright.setout.piece import End, Joint, Side, Trim
from trimwright.setout.stretch import Stretch
from trimwright.tolerance import EASED, TOUCH

__all__ = ["bent_corner", "bent_return", "joint_bent"]


def joint_bent(one: Stretch, other: Stretch) -> bool:
    """True if one of two stretches that meet is bent."""
    return one.wall.bend is not None or other.wall.bend is not None


def bent_corner(
    trim: Trim, side: Side, own: Stretch, other: Stretch, corner: Corner, mate: str, notes: list[str]
) -> End:
    """The mitre at a corner where one of the two is bent; also told once, what the trade's other joints become.

    Raises DoesNotFit, with the choices, where the faces would miss each other by more than is eased with filler.
    """
    at_left = side is Side.LEFT
    before, after = (other, own) if at_left else (own, other)
    mitre = mitre_of(before.wall.frame, after.wall.frame, (before.high, after.low), trim.edges)
    where = f"the corner of '{before.wall.name}' and '{after.wall.name}'"
    if mitre is None or mitre.miss > EASED:
        missed = "do not meet" if mitre is None else f"would miss each other by {mitre.miss:.1f} mm"
        raise DoesNotFit(
            f"trim '{trim.name}': at {where} the faces of a bent piece and its neighbour {missed}; choose"
            ' curve = "segments" or a smaller projection'
        )
    if not at_left:
        notes += _notes(trim, corner, where, mitre.miss)
    station, slope = mitre.after if at_left else mitre.before
    return End(joint=Joint.MITRE, station=station, slope=slope, corner=corner.angle, mate=mate)


def _notes(trim: Trim, corner: Corner, where: str, miss: float) -> list[str]:
    wanted = trim.joints.internal if corner.internal else trim.joints.external
    said = [] if wanted is Joint.MITRE else [f"{trim.name}: mitred at {where}, since one of the pieces there is bent"]
    if miss > TOUCH * 100:
        said.append(f"{trim.name}: at {where} the faces miss each other by {miss:.1f} mm; ease and fill it")
    return said


def bent_return(bend: Bend, frame: Frame, side: Side, end: End, outer: End, edges: Bounds) -> tuple[End, End]:
    """The two ends of a mitred return on an arc: that of the bent piece and the outer one of the return in `frame`."""
    own, other = (end.at(edges.back), outer.at(edges.back))
    if side is Side.RIGHT:
        mitre = mitre_of(bend, frame, (own, other), edges)
    else:
        mitre = mitre_of(frame, bend, (other, own), edges)
    if mitre is None or mitre.miss > EASED:
        raise DoesNotFit(
            f"a mitred return on a curve of radius {bend.radius:g} cannot be made {edges.front:g} wide; choose"
            ' joints = { end = "square" }'
        )
    planes = (mitre.before, mitre.after) if side is Side.RIGHT else (mitre.after, mitre.before)
    (station, slope), (outer_station, outer_slope) = planes
    return replace(end, station=station, slope=slope), replace(outer, station=outer_station, slope=outer_slope)
