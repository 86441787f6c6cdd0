"""What might be done about a trim and something in its way, the least amount solved for on the bodies themselves."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np

from trimwright.clearance.bite import hull_points
from trimwright.clearance.convex import Points
from trimwright.clearance.obstacles import Kind, Obstacle, obstacles
from trimwright.clearance.ways.cut_out import cut_out
from trimwright.clearance.ways.trial import Pair, Trial
from trimwright.clearance.ways.trims import (
    FARTHEST,
    between_trims,
    ends,
    least_amount,
    rounded,
    shifts,
    smaller,
    stations_on,
)
from trimwright.clearance.ways.way import Effort, Way
from trimwright.project.edit import Edit
from trimwright.room import Fitting, Opening

__all__ = ["candidates"]

NARROWEST = 75
"""A door that opens less than this is no way out, degrees. Common practice, no source."""

MOVABLE = ("box", "track", "detector", "light")
"""Fittings that can be moved; a grille sits on its duct, and a cupboard is furniture."""


def candidates(now: Trial, pair: Pair, path: Path) -> Iterator[Way]:
    """Ways that clear this trim of this obstacle, not yet tried on the whole room."""
    if pair.trims:
        yield from between_trims(now, pair, path)
        return
    obstacle = next(way for way in now.obstacles if way.name == pair[1])
    yield from _stops(now, pair, obstacle)
    yield from _moves(now, pair, obstacle)
    yield from _shifts(now, pair, obstacle)
    yield from cut_out(now, pair, obstacle, path)
    yield from smaller(now, pair, pair.trim, path)
    yield from _ends(now, pair, obstacle)


def _stops(now: Trial, pair: Pair, obstacle: Obstacle) -> Iterator[Way]:
    """Let a leaf swing less far."""
    source = obstacle.source
    if obstacle.kind not in (Kind.LEAF, Kind.DOOR) or not isinstance(source, Opening | Fitting):
        return

    def clears(less: float) -> bool:
        swung = replace(source, swing=source.swing - less)
        alone = replace(now.set_out.room, openings=(), fittings=(), pipes=())
        alone = replace(alone, openings=(swung,)) if isinstance(swung, Opening) else replace(alone, fittings=(swung,))
        ways = tuple(w for w in obstacles(alone, now.project.clearance) if w.kind is obstacle.kind)
        return now.clear(pair[0], now.meshes, ways)

    less = least_amount(clears, source.swing - NARROWEST)
    if less is not None:
        angle = math.floor(source.swing - less)
        table, index = _entry(now, source)
        words = f"stop {obstacle.name.removesuffix(', opening')} at {angle} degrees"
        edit = Edit(table, index, "swing", angle)
        yield Way(pair=pair, effort=Effort.STOP, amount=less, words=words, edits=(edit,))


def _entry(now: Trial, source: Opening | Fitting) -> tuple[str, int]:
    """Table and number of an entry of the file."""
    room = now.set_out.room
    if isinstance(source, Opening):
        return "opening", room.openings.index(source)
    return "fitting", room.fittings.index(source)


def _moves(now: Trial, pair: Pair, obstacle: Obstacle) -> Iterator[Way]:
    """Move a fitting up or down its wall, or one that hangs under the ceiling further out."""
    source = obstacle.source
    if not isinstance(source, Fitting) or source.kind not in MOVABLE:
        return
    own = tuple(way for way in now.obstacles if way.source is source)
    trim = now.trim(pair.trim).edges
    widest = max(way.wanted for way in own)
    hung = source.top > now.set_out.room.ceiling - 1.0
    outward = now.set_out.room.walls[source.wall].frame.tangent((source.left + source.right) / 2).outward
    ways: list[tuple[str, Points, float]] = []
    if hung:
        ways.append(("out", np.array([*outward, 0.0]), trim.front + widest - source.back))
    else:
        high = now.set_out.room.ceiling - source.top
        ways.append(("up", np.array([0.0, 0.0, 1.0]), min(high, trim.top + widest - source.bottom)))
        ways.append(("down", np.array([0.0, 0.0, -1.0]), min(source.bottom, source.top + widest - trim.bottom)))
    for name, direction, most in ways:

        def clears(amount: float, along: Points = direction) -> bool:
            moved = tuple(_moved(way, amount * along) for way in own)
            return now.clear(pair[0], now.meshes, moved)

        amount = least_amount(clears, min(most, FARTHEST))
        if amount is not None:
            table, index = _entry(now, source)
            keys = ("back", "out") if name == "out" else ("bottom", "top")
            sign = -1 if name == "down" else 1
            edits = tuple(Edit(table, index, key, rounded(getattr(source, key) + sign * amount)) for key in keys)
            words = f"move {source.name} {name} by {amount:g}"
            yield Way(pair=pair, effort=Effort.MOVE, amount=amount, words=words, edits=edits)


def _moved(way: Obstacle, by: Points) -> Obstacle:
    return replace(way, parts=tuple(part.moved(by) for part in way.parts))


def _shifts(now: Trial, pair: Pair, obstacle: Obstacle) -> Iterator[Way]:
    """Raise or lower the trim past the obstacle."""
    edges = now.trim(pair.trim).edges
    box = np.array([part.box for part in obstacle.parts])
    low, high = float(box[:, 0, 2].min()), float(box[:, 1, 2].max())
    rise, fall = high + obstacle.wanted - edges.bottom, edges.top + obstacle.wanted - low
    yield from shifts(now, pair, pair.trim, (rise, fall), lambda meshes: now.clear(pair.trim, meshes, (obstacle,)))


def _ends(now: Trial, pair: Pair, obstacle: Obstacle) -> Iterator[Way]:
    """End the run before it, and begin it again behind; with returns if that is how the trim ends."""
    walls = {line.at.wall for line in now.clashing.get(pair, ())}
    if len(walls) != 1:
        return
    wall = walls.pop()
    points = np.concatenate([hull_points(part) for part in obstacle.parts])
    low, high = stations_on(now, wall, points)
    yield from ends(now, pair, pair.trim, [(wall, low - obstacle.wanted, high + obstacle.wanted)])
