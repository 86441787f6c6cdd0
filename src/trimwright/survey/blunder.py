"""Which reading is wrong: the one whose leaving out mends the room, found one after another.

A reading's standardized residual w is its residual over that residual's own standard deviation, sd * sqrt(r), where r
is its redundancy (Baarda 1968). Leaving the reading out lowers chi-square by w², so the greatest w is the likeliest
fault; readings with nearly the same w are as likely, and are named beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from trimwright.survey.chance import critical_w
from trimwright.survey.network import Array, NotHeld, Solution, Tie, solve, values
from trimwright.survey.reading import Reading

__all__ = ["Suspect", "search", "standardized"]

UNCHECKED = 1e-6
"""A redundancy below this is nought: nothing checks the reading."""

AS_LIKELY = 6.0
"""Readings whose leaving out mends chi-square by as much as this less are as likely at fault (odds of 20 to 1)."""

GROSS = 25.0
"""From this variance factor on the room is so distorted that w misleads, and leaving out is tried in earnest."""

MOST_TRIED, TRIAL_WORK, TRIAL_STEPS = 40, 4000, 12
"""So many readings, those of the greatest w, are left out on trial, fewer in long rooms (trials times readings); in
so many steps a room without its wrong reading has settled, and one that has not is the worse for it."""

MOST_SUSPECTS = 6
"""After so many the survey is to be done again, not mended."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A reading to take again: what all the others make it, how much it is over that, and who else it may have been.

    `closes_to` is the largest misfit of any tape reading once every suspect is left out.
    """

    reading: Reading
    expected: float
    excess: float
    closes_to: float
    others: tuple[Reading, ...] = ()


def standardized(solution: Solution) -> Array:
    """w of every reading; 0 where nothing checks it."""
    r = solution.redundancy
    return np.asarray(np.where(r > UNCHECKED, solution.whitened / np.sqrt(np.maximum(r, UNCHECKED)), 0.0))


def search(
    readings: Sequence[Reading], ties: Sequence[Tie], solution: Solution, guess: Callable[[Sequence[int]], Array]
) -> tuple[Suspect, ...]:
    """The readings that disagree with the rest, the worst first; empty when chance explains everything.

    `guess` gives points to start from for the readings of these numbers.
    """
    kept = list(range(len(ties)))
    found: list[tuple[int, tuple[int, ...]]] = []
    limit = critical_w(len(ties))
    while len(found) < MOST_SUSPECTS:
        w = np.abs(standardized(solution))
        if float(w.max(initial=0.0)) <= limit:
            break
        gross = solution.chi_square > GROSS * solution.freedom
        doubted = np.argsort(-w, kind="stable")[: min(MOST_TRIED, 1 + TRIAL_WORK // len(w)) if gross else 1]
        trials = _trials(ties, solution, guess, kept, doubted)
        if not trials:
            break
        best, out = min(trials, key=lambda trial: trial[0].chi_square)
        likely = [k for s, k in trials if s.chi_square < best.chi_square + AS_LIKELY]
        if not gross:
            likely = [kept[i] for i in np.flatnonzero((w > limit) & (w**2 > w.max() ** 2 - AS_LIKELY))]
        found.append((out, tuple(k for k in likely if k != out)))
        kept.remove(out)
        solution = _settled([ties[k] for k in kept], best)
    return _suspects(readings, ties, solution, kept, found)


def _settled(ties: Sequence[Tie], trial: Solution) -> Solution:
    """A trial's solution carried to its end; as it was, if its last steps would lead where nothing holds the room."""
    try:
        return solve(ties, trial.points, trial.free)
    except NotHeld:
        return trial


def _trials(
    ties: Sequence[Tie],
    solution: Solution,
    guess: Callable[[Sequence[int]], Array],
    kept: Sequence[int],
    doubted: Iterable[int],
) -> list[tuple[Solution, int]]:
    """The room without each of the doubted readings (places in `kept`), as far as the others still fix it."""
    found = []
    for place in doubted:
        out = kept[place]
        rest = [k for k in kept if k != out]
        try:
            found.append((solve([ties[k] for k in rest], guess(rest), solution.free, TRIAL_STEPS), out))
        except NotHeld:
            continue
    return found


def _suspects(
    readings: Sequence[Reading],
    ties: Sequence[Tie],
    solution: Solution,
    kept: Sequence[int],
    found: Sequence[tuple[int, tuple[int, ...]]],
) -> tuple[Suspect, ...]:
    """The suspects against the room that the readings kept make."""
    misfits = [abs(float(v)) for k, v in zip(kept, solution.residuals, strict=True) if readings[k].in_mm]
    expected = values(solution.points, [ties[k] for k, _ in found])
    return tuple(
        Suspect(
            reading=readings[k],
            expected=float(e),
            excess=ties[k].value - float(e),
            closes_to=max(misfits, default=0.0),
            others=tuple(readings[i] for i in rivals),
        )
        for (k, rivals), e in zip(found, expected, strict=True)
    )
