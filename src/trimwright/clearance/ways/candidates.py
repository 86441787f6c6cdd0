"""What might be done about a clash, each with its least amount solved for on the bodies themselves."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np

from trimwright.clearance.convex import Points
from trimwright.clearance.gaps import hull_points
from trimwright.clearance.obstacles import Kind, Obstacle, obstacles
from trimwright.clearance.ways.trial import Pair, Trial, trial
from trimwright.clearance.ways.way import Effort, Way
from trimwright.errors import TrimwrightError
from trimwright.mesh.shape import Mesh
from trimwright.profile.file import read_profile
from trimwright.profile.library import find_profile
from trimwright.project.edit import Edit
from trimwright.room import Fitting, Opening
from trimwright.tolerance import TOUCH
from trimwright.trim import Constraint, TrimRequest

__all__ = ["candidates", "least_amount"]

FARTHEST = 300.0
"""Nobody moves a trim or a fitting by more than this to get out of a clash, mm."""

NARROWEST = 75
"""A door that opens less than this is no way out, degrees. Common practice, no source."""

MOVABLE = ("box", "track", "detector", "light")
"""Fittings that can be moved; a grille sits on its duct, and a cupboard is furniture."""


def candidates(now: Trial, pair: Pair, path: Path) -> Iterator[Way]:
    """Ways that clear this trim of this obstacle, not yet tried on the whole room."""
    obstacle = next(way for way in now.obstacles if way.name == pair[1])
    request = next(t for t in now.project.trims if t.name == pair[0])
    yield from _stops(now, pair, obstacle)
    yield from _moves(now, pair, obstacle)
    yield from _shifts(now, pair, obstacle, request)
    yield from _smaller(now, pair, request, path)
    yield from _ends(now, pair, obstacle)


def least_amount(clears: Callable[[float], bool], most: float, step: float = 1.0) -> float | None:
    """The least multiple of `step` up to `most` from which on it clears, by halving; None if `most` does not."""
    low, high = 0, math.ceil(most / step - 1e-9)
    if high < 1 or not clears(high * step):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if clears(middle * step) else (middle, high)
    return high * step


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
    trim = next(t for t in now.set_out.trims if t.name == pair[0]).edges
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
            edits = tuple(Edit(table, index, key, _round(getattr(source, key) + sign * amount)) for key in keys)
            words = f"move {source.name} {name} by {amount:g}"
            yield Way(pair=pair, effort=Effort.MOVE, amount=amount, words=words, edits=edits)


def _moved(way: Obstacle, by: Points) -> Obstacle:
    return replace(way, parts=tuple(part.moved(by) for part in way.parts))


def _shifts(now: Trial, pair: Pair, obstacle: Obstacle, request: TrimRequest) -> Iterator[Way]:
    """Raise or lower a trim; not one that belongs on the ceiling, the floor or another trim."""
    hold = request.vertical
    if hold.base and abs(hold.offset) < TOUCH:
        return
    edges = next(t for t in now.set_out.trims if t.name == pair[0]).edges
    box = np.array([part.box for part in obstacle.parts])
    low, high = float(box[:, 0, 2].min()), float(box[:, 1, 2].max())
    ceiling = now.set_out.room.ceiling
    rise = min(high + obstacle.wanted - edges.bottom, ceiling - edges.top)
    fall = min(edges.top + obstacle.wanted - low, edges.bottom)
    for name, sign, most in (("raise", 1.0, rise), ("lower", -1.0, fall)):

        def clears(amount: float, way: float = sign) -> bool:
            moved = {k: _lifted(mesh, way * amount) for k, mesh in now.meshes.items()}
            return now.clear(pair[0], moved, (obstacle,))

        amount = least_amount(clears, min(most, FARTHEST))
        if amount is not None:
            edit = Edit("trim", _number(now, pair[0]), hold.edge, _place(hold, sign * amount))
            words = f"{name} {pair[0]} by {amount:g}"
            yield Way(pair=pair, effort=Effort.SHIFT, amount=amount, words=words, edits=(edit,))


def _lifted(mesh: Mesh, by: float) -> Mesh:
    return replace(mesh, vertices=mesh.vertices + np.array([0.0, 0.0, by]))


def _place(hold: Constraint, by: float) -> float | str:
    """The constraint as it is written, moved."""
    offset = _round(hold.offset + by)
    if not hold.base:
        return offset
    return hold.base if offset == 0 else f"{hold.base} {'-' if offset < 0 else '+'} {abs(offset):g}"


def _smaller(now: Trial, pair: Pair, request: TrimRequest, path: Path) -> Iterator[Way]:
    """The same profile with a smaller drop or projection."""
    number = _number(now, pair[0])
    entry = now.data["trim"][number]
    needed = _carriers(now, pair[0])
    known = read_profile(find_profile(entry["profile"], path.parent)).parameters
    for name in ("drop", "projection"):
        size = request.section.parameters.get(name)
        if size is None or name not in known:
            continue

        def resized(less: float, name: str = name, size: float = size) -> Edit:
            return Edit("trim", number, "size", {**entry.get("size", {}), name: _round(math.floor(size - less))})

        def clears(less: float, make: Callable[[float], Edit] = resized) -> bool:
            trims = list(now.data["trim"])
            trims[number] = {**entry, "size": make(less).value}
            try:
                tried = trial({**now.data, "trim": trims}, path, needed)
            except TrimwrightError:
                return False
            return pair not in tried.clashing

        less = least_amount(clears, min(size - known[name].least, FARTHEST))
        if less is not None:
            words = f"{pair[0]} with a {name} of {math.floor(size - less):g} in place of {size:g}"
            yield Way(pair=pair, effort=Effort.SMALLER, amount=less, words=words, edits=(resized(less),))


def _carriers(now: Trial, name: str) -> frozenset[str]:
    """A trim and those that it hangs on."""
    by_name = {t.name: t for t in now.project.trims}
    found, waiting = set[str](), [name]
    while waiting:
        trim = by_name[waiting.pop()]
        found.add(trim.name)
        waiting += [c.trim for c in (trim.horizontal, trim.vertical) if c.trim and c.trim not in found]
    return frozenset(found)


def _ends(now: Trial, pair: Pair, obstacle: Obstacle) -> Iterator[Way]:
    """End the run before it, and begin it again behind; with returns if that is how the trim ends."""
    walls = {line.at.wall for line in now.clashing.get(pair, ())}
    if len(walls) != 1:
        return
    wall = now.set_out.room.walls[walls.pop()]
    points = np.concatenate([hull_points(part) for part in obstacle.parts])
    stations = [wall.frame.locate((float(x), float(y)))[0] for x, y in points[:, :2]]
    low = max(0.0, math.floor(min(stations) - obstacle.wanted))
    high = min(wall.length, math.ceil(max(stations) + obstacle.wanted))
    if low >= high:
        return
    number = _number(now, pair[0])
    stretch = {"wall": wall.name, "from": _round(low), "to": math.floor(high * 10) / 10}
    before = list(now.data["trim"][number].get("leave_out", []))
    edit = Edit("trim", number, "leave_out", [*before, stretch])
    words = f"end {pair[0]} at {low:g} on {wall.name}, and begin it again at {high:.0f}"
    yield Way(pair=pair, effort=Effort.END, amount=high - low, words=words, edits=(edit,))


def _number(now: Trial, name: str) -> int:
    return next(k for k, t in enumerate(now.data["trim"]) if t["name"] == name)


def _round(value: float) -> float:
    return round(value, 1)
