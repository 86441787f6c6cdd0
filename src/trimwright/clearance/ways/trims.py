"""What may be done with a trim that is in the way: raise it, lower it, make it smaller, end it before."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from trimwright.clearance.bite import bite
from trimwright.clearance.convex import Points
from trimwright.clearance.overlaps import overlaps
from trimwright.clearance.ways.trial import Pair, Trial, trial
from trimwright.clearance.ways.way import Effort, Way
from trimwright.errors import TrimwrightError
from trimwright.mesh.cut import body_of
from trimwright.mesh.shape import Mesh
from trimwright.profile.file import read_profile
from trimwright.profile.library import find_profile
from trimwright.project.edit import Edit
from trimwright.tolerance import TOUCH
from trimwright.trim import Constraint

__all__ = [
    "FARTHEST",
    "between_trims",
    "carriers",
    "ends",
    "least_amount",
    "number_of",
    "rounded",
    "shifts",
    "smaller",
    "stations_on",
    "written",
]

FARTHEST = 300.0
"""Nobody moves a trim or a fitting by more than this to get out of a clash, mm."""

Stretch = tuple[int, float, float]
"""A wall, and two stations on it."""

Meshes = Mapping[str, Mesh]


def between_trims(now: Trial, pair: Pair, path: Path) -> Iterator[Way]:
    """Ways to keep two trims out of each other, by altering either."""
    a, b = now.trim(pair.trim).edges, now.trim(pair.obstacle).edges
    both = replace(now.set_out, pieces=tuple(p for p in now.set_out.pieces if p.trim.name in pair[:2]))

    def clears(meshes: Meshes) -> bool:
        return not overlaps(both, meshes, moved=True)

    yield from shifts(now, pair, pair.trim, (b.top - a.bottom, a.top - b.bottom), clears)
    yield from shifts(now, pair, pair.obstacle, (a.top - b.bottom, b.top - a.bottom), clears)
    yield from _alike(now, pair)
    for name in pair[:2]:
        yield from smaller(now, pair, name, path)
        yield from ends(now, pair, name, list(_shared_stretches(now, pair, name)))


def _alike(now: Trial, pair: Pair) -> Iterator[Way]:
    """Take both round a curve in the same way: segments stand off what is bent."""
    for name, other in ((pair.trim, pair.obstacle), (pair.obstacle, pair.trim)):
        bent = now.trim(other).bent
        if now.trim(name).bent is not bent:
            edit = Edit("trim", number_of(now, name), "curve", "bent" if bent else "segments")
            words = f"{name} {'bent' if bent else 'in straight segments'} along curved walls, as {other} is"
            yield Way(pair=pair, effort=Effort.ALIKE, amount=0.0, words=words, edits=(edit,))


def _shared_stretches(now: Trial, pair: Pair, name: str) -> Iterator[Stretch]:
    """Where, on its own walls, a trim lies in the other."""
    for line in now.clashing.get(pair, ()):
        shared = bite(body_of(now.meshes[line.piece]), body_of(now.meshes[line.other]))
        if shared is not None:
            own = now.set_out.piece(line.piece if line.trim == name else line.other)
            yield (own.wall, *stations_on(now, own.wall, np.asarray(shared.to_mesh64().vert_properties)))


def least_amount(clears: Callable[[float], bool], most: float, step: float = 1.0) -> float | None:
    """The least multiple of `step` up to `most` from which on it clears, by halving; None if `most` does not."""
    low, high = 0, math.ceil(most / step - 1e-9)
    if high < 1 or not clears(high * step):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if clears(middle * step) else (middle, high)
    return high * step


def shifts(
    now: Trial, pair: Pair, name: str, past: tuple[float, float], clears: Callable[[Meshes], bool]
) -> Iterator[Way]:
    """Raise or lower a trim; not one that belongs on the ceiling, the floor or another trim.

    `past`: by how much it would be above, and below, all that is in its way.
    """
    hold = next(t for t in now.project.trims if t.name == name).vertical
    if hold.base and abs(hold.offset) < TOUCH:
        return
    edges = now.trim(name).edges
    own = {piece.id for piece in now.set_out.pieces if piece.trim.name == name}
    room = (now.set_out.room.ceiling - edges.top, edges.bottom)
    for words, sign, most in zip(("raise", "lower"), (1.0, -1.0), map(min, past, room), strict=True):

        def lifted_clears(amount: float, way: float = sign) -> bool:
            return clears({k: _lifted(mesh, way * amount) if k in own else mesh for k, mesh in now.meshes.items()})

        amount = least_amount(lifted_clears, min(most, FARTHEST))
        if amount is not None:
            edit = Edit("trim", number_of(now, name), hold.edge, written(hold, sign * amount))
            yield Way(
                pair=pair, effort=Effort.SHIFT, amount=amount, words=f"{words} {name} by {amount:g}", edits=(edit,)
            )


def _lifted(mesh: Mesh, by: float) -> Mesh:
    return replace(mesh, vertices=mesh.vertices + np.array([0.0, 0.0, by]))


def written(hold: Constraint, by: float) -> float | str:
    """The constraint as it is written, moved."""
    offset = rounded(hold.offset + by)
    if not hold.base:
        return offset
    return hold.base if offset == 0 else f"{hold.base} {'-' if offset < 0 else '+'} {abs(offset):g}"


def smaller(now: Trial, pair: Pair, name: str, path: Path) -> Iterator[Way]:
    """The same profile with a smaller drop or projection."""
    number = number_of(now, name)
    entry = now.data["trim"][number]
    parameters = next(t for t in now.project.trims if t.name == name).section.parameters
    needed = carriers(now, pair.trim) | (carriers(now, pair.obstacle) if pair.trims else set())
    known = read_profile(find_profile(entry["profile"], path.parent)).parameters
    for side in ("drop", "projection"):
        size = parameters.get(side)
        if size is None or side not in known:
            continue

        def resized(less: float, side: str = side, size: float = size) -> Edit:
            return Edit("trim", number, "size", {**entry.get("size", {}), side: rounded(math.floor(size - less))})

        def clears(less: float, make: Callable[[float], Edit] = resized) -> bool:
            trims = list(now.data["trim"])
            trims[number] = {**entry, "size": make(less).value}
            try:
                tried = trial({**now.data, "trim": trims}, path, needed)
            except TrimwrightError:
                return False
            return pair not in tried.clashing

        less = least_amount(clears, min(size - known[side].least, FARTHEST))
        if less is not None:
            words = f"{name} with a {side} of {math.floor(size - less):g} in place of {size:g}"
            yield Way(pair=pair, effort=Effort.SMALLER, amount=less, words=words, edits=(resized(less),))


def carriers(now: Trial, name: str) -> frozenset[str]:
    """A trim and those that it hangs on."""
    by_name = {t.name: t for t in now.project.trims}
    found, waiting = set[str](), [name]
    while waiting:
        trim = by_name[waiting.pop()]
        found.add(trim.name)
        waiting += [c.trim for c in (trim.horizontal, trim.vertical) if c.trim and c.trim not in found]
    return frozenset(found)


def stations_on(now: Trial, wall: int, points: Points) -> tuple[float, float]:
    """Least and greatest station on a wall of some points in the room."""
    frame = now.set_out.room.walls[wall].frame
    stations = [frame.locate((float(x), float(y)))[0] for x, y in points[:, :2]]
    return min(stations), max(stations)


def ends(now: Trial, pair: Pair, name: str, stretches: Sequence[Stretch]) -> Iterator[Way]:
    """End the run before what is in its way, and begin it again behind; with returns if that is how the trim ends."""
    walls = now.set_out.room.walls
    left_out: list[dict[str, Any]] = []
    said = []
    for wall, first, last in stretches:
        low, high = max(0.0, math.floor(first)), min(walls[wall].length, math.ceil(last))
        if low < high:
            stretch = {"wall": walls[wall].name, "from": rounded(low), "to": math.floor(high * 10) / 10}
            left_out.append(stretch)
            said.append(f"on {walls[wall].name} at {low:g}, and begin it again at {high:.0f}")
    if left_out:
        number = number_of(now, name)
        before = list(now.data["trim"][number].get("leave_out", []))
        edit = Edit("trim", number, "leave_out", [*before, *left_out])
        amount = sum(stretch["to"] - stretch["from"] for stretch in left_out)
        words = f"end {name} {'; '.join(said)}"
        yield Way(pair=pair, effort=Effort.END, amount=amount, words=words, edits=(edit,))


def number_of(now: Trial, name: str) -> int:
    """Which of the trims of the file has a name, from 0."""
    return next(k for k, t in enumerate(now.data["trim"]) if t["name"] == name)


def rounded(value: float) -> float:
    """A length as it is written into a room file."""
    return round(value, 1)
