"""The order of work as the page shows it: words, and the room in path data small enough to stand beside each step."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from trimwright.drawing.marks import Path
from trimwright.drawing.room_view import faces, room_marks
from trimwright.page import content
from trimwright.profile.outline import Point
from trimwright.setout.piece import SetOut
from trimwright.stock.rates import Rates
from trimwright.work.steps import TWO_PEOPLE, Step, steps

__all__ = ["page_work"]

WIDTH = 320
"""Width of a small view in its own units; half of one is as fine as it is drawn."""

RIM = 2.0


def page_work(done: SetOut, rates: Rates) -> content.Work | None:
    """The steps and the shapes of their views; None where nothing is fitted."""
    if not done.pieces:
        return None
    lines = [[s.start for s in mark.segments] + [mark.segments[-1].end] for mark in _room(done)]
    rings = faces(done)
    points = [p for line in (*lines, *rings.values()) for p in line]
    left, top = min(x for x, _ in points), max(y for _, y in points)
    scale = (WIDTH - 2 * RIM) / (max(x for x, _ in points) - left)
    height = (top - min(y for _, y in points)) * scale + 2 * RIM

    def placed(line: Iterable[Point]) -> str:
        """Path data, y downwards, to half a unit."""
        found = [(round(2 * ((x - left) * scale + RIM)) / 2, round(2 * ((top - y) * scale + RIM)) / 2) for x, y in line]
        return "M" + "L".join(f"{x:g} {y:g}" for x, y in found)

    return content.Work(
        stages=tuple(_stage(step) for step in steps(done, rates)),
        room="".join(map(placed, lines)),
        faces={piece: f"{placed(ring)}Z" for piece, ring in rings.items()},
        width=WIDTH,
        height=round(height),
    )


def _room(done: SetOut) -> Iterator[Path]:
    return (mark for mark in room_marks(done.room, done.room.walls) if isinstance(mark, Path) and mark.segments)


def _stage(step: Step) -> content.Stage:
    return content.Stage(
        title=step.title,
        words=tuple(said for said in step.words if not said.startswith(TWO_PEOPLE)),
        needs=tuple(_needs(step)),
        pieces=step.pieces,
        bad=bool(step.barred),
    )


def _needs(step: Step) -> Iterator[str]:
    if step.people > 1:
        yield f"two people: {step.heavy}"
    if step.props:
        yield f"{step.props} props"
    if step.barred:
        yield "no way in"
