"""Ways out in words for the terminal, as data, and as a changed room file beside the one that was checked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trimwright.errors import OutputError
from trimwright.project.edit import toml_value

if TYPE_CHECKING:
    from trimwright.clearance.ways.offer import Proposal
    from trimwright.clearance.ways.trial import Pair
    from trimwright.clearance.ways.way import Way

__all__ = ["proposal_words", "way_lines", "ways_data", "write_proposal"]


def way_lines(found: Mapping[Pair, Sequence[Way]]) -> Iterator[str]:
    """A heading a clash and a line a way, with what to write in the room file."""
    for pair, ways in found.items():
        yield f"{pair.trim} and {pair.obstacle}: " + ("ways out, each tried:" if ways else "no way out was found")
        for number, way in enumerate(ways, 1):
            apart = "then they pass clear of each other" if pair.trims else "then they are far apart"
            then = apart if way.gap is None else f"then {way.gap:.1f} clear"
            yield f"  {number}. {way.words}; {then}"
            yield from (f"     [[{e.table}]] {e.index + 1}: {e.key} = {toml_value(e.value)}" for e in way.edits)


def ways_data(found: Mapping[Pair, Sequence[Way]]) -> list[dict[str, Any]]:
    """One entry a way."""
    return [
        {
            "trim": pair.trim,
            "obstacle": pair.obstacle,
            "way": way.words,
            "amount": way.amount,
            "actual": way.gap,
            "entries": [{"table": e.table, "number": e.index + 1, "key": e.key, "value": e.value} for e in way.edits],
        }
        for pair, ways in found.items()
        for way in ways
    ]


def write_proposal(path: Path, made: Proposal) -> Path:
    """Write the proposal beside the room file, under a name that nothing has; the room file stays as it is."""
    names = (path.with_name(f"{path.stem}-proposal{n}{path.suffix}") for n in ("", *(f"-{k}" for k in range(2, 1000))))
    for place in names:
        try:
            with place.open("x", encoding="utf-8") as file:
                file.write(made.text)
        except FileExistsError:
            continue
        except OSError as error:
            raise OutputError(f"{place}: cannot be written: {error.strerror}") from None
        return place
    raise OutputError(f"{path}: there are too many proposals beside it; remove some")


def proposal_words(made: Proposal, place: Path) -> Iterator[str]:
    """What the proposal changes, and what it leaves."""
    yield f"{place}: " + "; ".join(way.words for way in made.taken)
    for pair in made.left:
        yield f"still to be solved by hand: {pair.trim} and {pair.obstacle}"
