"""The line of a slot in plan: one path that the meshes, the solids and the drawings cut along."""

from __future__ import annotations

from trimwright.profile.outline import Arc, Line, Segment
from trimwright.setout.piece import Notch
from trimwright.tolerance import COINCIDENT

__all__ = ["slot_path"]


def slot_path(notch: Notch, mouth: float) -> tuple[Segment, ...]:
    """From the left side of a slot's mouth round its U to the right, seen from above with the wall at the top.

    x is the station from the slot's middle, y minus the distance out; the mouth lies at the distance out `mouth`.
    """
    r, apart, y = notch.radius, notch.spread / 2, -notch.out
    side, deep = apart + r, y - r if notch.open == "back" else y + r
    turned = notch.open != "back"
    path = (
        Line((-side, -mouth), (-side, y)),
        Arc((-side, y), (-apart, deep), (-apart, y), clockwise=turned),
        Line((-apart, deep), (apart, deep)),
        Arc((apart, deep), (side, y), (apart, y), clockwise=turned),
        Line((side, y), (side, -mouth)),
    )
    return tuple(edge for edge in path if edge.length > COINCIDENT)
