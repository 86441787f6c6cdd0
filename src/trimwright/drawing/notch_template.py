"""The full-size template of a notch: slot or hole in plan on its piece, with where it lies."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby

from trimwright.drawing.dimensions import lettered
from trimwright.drawing.full_size import FullSize
from trimwright.drawing.hollow_words import notch_levels
from trimwright.drawing.labels import Label, place
from trimwright.drawing.marks import Anchor, Dimension, DimensionKind, Drawing, Layer, Mark, dot, polyline
from trimwright.drawing.notch_lines import notch_lines, plug_lines
from trimwright.names import slug
from trimwright.setout.cutouts.notches import part_at
from trimwright.setout.piece import Notch, Opens, Piece, SetOut, Side
from trimwright.tolerance import TOUCH

__all__ = ["notch_template"]

AROUND = 70.0
"""Length of trim shown on each side of a notch."""

STEPS = 400
"""Steps in which the line of an end is looked at."""


def notch_template(set_out: SetOut, piece: Piece, notch: Notch) -> FullSize:
    """A notch in plan on its piece, with where it lies from the left corner and from the piece's end."""
    name = f"notch-{slug(piece.id)}-{slug(notch.pipe)}"
    what = "Hole" if notch.opens is Opens.HOLE else "Slot"
    return FullSize(
        name,
        f"{what} for pipe {notch.pipe} in {piece.id}",
        _drawing(name, set_out, piece, notch),
        tuple(_words(set_out, piece, notch)),
        f"Full-size plan of the {what.lower()} for {notch.pipe} in {piece.id}",
    )


def _words(set_out: SetOut, piece: Piece, notch: Notch) -> Iterator[str]:
    wall, written = set_out.room.walls[piece.wall], set_out.room.units.written
    back, _, front, _ = piece.trim.edges
    side = part_at(piece, notch)
    here = f"{piece.id}" if side is None else f"{piece.id}, in part: the rest is in {piece.end(side).mate}"
    if notch.opens is Opens.HOLE:
        yield f"Hole {written(notch.width)} across, its far side {written(notch.depth)} from the back edge, in {here}."
        yield "Drill it, saw out the plug along the two lines to the back, and glue it in again behind the pipe."
    else:
        yield f"Slot {written(notch.width)} wide and {written(notch.depth)} deep in {here}, open to the {notch.opens}."
    edge = front if notch.opens is Opens.FRONT else back
    levels = notch_levels(piece, notch, set_out.room.units)
    if levels:
        yield f"It goes {levels}, no further."
    station, _ = wall.frame.locate(piece.frame.plan(notch.station, notch.out))
    along = notch.station - piece.left.at(edge)
    from_end = f"{written(abs(along))} {'from' if along >= 0 else 'beyond'} the left end of {piece.id}"
    yield (
        f"Its middle is {written(station)} from the left corner of wall {wall.index + 1} ({wall.name}) and {from_end}"
        f" along its {'front' if notch.opens is Opens.FRONT else 'back'} edge."
    )
    if notch.top < piece.trim.edges.top - TOUCH:
        yield f"Seen from above: turn it over for the lower edge of the {piece.trim.name}, back line to the back edge."
    else:
        yield f"Seen from above. Lay it on the top edge of the {piece.trim.name}, back line to the back edge."


def _drawing(name: str, set_out: SetOut, piece: Piece, notch: Notch) -> Drawing:
    """Notch, pipe and the length of trim round it; station to the right of the notch's middle, out downwards."""
    back, _, front, _ = piece.trim.edges
    around = AROUND + notch.spread / 2
    marks: list[Mark] = []
    for out, opens in ((back, Opens.BACK), (front, Opens.FRONT)):
        marks += [polyline([(a, -out), (b, -out)], Layer.TRIM) for a, b in _edge(piece, notch, out, opens, around)]
    marks += _ends(piece, notch, around)
    for line in (*notch_lines(piece, notch), *plug_lines(piece, notch)):
        marks.append(polyline([(station - notch.station, -out) for station, out in line], Layer.CUT))
    for pipe in (leg for leg in set_out.room.legs if leg.vertical and leg.name in notch.pipes):
        station, out = piece.frame.locate(set_out.room.walls[pipe.wall].frame.plan(*pipe.start[:2]))
        marks.append(dot((station - notch.station, -out), pipe.radius, Layer.PIPE))
    reach = notch.radius + notch.spread / 2 + 8
    marks.append(polyline([(0.0, -back + 12), (0.0, -notch.out - reach)], Layer.CENTRE))
    marks.append(polyline([(-reach, -notch.out), (reach, -notch.out)], Layer.CENTRE))
    marks += lettered(_sizes(piece, notch), set_out.room.units)
    low, high = (_reach(piece, notch, side, (back + front) / 2, around) for side in Side)
    middle = (back + front) / 2
    spots = tuple(((x, -middle + y), Anchor.MIDDLE) for x in (low + 12, high - 14) for y in (0, 8, -8, 16, -16))
    labels = (Label(text=piece.id, spots=spots, height=5.0),)
    return Drawing(name, (*marks, *place(labels, marks, 1.0)))


def _reach(piece: Piece, notch: Notch, side: Side, out: float, around: float) -> float:
    """How far the piece is drawn at a distance out, from the notch's middle: to its end if that is near."""
    end = piece.end(side).at(out) - notch.station
    return max(end, -around) if side is Side.LEFT else min(end, around)


def _edge(piece: Piece, notch: Notch, out: float, opens: Opens, around: float) -> Iterator[tuple[float, float]]:
    """What there is of the back or the front edge on both sides of the notch's mouth."""
    low, high = (_reach(piece, notch, side, out, around) for side in Side)
    past = _past(notch, out)
    half = notch.spread / 2 + math.sqrt(max(0.0, notch.radius**2 - past**2))
    parts = ((low, min(-half, high)), (max(half, low), high)) if notch.opens is opens else ((low, high),)
    yield from ((a, b) for a, b in parts if b - a > TOUCH)


def _ends(piece: Piece, notch: Notch, around: float) -> Iterator[Mark]:
    """The ends of the piece as far as they are near enough to be drawn and not cut away."""
    back, _, front, _ = piece.trim.edges
    for side in Side:
        end = piece.end(side)
        places = [(end.at(out), out) for out in (back + (front - back) * k / STEPS for k in range(STEPS + 1))]
        shown = [abs(s - notch.station) < around and not _cut_away(notch, s, out) for s, out in places]
        for kept, run in groupby(zip(places, shown, strict=True), key=lambda seen: seen[1]):
            line = [(station - notch.station, -out) for (station, out), _ in run]
            if kept and len(line) > 1:
                yield polyline([line[0], line[-1]], Layer.JOINT)


def _cut_away(notch: Notch, station: float, out: float) -> bool:
    """True for a place in a notch."""
    aside = max(0.0, abs(station - notch.station) - notch.spread / 2)
    return math.hypot(aside, _past(notch, out)) < notch.radius


def _past(notch: Notch, out: float) -> float:
    """How far a distance out is past the notch's middle, where its sides are round: 0 where they run straight."""
    past = out - notch.out
    if notch.opens is Opens.HOLE:
        return past
    return min(0.0, past) if notch.opens is Opens.FRONT else max(0.0, past)


def _sizes(piece: Piece, notch: Notch) -> list[Dimension]:
    """Width of the notch's mouth in this piece, how far out its middle lies, and the depth of the section."""
    back, _, front, _ = piece.trim.edges
    half = notch.width / 2
    low = max(-half, piece.left.station - notch.station) if piece.left.slope == 0 else -half
    high = min(half, piece.right.station - notch.station) if piece.right.slope == 0 else half
    # Beside the notch where the piece goes on.
    (x, away), (y, off) = ((high + 4, -14.0), (low, 22.0)) if high > half - TOUCH else ((low - 4, 14.0), (high, -22.0))
    mouth = front if notch.opens is Opens.FRONT else back
    return [
        Dimension((low, -mouth), (high, -mouth), 8.0 + mouth - back, DimensionKind.HORIZONTAL),
        Dimension((x, -back), (x, -notch.out), away, DimensionKind.VERTICAL),
        Dimension((y, -back), (y, -front), off, DimensionKind.VERTICAL),
    ]
