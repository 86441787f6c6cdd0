"""The ways out of a room's clashes that hold when the room is set out with them, and a proposal made of the best."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from trimwright import toml_file
from trimwright.clearance.ways.candidates import candidates
from trimwright.clearance.ways.trial import Pair, Trial, trial
from trimwright.clearance.ways.way import Way
from trimwright.errors import TrimwrightError
from trimwright.project.edit import applied, edited_text
from trimwright.project.read import read_toml

__all__ = ["Proposal", "proposal", "ways_out"]

ROUNDS = 30
"""A room that needs more changes than this is better thought over by its owner."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A changed room file: its text, the ways taken in their order, and the pairs that still clash."""

    text: str
    taken: tuple[Way, ...]
    left: tuple[Pair, ...]


def ways_out(path: Path) -> dict[Pair, tuple[Way, ...]]:
    """For each trim and obstacle that clash, the ways out that were tried and hold, the least effort first."""
    now = trial(read_toml(path), path)
    return {pair: _tried(now, pair, path) for pair in now.clashing}


def _tried(now: Trial, pair: Pair, path: Path) -> tuple[Way, ...]:
    ways = (_confirmed(now, way, path) for way in candidates(now, pair, path))
    return tuple(sorted((way for way in ways if way is not None), key=lambda way: (way.effort, way.amount)))


def _confirmed(now: Trial, way: Way, path: Path) -> Way | None:
    """The way with the gap that it leaves; None if the room with it cannot be set out or has a new clash."""
    try:
        then = trial(applied(now.data, way.edits), path)
    except TrimwrightError:
        return None
    clashing = set(then.clashing)
    if way.pair in clashing or clashing - set(now.clashing):
        return None
    return replace(way, gap=then.gap(way.pair))


def proposal(path: Path) -> Proposal:
    """The file with the easiest way out of each clash taken, one after the other, each tried with those before it."""
    now = trial(read_toml(path), path)
    taken: list[Way] = []
    stuck: set[Pair] = set()
    for _ in range(ROUNDS):
        pair = next((p for p in now.clashing if p not in stuck), None)
        if pair is None:
            break
        ways = _tried(now, pair, path)
        if not ways:
            stuck.add(pair)
            continue
        taken.append(ways[0])
        now = trial(_after(now.data, ways[0]), path)
    edits = [edit for way in taken for edit in way.edits]
    text = edited_text(toml_file.text(path), edits)
    return Proposal(text=text, taken=tuple(taken), left=tuple(now.clashing))


def _after(data: Mapping[str, Any], way: Way) -> dict[str, Any]:
    return applied(data, way.edits)
