"""Trims that follow a ceiling which is not level: how each wall's run is inclined, and what becomes of the corners."""

from __future__ import annotations

from trimwright.errors import DoesNotFit
from trimwright.room import Corner, Room
from trimwright.setout.piece import Incline, Trim
from trimwright.tolerance import EASED, OPEN_JOINT, TOUCH

__all__ = ["check_corner", "incline_on", "mismatch"]


def incline_on(trim: Trim, room: Room, wall: int) -> Incline | None:
    """How the trim is inclined on a wall; None if it lies level at the height it was placed at.

    The run is straight from corner to corner of the ceiling; what the ceiling does between is filled or scribed.
    """
    if not trim.follows:
        return None
    left, right = room.ceiling_ends(wall)
    rise, lift = (right - left) / room.walls[wall].length, left - room.ceiling
    if abs(right - left) < TOUCH and abs(lift) < TOUCH:
        return None
    return Incline(rise=rise, lift=lift, pivot=room.ceiling)


def mismatch(trim: Trim, room: Room, corner: Corner) -> float:
    """By how much the two faces miss each other at the front of a corner, mm of height.

    On the mitre plane a point `out` from the walls lies out * cot(C/2) short of the corner on both: the left run,
    rising by t to the right, is there -out * cot(C/2) * t above the corner, the right run +out * cot(C/2) * t'.
    They agree if both rise into the corner alike (t = -t'), or if neither rises. A plumb cut through a steeper run
    is also deeper, by 1 / cos of its slope.
    """
    left, right = incline_on(trim, room, corner.left), incline_on(trim, room, corner.right)
    rises = sum(i.rise for i in (left, right) if i is not None)
    deeper = (left.stretch if left else 1.0) - (right.stretch if right else 1.0)
    return trim.edges.front * abs(corner.half_cot * rises) + trim.section.drop * abs(deeper)


def check_corner(trim: Trim, room: Room, corner: Corner) -> list[str]:
    """Notes on a mitred or coped corner of inclined runs.

    Raises DoesNotFit, with the choices, where one section cannot turn the corner.
    """
    amount = mismatch(trim, room, corner)
    if amount < OPEN_JOINT:
        return []
    walls = f"'{room.walls[corner.left].name}' and '{room.walls[corner.right].name}'"
    if amount > EASED:
        raise DoesNotFit(
            f"trim '{trim.name}': the corner of {walls} cannot be turned with one section: the runs change slope there"
            f" and the faces would miss each other by {amount:.1f} mm. Choices: let it run level"
            ' (follow = "level") and fill above it; butt it at the corners (joints = { internal = "square" }), as'
            " against a corner block; or have a raked section made for the sloping walls"
        )
    return [f"{trim.name}: at the corner of {walls} the faces miss each other by {amount:.1f} mm; ease and fill it"]
