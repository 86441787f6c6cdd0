"""The line of a notch in plan as far as it lies in its piece, and the cuts that free a plug."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from trimwright.profile.outline import Arc, Point, Segment, chord_points
from trimwright.setout.cutouts.slots import plug_cuts, slot_path
from trimwright.setout.piece import Notch, Opens, Piece
from trimwright.tolerance import CHORD, COINCIDENT

__all__ = ["notch_lines", "plug_lines"]


def notch_lines(piece: Piece, notch: Notch) -> list[list[Point]]:
    """The rim of a notch, (station, out), from one side of its mouth round to the other; half of it at a joint."""
    edges = piece.trim.edges
    path = slot_path(notch, edges.front if notch.opens is Opens.FRONT else edges.back)
    return _within(piece, _placed(notch, path))


def plug_lines(piece: Piece, notch: Notch) -> list[list[Point]]:
    """The two cuts from a hole to the back, (station, out); none for a slot."""
    cuts = plug_cuts(notch, piece.trim.edges)
    return [line for cut in cuts for line in _within(piece, _placed(notch, (cut,)))]


def _placed(notch: Notch, path: Sequence[Segment]) -> list[Point]:
    points = [path[0].start, *(p for part in path for p in _ends_of(part))]
    return [(notch.station + x, -y) for x, y in points]


def _ends_of(part: Segment) -> list[Point]:
    return chord_points(part, CHORD) if isinstance(part, Arc) else [part.end]


def _within(piece: Piece, line: Sequence[Point]) -> list[list[Point]]:
    """The parts of a line between the end planes of a piece and between its back and its front."""
    back, _, front, _ = piece.trim.edges
    borders: tuple[Callable[[Point], float], ...] = (
        lambda p: p[0] - piece.left.at(p[1]),
        lambda p: piece.right.at(p[1]) - p[0],
        lambda p: p[1] - back,
        lambda p: front - p[1],
    )
    parts = [list(line)]
    for border in borders:
        parts = [kept for part in parts for kept in _inside(part, [border(p) for p in part])]
    return parts


def _inside(line: Sequence[Point], depths: Sequence[float]) -> list[list[Point]]:
    """The parts of a line where its depth within a border is not negative."""
    depths = [0.0 if abs(d) < COINCIDENT else d for d in depths]
    runs: list[list[Point]] = [[line[0]] if depths[0] >= 0 else []]
    for (a, da), (b, db) in pairwise(zip(line, depths, strict=True)):
        if da * db < 0:
            t = da / (da - db)
            runs[-1].append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
        if db < 0 <= da:
            runs.append([])
        if db >= 0:
            runs[-1].append(b)
    return [run for run in runs if len(run) > 1]
