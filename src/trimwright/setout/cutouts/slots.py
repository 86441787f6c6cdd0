"""The lines of a notch in plan: one path that the meshes, the solids and the drawings cut along.

Seen from above with the wall at the top: x is the station from the notch's middle, y minus the distance out.
"""

from __future__ import annotations

import math

from trimwright.profile.outline import Arc, Bounds, Line, Segment
from trimwright.setout.piece import Notch, Opens, Piece
from trimwright.tolerance import COINCIDENT, OVERCUT

__all__ = ["notch_loop", "plug_cuts", "slot_path"]


def slot_path(notch: Notch, mouth: float) -> tuple[Segment, ...]:
    """From the left side of a slot's mouth, at the distance out `mouth`, round its U; of a hole its rim."""
    r, apart, y = notch.radius, notch.spread / 2, -notch.out
    side = apart + r
    if notch.opens is Opens.HOLE:
        rim = (
            *_round(side, apart, y, y - r, turned=False),
            *_reversed(_round(side, apart, y, y + r, turned=True)),
        )
        return _with_length(rim)
    front = notch.opens is Opens.FRONT
    path = (
        Line((-side, -mouth), (-side, y)),
        *_round(side, apart, y, y + r if front else y - r, turned=front),
        Line((side, y), (side, -mouth)),
    )
    return _with_length(path)


def notch_loop(piece: Piece, notch: Notch) -> tuple[Segment, ...]:
    """The closed line of what is cut away, carried past the edge it opens to so that no two faces coincide.

    A bent piece may fall back from the straight edge within the slot, by r - sqrt(r² - b²) for half its width b.
    """
    edges, past = piece.trim.edges, OVERCUT
    if piece.bend is not None:
        radius, half = min(piece.bend.radius_at(out) for out in (edges.back, edges.front)), notch.width / 2
        past += radius - math.sqrt(radius * radius - half * half)
    if notch.opens is Opens.HOLE:
        return slot_path(notch, edges.back)
    front = notch.opens is Opens.FRONT
    path = slot_path(notch, max(edges.front, notch.out) + past if front else min(edges.back, notch.out) - past)
    return (*path, Line(path[-1].end, path[0].start))


def plug_cuts(notch: Notch, edges: Bounds) -> tuple[Line, ...]:
    """Where the plug behind a hole is sawn out, from its sides to the back; none for a slot."""
    if notch.opens is not Opens.HOLE:
        return ()
    side, y = notch.width / 2, -notch.out
    return (Line((-side, y), (-side, -edges.back)), Line((side, y), (side, -edges.back)))


def _round(side: float, apart: float, y: float, deep: float, turned: bool) -> tuple[Segment, ...]:
    """From the left side of a notch to its right, by way of y = `deep`."""
    return (
        Arc((-side, y), (-apart, deep), (-apart, y), clockwise=turned),
        Line((-apart, deep), (apart, deep)),
        Arc((apart, deep), (side, y), (apart, y), clockwise=turned),
    )


def _reversed(path: tuple[Segment, ...]) -> tuple[Segment, ...]:
    return tuple(part.reversed() for part in reversed(path))


def _with_length(path: tuple[Segment, ...]) -> tuple[Segment, ...]:
    return tuple(edge for edge in path if edge.length > COINCIDENT)
