"""What a fitter is told of a trim along a curved wall: segments and how far they stand off, or radii."""

from __future__ import annotations

from collections.abc import Sequence

from trimwright.room import Corner, Room, Wall
from trimwright.setout.curved.bends import radii
from trimwright.setout.curved.facets import stands_off
from trimwright.setout.piece import Trim
from trimwright.setout.runs import Run
from trimwright.setout.stretch import Stretch

__all__ = ["curve_notes"]


def curve_notes(trim: Trim, runs: Sequence[Run], room: Room) -> list[str]:
    """A note for each curved wall that the trim covers."""
    stretches = [s for run in runs for s in run.stretches]
    notes = []
    for wall in (w for w in room.walls if w.bend is not None):
        own = [s for s in stretches if s.wall.index == wall.index]
        if own:
            notes.append(f"{trim.name} on {wall.name}: {_bent(trim, wall) if trim.bent else _segments(wall, own)}")
    return notes


def _bent(trim: Trim, wall: Wall) -> str:
    if wall.bend is None:
        raise ValueError(f"wall '{wall.name}' is straight")
    back, front = radii(wall.bend, trim.edges)
    width = trim.edges.front - trim.edges.back
    return (
        f"bent to radius {back:.0f} at its back and {front:.0f} at its front; {trim.material.name} of this width takes"
        f" {(trim.material.bends or 0.0) * width:.0f} and more. Bend first, cut to length after"
    )


def _segments(wall: Wall, own: Sequence[Stretch]) -> str:
    """How many, how long at the wall, their mitre, and the gap behind them."""
    if wall.bend is None:
        raise ValueError(f"wall '{wall.name}' is straight")
    lengths = sorted({round(s.wall.length, 1) for s in own})
    seams = [s.right_corner for s in own if s.right_corner is not None and s.right_corner.seam]
    off = stands_off(wall.bend, [(s.wall.start, s.wall.end) for s in own])
    said = f"cut as {len(own)} straight segments, {_range(lengths)} at the wall face"
    if seams:
        said += f", mitred {_range(sorted({round(_mitre(c), 2) for c in seams}))}° from square where they meet"
    where = "where they meet" if wall.bend.inward else "in their middles"
    return f"{said}; {where} they stand off the wall by up to {off:.1f}: fill or scribe"


def _mitre(seam: Corner) -> float:
    return abs(90 - seam.angle / 2)


def _range(values: Sequence[float]) -> str:
    return f"{values[0]:g}" if len(values) == 1 else f"{values[0]:g} to {values[-1]:g}"
