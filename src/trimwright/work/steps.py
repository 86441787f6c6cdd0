"""The job as a sequence of steps: mark, battens, channels, then piece by piece, fill and paint."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from trimwright.setout.piece import Joint, Piece, SetOut
from trimwright.setout.putting_up.approach import Approach, WayIn
from trimwright.setout.putting_up.standing import Standing, standing
from trimwright.setout.putting_up.ways_in import way_in
from trimwright.stock.handling import fixing, mass_by_metre, needs_two
from trimwright.stock.rates import Rates
from trimwright.tolerance import TOUCH

__all__ = ["TWO_PEOPLE", "Kind", "Step", "no_way_in", "steps"]

PROPPED = 1500.0
"""A piece longer than this is held by a second pair of hands or by props while its glue grips, mm. Common practice."""

BETWEEN_PROPS = 1200.0
"""Props stand no further apart than this, mm. Common practice, no source."""

BARRED = "NO WAY IN past what is up: leave a neighbour loose until it is in"

TWO_PEOPLE = "TWO PEOPLE"

CARCASS = ("batten", "channel")
"""Kinds that go up as a whole, since nothing of them waits for glue."""


class Kind(StrEnum):
    """What is done in a step."""

    MARK = "mark"
    FIT = "fit"
    FILL = "fill"
    PAINT = "paint"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: its number, what is fitted in it, what is up before it, and what to know.

    `people` is how many it takes and `heavy` why it takes two; `props` how many stand under the piece until its glue
    grips; `barred` are the pieces that find no way in.
    """

    number: int
    kind: Kind
    title: str
    pieces: tuple[str, ...] = ()
    up: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    people: int = 1
    heavy: str = ""
    props: int = 0
    barred: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Fitted:
    """Pieces that go up together, and the way of each."""

    pieces: tuple[Piece, ...]
    ways: tuple[WayIn | None, ...]


def steps(set_out: SetOut, rates: Rates) -> tuple[Step, ...]:
    """The whole job in order, by the order of fitting of the setting out."""
    made = [Step(number=1, kind=Kind.MARK, title="Mark the lines", words=tuple(_lines(set_out)))]
    up: list[str] = []
    for group in _groups(set_out):
        ids = tuple(piece.id for piece in group.pieces)
        made.append(_fit(set_out, group, tuple(up), len(made) + 1, rates))
        up += ids
    if not up:
        return tuple(made)
    filled = any(t.section.kind not in CARCASS for t in set_out.trims)
    painted = any(t.section.kind not in CARCASS and t.material.name != "aluminium" for t in set_out.trims)
    if filled:
        words = ("Fill corners, joints, pin holes and the edges to wall and ceiling; rub down when dry.",)
        made.append(Step(number=len(made) + 1, kind=Kind.FILL, title="Fill and rub down", up=tuple(up), words=words))
    if painted:
        words = ("Prime bare trim, then two coats; strips and covers go into channels last.",)
        made.append(Step(number=len(made) + 1, kind=Kind.PAINT, title="Paint", up=tuple(up), words=words))
    return tuple(made)


def no_way_in(set_out: SetOut) -> tuple[str, ...]:
    """Pieces that cannot be brought to their places in the order of fitting."""
    return tuple(p.id for g in _groups(set_out) for p, way in zip(g.pieces, g.ways, strict=True) if way is None)


def _groups(set_out: SetOut) -> Iterator[_Fitted]:
    """Battens and channels trim by trim, all else piece by piece; a return goes with its piece."""
    up: list[Standing] = []
    waiting: list[tuple[Piece, WayIn | None]] = []
    order = [set_out.piece(name) for name in set_out.order]
    for k, piece in enumerate(order):
        here = standing(piece, set_out.room)
        waiting.append((piece, way_in(here, up, set_out.room)))
        up.append(here)
        following = order[k + 1] if k + 1 < len(order) else None
        if following is None or not _together(piece, following):
            yield _Fitted(tuple(p for p, _ in waiting), tuple(w for _, w in waiting))
            waiting = []


def _together(piece: Piece, following: Piece) -> bool:
    if following.trim.name != piece.trim.name:
        return False
    return piece.trim.section.kind in CARCASS or following.is_return


def _lines(set_out: SetOut) -> Iterator[str]:
    """The lines to mark, told from the floor datum and from the wall."""
    written = set_out.room.units.written
    for trim in set_out.trims:
        back, bottom, front, top = trim.edges
        if back <= TOUCH:
            yield f"{trim.name}: lower edge {written(bottom)} above the floor datum, all round"
        if set_out.room.ceiling - top <= TOUCH:
            yield f"{trim.name}: front {written(front)} from the wall, on the ceiling"


def _fit(set_out: SetOut, group: _Fitted, up: tuple[str, ...], number: int, rates: Rates) -> Step:
    first = group.pieces[0]
    heaviest = max(group.pieces, key=lambda p: p.length)
    two = needs_two(heaviest, mass_by_metre(heaviest.trim) * heaviest.length / 1000, rates)
    glued = first.trim.section.kind not in CARCASS
    props = math.ceil(heaviest.length / BETWEEN_PROPS) if glued and heaviest.length > PROPPED else 0
    return Step(
        number=number,
        kind=Kind.FIT,
        title=_title(set_out, group.pieces),
        pieces=tuple(piece.id for piece in group.pieces),
        up=up,
        words=tuple(_words(set_out, group, two, props, rates)),
        people=2 if two else 1,
        heavy=two,
        props=props,
        barred=tuple(piece.id for piece, way in zip(group.pieces, group.ways, strict=True) if way is None),
    )


def _title(set_out: SetOut, pieces: Sequence[Piece]) -> str:
    trim = pieces[0].trim
    if trim.section.kind in CARCASS:
        return f"{trim.name.capitalize()} all round" if len(pieces) > 2 else trim.name.capitalize()
    return f"{pieces[0].id}: {trim.name}, {set_out.room.walls[pieces[0].wall].name}"


def _words(set_out: SetOut, group: _Fitted, two: str, props: int, rates: Rates) -> Iterator[str]:
    trim = group.pieces[0].trim
    whole = trim.section.kind in CARCASS
    written = set_out.room.units.written
    if two:
        yield f"{TWO_PEOPLE}: {two}"
    if whole:
        yield f"in this order: {', '.join(piece.id for piece in group.pieces)}"
    else:
        yield _long(group.pieces, written(group.pieces[0].length))
    yield from _way_words(group) if whole else _own_way(group)
    yield fixing(trim, rates)
    if props:
        yield f"{props} props or temporary pins until the glue grips"


def _long(pieces: Sequence[Piece], length: str) -> str:
    returns = [p.id for p in pieces[1:]]
    return f"{length} long" + (f"; glue its return {' and '.join(returns)} to it" if returns else "")


def _way_words(group: _Fitted) -> Iterator[str]:
    """The ways that are not simply straight in, pieces with the same way together."""
    said: dict[str, list[str]] = {}
    for piece, way in zip(group.pieces, group.ways, strict=True):
        if way is None or (way.approach is not Approach.STRAIGHT and not piece.is_return):
            said.setdefault(BARRED if way is None else way.words, []).append(piece.id)
    yield from (f"{', '.join(ids)}: {words}" for words, ids in said.items())


def _own_way(group: _Fitted) -> Iterator[str]:
    """The way of a piece, what it is coped over, and the way of a return where it is barred."""
    piece, way = group.pieces[0], group.ways[0]
    coped = [f"cope over {end.mate}" for end in (piece.left, piece.right) if end.joint is Joint.COPE]
    yield "; ".join([BARRED if way is None else way.words, *coped])
