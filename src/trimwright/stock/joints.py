"""Where long walls are joined so that the least is spent on stock.

The number of joints is always the least there can be (`setout/scarfs.py`). Their places are searched one at a time:
each is tried wherever a piece of the joint would fill up some bar together with one or two others or none, and on a
grid, as far as the rules of joints allow; the cheapest place is kept, until no joint's move saves anything. What is
spent cannot go under `least`, whatever the places; where it is reached, the search has proven its answer.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import chain, combinations, islice
from math import ceil, floor

from trimwright.project.project import Project
from trimwright.setout.piece import SetOut, Trim
from trimwright.setout.pieces import Cut
from trimwright.setout.scarfs import LongStretch
from trimwright.setout.set_out import set_out
from trimwright.stock.parts import Part, StockLength
from trimwright.stock.plan import least_cost, quick_cost
from trimwright.stock.trim_plan import GRAIN, all_lengths, part_of, parts_of

__all__ = ["least_spent", "set_out_to_stock"]

Joints = tuple[tuple[float, ...], ...]
"""Stations of the joints of each long stretch."""

TRIALS = 24
"""Plans made for one trim; each takes a thousandth of a second or two."""
FELLOWS = 20_000
"""Other pieces, and pairs of them, with which a joint's piece is tried to fill up a bar."""
GRID = 100.0
"""Joints are tried at whole multiples of this from the left end besides, mm."""
SLIVER = 10.0
"""A bar is filled up to this much, mm: stock is not always as long as it is sold, and each end is cut afresh."""
NEVER = Decimal("Infinity")
"""What a plan costs that cannot be."""


def set_out_to_stock(project: Project) -> SetOut:
    """The setting out of a project with the joints along its walls where they save stock, else as even as may be."""
    return set_out(project, lambda trim, cut: _better(trim, cut, project))


def _better(trim: Trim, cut: Cut, project: Project) -> dict[str, tuple[float, ...]]:
    """Joints that cost less than those a trim is cut with, by key of the stretch; none if none were found."""
    better = _Search(trim, cut.long, parts_of(cut.pieces), project).run() if _can_choose(cut.long) else None
    return {s.key: joints for s, joints in zip(cut.long, better, strict=True)} if better else {}


def least_spent(trim: Trim, parts: Sequence[Part], stretches: Sequence[LongStretch], project: Project) -> Decimal:
    """What no plan for the parts of a trim can go under, wherever the joints of its long stretches are put."""
    divisible = [sum(s.lengths(s.division.stations)) + (len(s.division.stations) * project.saw.kerf) for s in stretches]
    fixed = _fixed(parts, stretches)
    if fixed is None:
        return Decimal(0)
    return least_cost(fixed, divisible, all_lengths(trim, project), project.saw.kerf, project.saw.end_trim)


def _can_choose(stretches: Sequence[LongStretch]) -> bool:
    """Where the rules of joints cannot be kept there is nothing to choose."""
    return bool(stretches) and all(s.division.by_the_rules for s in stretches)


def _fixed(parts: Sequence[Part], stretches: Sequence[LongStretch]) -> list[Part] | None:
    """The parts that are no length of a long stretch; None if one of those is not found among them."""
    joined = Counter(p.length for s in stretches for p in _parts(s, s.division.stations))
    kept = []
    for part in parts:
        if joined[part.length] > 0:
            joined[part.length] -= 1
        else:
            kept.append(part)
    return kept if not +joined else None


def _parts(stretch: LongStretch, joints: Sequence[float]) -> list[Part]:
    return [part_of(length) for length in stretch.lengths(joints)]


@dataclass(slots=True)
class _Search:
    """The search for one trim; `trials` counts the plans made."""

    trim: Trim
    stretches: Sequence[LongStretch]
    parts: Sequence[Part]
    project: Project
    trials: int = 0
    stock: tuple[StockLength, ...] = field(init=False)

    def __post_init__(self) -> None:
        self.stock = tuple(all_lengths(self.trim, self.project))

    def run(self) -> Joints | None:
        """Joints that cost less than the even ones; None if none were found."""
        fixed = _fixed(self.parts, self.stretches)
        if fixed is None:
            return None
        least = least_spent(self.trim, self.parts, self.stretches, self.project)
        even = best = tuple(s.division.stations for s in self.stretches)
        cost = self._cost(fixed, best)
        moves = self._moves(fixed, best)
        while cost > least and self.trials < TRIALS:
            trial = next(moves, None)
            if trial is None:
                break
            spent = self._cost(fixed, trial, cost)
            if spent < cost:
                best, cost, moves = trial, spent, self._moves(fixed, trial)
        return best if best != even else None

    def _cost(self, fixed: Sequence[Part], joints: Joints, under: Decimal = NEVER) -> Decimal:
        """What is spent with these joints; NEVER if it cannot be done, or not under so much."""
        self.trials += 1
        parts = [part for s, j in zip(self.stretches, joints, strict=True) for part in _parts(s, j)]
        saw = self.project.saw
        limit = under if under.is_finite() else None
        cost = quick_cost([*fixed, *parts], self.stock, saw.kerf, saw.end_trim, limit)
        return NEVER if cost is None else cost

    def _moves(self, fixed: Sequence[Part], joints: Joints) -> Iterator[Joints]:
        """All joints with one of them moved, each in turn: where a bar would be filled first, then on the grid."""
        ways = [self._places(fixed, joints, s, k) for s, own in enumerate(joints) for k in range(len(own))]
        while ways:
            going = []
            for way in ways:
                trial = next(way, None)
                if trial is not None:
                    yield trial
                    going.append(way)
            ways = going

    def _places(self, fixed: Sequence[Part], joints: Joints, s: int, k: int) -> Iterator[Joints]:
        """The joints with one of them moved to each of its places; none twice."""
        stretch, seen = self.stretches[s], {joints[s]}
        for place in chain(self._filling(fixed, joints, s, k), self._on_grid(stretch)):
            own = (*joints[s][:k], place, *joints[s][k + 1 :])
            if own not in seen and stretch.allows(own):
                seen.add(own)
                yield (*joints[:s], own, *joints[s + 1 :])

    def _filling(self, fixed: Sequence[Part], joints: Joints, s: int, k: int) -> Iterator[float]:
        """Where the piece on one side of a joint fills up a bar with none, one or two of the others, each once.

        One at a time: of thousands of joints a few are tried, at a few places each.
        """
        stretch, kerf = self.stretches[s], self.project.saw.kerf
        others = [part.length for part in fixed]
        for i, (other, own) in enumerate(zip(self.stretches, joints, strict=True)):
            lengths = [part.length for part in _parts(other, own)]
            others += lengths if i != s else [*lengths[:k], *lengths[k + 2 :]]
        together = islice((some for n in range(3) for some in combinations(others, n)), FELLOWS)
        lengths = [stock.length - max(2 * self.project.saw.end_trim, SLIVER) for stock in self.stock]
        start = joints[s][k - 1] if k else stretch.low + stretch.lap
        end = joints[s][k + 1] if k + 1 < len(joints[s]) else stretch.high - stretch.lap
        seen = set()
        for some in together:
            taken = sum(some) + kerf * len(some)
            for length in lengths:
                room = floor((length - taken) / GRAIN + 1e-6) * GRAIN
                if room not in seen:
                    seen.add(room)
                    reach = (room - stretch.overhang) / stretch.scale - 2 * stretch.lap
                    yield from (start + reach, end - reach)

    @staticmethod
    def _on_grid(stretch: LongStretch) -> list[float]:
        return [GRID * n for n in range(ceil(stretch.low / GRID), floor(stretch.high / GRID) + 1)]
