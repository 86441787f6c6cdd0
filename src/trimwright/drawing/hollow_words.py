"""What is cut out of a piece, in words: for the cut list and beside templates."""

from __future__ import annotations

from dataclasses import dataclass

from trimwright.drawing.cut_outline import cut_outlines
from trimwright.setout.piece import Groove, Housing, Notch, Piece
from trimwright.tolerance import TOUCH
from trimwright.units import Units

__all__ = ["Reach", "hollow_words", "notch_levels", "reach_of"]


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a hollow reaches: stations of its two ends, and heights above the lower edge of the piece there."""

    low: float
    high: float
    bottom: float
    top: float


def reach_of(piece: Piece, hollow: Groove | Housing) -> Reach | None:
    """Of as much as shows in the piece; None if nothing does."""
    points = [point for loop in cut_outlines(piece, hollow) for point in loop]
    if not points:
        return None
    edge = piece.trim.edges.bottom
    stations = [station for station, _ in points]
    above = [height - piece.height(station, edge) for station, height in points]
    return Reach(min(stations), max(stations), max(0.0, min(above)), max(above))


def hollow_words(piece: Piece, hollow: Groove | Housing, units: Units) -> str:
    """Its size and place: 'gas: groove 21 wide, 30.5 deep from the back, from 990 to 1810 from the left, 39.5 to 60.5
    above its lower edge'. Stations are measured from the long point of the left end.
    """
    written, reach = units.written, reach_of(piece, hollow)
    across, deep = written(hollow.width), written(hollow.depth)
    size = f"{hollow.pipe}: {hollow.what} {across} wide, {deep} deep from the {hollow.opens}"
    if reach is None:
        return size
    start = piece.extent[0]
    along = f"from {written(reach.low - start)} to {written(reach.high - start)} from the left"
    return f"{size}, {along}, {_levels(piece, reach.bottom, reach.top, units)}"


def notch_levels(piece: Piece, notch: Notch, units: Units) -> str:
    """'from its lower edge to 33 above it'; empty for a notch through the whole section, as most are."""
    _, bottom, _, top = piece.trim.edges
    if notch.bottom <= bottom + TOUCH and notch.top >= top - TOUCH:
        return ""
    edge = piece.height(notch.station, bottom)
    return _levels(piece, max(0.0, notch.bottom - edge), notch.top - edge, units)


def _levels(piece: Piece, bottom: float, top: float, units: Units) -> str:
    """Between which heights above the lower edge of a piece something is cut out."""
    drop = (piece.trim.edges.top - piece.trim.edges.bottom) * piece.stretch
    from_below, to_above = bottom < TOUCH, top > drop - TOUCH
    if from_below and to_above:
        return "from its lower edge to its upper edge"
    if from_below:
        return f"from its lower edge to {units.written(top)} above it"
    if to_above:
        return f"from {units.written(bottom)} above its lower edge to its upper edge"
    return f"{units.written(bottom)} to {units.written(top)} above its lower edge"
