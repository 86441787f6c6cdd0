"""What is left of the stock and worth keeping: a list to write on, and to begin the next room with."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import floor

from trimwright.measuring.toml_text import commented, key_line
from trimwright.project.models import SawTable
from trimwright.setout.piece import Trim
from trimwright.stock.trim_plan import TrimPlan
from trimwright.units import value

__all__ = ["Offcut", "offcuts_of", "offcuts_text", "trim_words"]


@dataclass(frozen=True, slots=True)
class Offcut:
    """A length left over: its name on the label, the trim, whole millimetres, the bar, and the pieces cut beside it."""

    name: str
    trim: str
    length: int
    stock: float
    pieces: tuple[str, ...]


def offcuts_of(plans: Iterable[TrimPlan], saw: SawTable) -> tuple[Offcut, ...]:
    """The offcuts of a job that are as long as is useful, the longest of each trim first, numbered through."""
    found: list[Offcut] = []
    for plan in plans:
        kept = plan.offcuts(saw.kerf, saw.end_trim, saw.least_offcut)
        for bar, length in sorted(kept, key=lambda pair: -pair[1]):
            pieces = tuple(part.label for part in bar.pieces)
            found.append(Offcut(f"X{len(found) + 1}", plan.trim, floor(length), bar.stock.length, pieces))
    return tuple(found)


def trim_words(trims: Iterable[Trim]) -> dict[str, str]:
    """By name, what each trim is: profile, size and material, as on a label."""
    return {
        t.name: f"{t.section.name} {value(t.section.drop)} x {value(t.section.projection)}, {t.material.name}"
        for t in trims
    }


def offcuts_text(offcuts: Sequence[Offcut], source: str, trims: Mapping[str, str]) -> str:
    """`offcuts.toml`: what a room file of the same trims takes as it stands; `trims` in words, by their names."""
    lines = [
        commented("", f"Left over from {source}. Put these lines at the end of the next room's file, with the"),
        commented("", "names that its trims have; they are cut before anything is bought."),
    ]
    for offcut in offcuts:
        lines += [
            "",
            "[[offcut]]",
            key_line("trim", offcut.trim, f"{offcut.name}: {trims[offcut.trim]}"),
            key_line("length", offcut.length),
        ]
    return "\n".join(lines) + "\n"
