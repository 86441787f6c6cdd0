"""Ways that leave an obstacle where it is: let it into the trim, make this larger, or set it before a pipe."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from pathlib import Path

from trimwright.clearance.obstacles import Kind, Obstacle
from trimwright.clearance.ways.trial import Pair, Trial, trial
from trimwright.clearance.ways.trims import FARTHEST, carriers, least_amount, number_of, rounded, written
from trimwright.clearance.ways.way import Effort, Way
from trimwright.errors import TrimwrightError
from trimwright.profile.file import read_profile
from trimwright.profile.library import find_profile
from trimwright.project.edit import Edit, applied
from trimwright.room import Fitting
from trimwright.tolerance import TOUCH

__all__ = ["cut_out"]

COVERED = ("box", "track", "grille", "cupboard")
"""Fittings that may lie behind a trim; a detector or a lamp is not hidden."""


def cut_out(now: Trial, pair: Pair, obstacle: Obstacle, path: Path) -> Iterator[Way]:
    """A fitting let in; a larger section for a pipe, or the same set off the wall. Not yet tried on the whole room."""
    source = obstacle.source
    if obstacle.kind is Kind.FITTING and isinstance(source, Fitting):
        yield from _let_in(now, pair, obstacle, source)
    if obstacle.kind is Kind.PIPE:
        yield from _larger(now, pair, path)
        yield from _off_the_wall(now, pair, obstacle, path)


def _let_in(now: Trial, pair: Pair, obstacle: Obstacle, fitting: Fitting) -> Iterator[Way]:
    """Cut the trim out at the back for it."""
    if fitting.kind not in COVERED or pair.trim in fitting.let_in:
        return
    deep = fitting.out + obstacle.wanted - now.trim(pair.trim).edges.back
    every = {trim.name for trim in now.project.trims}
    into = [*fitting.let_in, pair.trim]
    value: bool | list[str] = True if set(into) == every else into
    edit = Edit("fitting", now.set_out.room.fittings.index(fitting), "let_in", value)
    words = f"let {fitting.name} into {pair.trim}, {deep:g} deep at its back"
    yield Way(pair=pair, effort=Effort.LET_IN, amount=deep, words=words, edits=(edit,))


def _larger(now: Trial, pair: Pair, path: Path) -> Iterator[Way]:
    """The same profile with so much projection that a groove or a slot leaves a web; no more than twice as much."""
    number = number_of(now, pair.trim)
    entry = now.data["trim"][number]
    size = next(t for t in now.project.trims if t.name == pair.trim).section.parameters.get("projection")
    known = read_profile(find_profile(entry["profile"], path.parent)).parameters.get("projection")
    if size is None or known is None:
        return

    def edit(more: float) -> Edit:
        return Edit("trim", number, "size", {**entry.get("size", {}), "projection": rounded(math.ceil(size + more))})

    more = least_amount(_clear_with(now, pair, edit, path), min(math.floor(known.most - size), size))
    if more is not None:
        words = f"{pair.trim} with a projection of {math.ceil(size + more):g} in place of {size:g}"
        yield Way(pair=pair, effort=Effort.LARGER, amount=more, words=words, edits=(edit(more),))


def _off_the_wall(now: Trial, pair: Pair, obstacle: Obstacle, path: Path) -> Iterator[Way]:
    """Set the trim on a batten, so far out that the pipe lies in its back or passes behind it."""
    hold = next(t for t in now.project.trims if t.name == pair.trim).horizontal
    if hold.edge != "back" or hold.trim:
        return
    number, frame = number_of(now, pair.trim), now.set_out.room.walls[obstacle.wall].frame
    outs = [frame.locate((float(x), float(y)))[1] for part in obstacle.parts for x, y, _ in part.box]
    most = max(outs) + obstacle.wanted - now.trim(pair.trim).edges.back

    def edit(more: float) -> Edit:
        return Edit("trim", number, "back", written(hold, more))

    more = least_amount(_clear_with(now, pair, edit, path), min(math.ceil(most + TOUCH), FARTHEST))
    if more is not None:
        words = f"set {pair.trim} off the wall by {more:g}, on a batten"
        yield Way(pair=pair, effort=Effort.OFF, amount=more, words=words, edits=(edit(more),))


def _clear_with(now: Trial, pair: Pair, edit: Callable[[float], Edit], path: Path) -> Callable[[float], bool]:
    """Whether the pair is clear when the trim is set out anew with an edit of some amount."""
    needed = carriers(now, pair.trim)

    def clears(amount: float) -> bool:
        try:
            return pair not in trial(applied(now.data, [edit(amount)]), path, needed).clashing
        except TrimwrightError:
            return False

    return clears
