"""What heat does: trim and glue near hot pipes, and long metal that grows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trimwright.clearance.clearance import Clearance
from trimwright.data import table
from trimwright.room import Pipe
from trimwright.setout.piece import Piece, SetOut

__all__ = ["growth", "heat_words"]

GLUE = 60.0
"""Adhesive softens above this, °C. Common practice, no source: check the cartridge."""

AWAY = 25.0
"""Trim this far from a hot pipe keeps cool enough, mm. Common practice, no source."""

WARMING = 30.0
"""How much warmer a light channel gets than it was when it was cut, K. Common practice, no source."""

WORTH = 1.0
"""Growth of less than this is taken up by any joint, mm."""


def heat_words(set_out: SetOut, lines: Sequence[Clearance]) -> tuple[str, ...]:
    """A sentence for each trim too near a pipe hotter than it or its glue bears, and for each trim of long metal."""
    return tuple(dict.fromkeys((*_too_hot(set_out, lines), *_growing(set_out))))


def _too_hot(set_out: SetOut, lines: Sequence[Clearance]) -> Iterator[str]:
    pipes = {f"pipe {pipe.name}": pipe for pipe in set_out.room.pipes}
    pieces = {piece.id: piece for piece in set_out.pieces}
    for line in lines:
        pipe = pipes.get(line.obstacle)
        if pipe is not None and line.actual < AWAY and (words := _beside(pieces[line.piece], pipe)):
            yield f"{line.trim} beside {line.obstacle}: {words}"


def _beside(piece: Piece, pipe: Pipe) -> str:
    """What a pipe does to a piece close to it; empty if nothing."""
    heat, material = pipe.temperature or 0.0, piece.trim.material.name
    limit = table("materials")[material].get("limit")
    if limit is not None and heat > limit:
        return (
            f"{material} bears {limit:g} °C for years and the pipe gets to {heat:g}: sleeve the pipe"
            f" where it passes, or keep {AWAY:g} mm off"
        )
    if heat > GLUE:
        return f"no adhesive within {AWAY:g} mm of the pipe, which gets to {heat:g} °C: glue softens from {GLUE:g}"
    return ""


def _growing(set_out: SetOut) -> Iterator[str]:
    for trim in set_out.trims:
        longest = max((piece.length for piece in set_out.of_trim(trim)), default=0.0)
        grows = growth(trim.material.name, longest, WARMING)
        if grows >= WORTH:
            yield (
                f"{trim.name}: {longest:.0f} of {trim.material.name} grows by {grows:.1f} when it warms by"
                f" {WARMING:g} K: leave {grows:.1f} at one end of each length, and fix it so that it can slide"
            )


def growth(material: str, length: float, kelvin: float) -> float:
    """How much a length grows, mm: expansion x length x warming; 0 for a material whose growth does not matter."""
    return float(table("materials")[material].get("expansion", 0.0)) * length * kelvin
