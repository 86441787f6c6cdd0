"""The order of cutting: the saw is set once for all ends that share a setting, and moved as little as may be.

The pieces are first cut a little over length. Then each setting is visited once: square ends first, so that a piece
with one square end starts there; then the mitres, by the shortest round. At a setting the trims follow each other,
the long pieces of each first: a long one that is spoiled still makes a short one. Returns are the exception: they
are too short to hold, so the mitre is cut on the end of a long length, and a last visit to square cuts them free.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from trimwright.saw.settings import Setting
from trimwright.setout.piece import Joint, Piece

__all__ = ["Cut", "Visit", "visits"]

Angles = tuple[float, float]
"""Swing and lean as printed, positive right and left."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut in its turn: `first` if it is the first of its piece, so that there is no end yet to stop against."""

    piece: Piece
    setting: Setting
    first: bool


@dataclass(frozen=True, slots=True)
class Visit:
    """One setting of the saw and the ends cut there; `by_hand`: what the saw cannot do, after
    the rest; `freeing`: returns cut free."""

    angles: Angles
    cuts: tuple[Cut, ...]
    by_hand: bool = False
    freeing: bool = False


def visits(pieces: Iterable[Piece], settings: Iterable[Setting]) -> tuple[Visit, ...]:
    """Every end in the order of cutting."""
    by_id = {piece.id: piece for piece in pieces}
    places: dict[tuple[bool, bool, Angles], list[Setting]] = {}
    for setting in settings:
        key = (setting.by_hand, _frees(by_id[setting.piece], setting), _angles(setting))
        places.setdefault(key, []).append(setting)
    route = _route([key[2] for key in places if key[:2] == (False, False)])
    order = [(False, False, angles) for angles in route]
    order += sorted((k for k in places if k[:2] != (False, False)), key=lambda k: (k[1], k[0], k[2]))
    place = {piece_id: k for k, piece_id in enumerate(by_id)}
    begun: set[str] = set()
    made = []

    def turn(setting: Setting) -> tuple[str, float, int, str]:
        piece = by_id[setting.piece]
        return (piece.trim.letter, -round(piece.length, 1), place[piece.id], setting.place)

    for key in order:
        cuts = []
        for setting in sorted(places[key], key=turn):
            cuts.append(Cut(by_id[setting.piece], setting, setting.piece not in begun))
            begun.add(setting.piece)
        made.append(Visit(key[2], tuple(cuts), by_hand=key[0], freeing=key[1]))
    return tuple(made)


def _angles(setting: Setting) -> Angles:
    return (setting.printed.swing, setting.printed.lean)


def _frees(piece: Piece, setting: Setting) -> bool:
    """True for the end of a return that has no mitre."""
    return piece.is_return and piece.end(setting.end).joint is not Joint.RETURN


def _route(stops: Sequence[Angles]) -> list[Angles]:
    """A short way through all stops from square: the nearest next, then turned about while that shortens it (2-opt)."""
    left = set(stops)
    route: list[Angles] = [(0.0, 0.0)]
    while left:
        route.append(min(left, key=lambda a: (_moved(route[-1], a), a)))
        left.remove(route[-1])
    better = True
    while better:
        better = False
        for i in range(1, len(route) - 1):
            for j in range(i + 1, len(route)):
                turned = [*route[:i], *reversed(route[i : j + 1]), *route[j + 1 :]]
                if _travel(turned) < _travel(route) - 1e-9:
                    route, better = turned, True
    return route[1:]


def _moved(a: Angles, b: Angles) -> float:
    """Degrees that arm and blade are moved between two settings."""
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def _travel(route: Sequence[Angles]) -> float:
    return sum(_moved(a, b) for a, b in pairwise(route))
