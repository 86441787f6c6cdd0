"""Screw holes on the elevation of a wall: a cross at each, and their stations in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trimwright.drawing.marks import Layer, Mark, polyline
from trimwright.room import Wall
from trimwright.stock.holes import Holes

__all__ = ["hole_marks", "hole_words"]

ARM = 0.7
"""Half the width of a cross, paper mm."""


def hole_marks(holes: Sequence[Holes], wall: Wall, scale: float) -> Iterator[Mark]:
    """A cross at each hole of a wall."""
    arm = ARM / scale
    for found in holes:
        if found.piece.wall != wall.index:
            continue
        for level in found.levels:
            for own, x in zip(found.own, found.stations, strict=True):
                y = found.piece.height(own, level)
                yield polyline([(x - arm, y - arm), (x + arm, y + arm)], Layer.DIMENSION)
                yield polyline([(x - arm, y + arm), (x + arm, y - arm)], Layer.DIMENSION)


def hole_words(holes: Sequence[Holes], wall: Wall) -> list[str]:
    """A line for each trim that is screwed to a wall: the stations of its holes."""
    stations: dict[str, list[float]] = {}
    for found in holes:
        if found.piece.wall == wall.index:
            stations.setdefault(found.piece.trim.name, []).extend(found.stations)
    return [
        f"Crosses are screw holes; {trim}, from the left corner: {', '.join(f'{s:.0f}' for s in sorted(places))}."
        for trim, places in stations.items()
    ]
