"""Which ends and slots are marked from one template: those whose lines on the face are the same."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from trimwright.drawing.developed.lines import Marked, cut_line, slot_outlines
from trimwright.drawing.developed.strip import Strip
from trimwright.profile.outline import Point
from trimwright.setout.cutouts.notches import part_at
from trimwright.setout.piece import End, Joint, Notch, Piece, SetOut, Side, Trim
from trimwright.tolerance import COINCIDENT, OPEN_JOINT

__all__ = ["EndTemplate", "SlotTemplate", "end_templates", "slot_templates"]

MARKED = (Joint.MITRE, Joint.COPE, Joint.RETURN, Joint.SCARF)
"""A square end needs no template: the edge of any sheet, wrapped round, marks it."""


@dataclass(frozen=True, slots=True)
class EndTemplate:
    """The cut line of the first of some ends that are alike; stations are counted from its back edge."""

    ends: tuple[tuple[Piece, Side], ...]
    line: tuple[Point, ...]

    @property
    def side(self) -> Side:
        """The side of the pieces on which the ends are."""
        return self.ends[0][1]

    @property
    def end(self) -> End:
        """The end that is drawn."""
        return self.ends[0][0].end(self.side)


@dataclass(frozen=True, slots=True)
class SlotTemplate:
    """The outlines of one slot or of several alike; stations are counted from the middle of the slot."""

    slots: tuple[tuple[Piece, Notch], ...]
    outlines: tuple[tuple[Point, ...], ...]


def end_templates(set_out: SetOut, trim: Trim, strip: Strip) -> list[EndTemplate]:
    """The templates for the ends of a trim: mitres and copes by slope, each end no further from its line than
    twice `OPEN_JOINT`. The face of a bent piece does not unroll without stretching: it has a plan of its joint only.
    """
    straight = [p for p in set_out.of_trim(trim) if p.bend is None]
    ends = [(p, side) for p in straight for side in Side if p.end(side).joint in MARKED]
    ends.sort(key=lambda e: (*_kind(e), e[0].end(e[1]).slope))
    made: list[EndTemplate] = []
    for _, alike in groupby(ends, key=_kind):
        made += _gathered([(end, _line(set_out, *end, strip)) for end in alike])
    place = {piece.id: k for k, piece in enumerate(set_out.pieces)}
    return sorted(made, key=lambda t: (place[t.ends[0][0].id], t.side is Side.RIGHT))


def _kind(end: tuple[Piece, Side]) -> tuple[str, bool]:
    """Ends of different sides never share a template; copes not with plain cuts."""
    return (end[1].value, end[0].end(end[1]).joint is Joint.COPE)


def _gathered(lines: Sequence[tuple[tuple[Piece, Side], list[Marked]]]) -> Iterator[EndTemplate]:
    """Neighbours in slope together, as far as the steepest and the flattest stay within the tolerance."""
    group: list[tuple[tuple[Piece, Side], list[Marked]]] = []
    for entry in lines:
        if group and _apart(group[0], entry) > 2 * OPEN_JOINT:
            yield _template(group)
            group = []
        group.append(entry)
    if group:
        yield _template(group)


def _template(group: Sequence[tuple[tuple[Piece, Side], list[Marked]]]) -> EndTemplate:
    """The line in the middle of a group is drawn; its ends are listed from that one on, then by id."""
    chosen, line = group[len(group) // 2]
    others = sorted((end for end, _ in group if end is not chosen), key=lambda end: _number(end[0].id))
    return EndTemplate((chosen, *others), tuple(_relative(chosen, line)))


def _relative(end: tuple[Piece, Side], line: Sequence[Marked]) -> list[Point]:
    piece, side = end
    origin = piece.along(piece.end(side).at(piece.trim.edges.back), line[0].height)
    return [(p.station - origin, p.girth) for p in line]


def _apart(one: tuple[tuple[Piece, Side], list[Marked]], two: tuple[tuple[Piece, Side], list[Marked]]) -> float:
    """Greatest distance along the trim between two lines on the same strip."""
    a, b = _relative(*one), _relative(*two)
    return max(abs(_level_gap(a, b, girth)) for girth in {p[1] for p in (*a, *b)})


def _level_gap(one: Sequence[Point], two: Sequence[Point], girth: float) -> float:
    return _outermost(one, girth) - _outermost(two, girth)


def _outermost(line: Sequence[Point], girth: float) -> float:
    """The station of a line at a girth; where it runs along a fold, that of its far end."""
    found = None
    for (x0, y0), (x1, y1) in pairwise(line):
        if y0 - COINCIDENT <= girth <= y1 + COINCIDENT:
            found = x1 if y1 - y0 <= COINCIDENT else x0 + (x1 - x0) * (girth - y0) / (y1 - y0)
    return line[0][0] if found is None else found


def _number(name: str) -> tuple[int, str]:
    digits = "".join(c for c in name if c.isdigit())
    return (int(digits or 0), name)


def _line(set_out: SetOut, piece: Piece, side: Side, strip: Strip) -> list[Marked]:
    mate = piece.end(side).mate
    return cut_line(piece, side, strip, set_out.piece(mate) if mate is not None else None)


def slot_templates(set_out: SetOut, trim: Trim, strip: Strip) -> list[SlotTemplate]:
    """The templates for the slots of a trim; slots of one size share one, on one slope."""
    shapes: dict[tuple[object, ...], list[tuple[Piece, Notch]]] = {}
    for piece in set_out.of_trim(trim):
        for notch in piece.notches:
            size = tuple(round(v, 3) for v in (notch.out, notch.radius, notch.spread, notch.bottom, notch.top))
            key = (notch.opens, part_at(piece, notch), piece.incline, *size)
            shapes.setdefault(key, []).append((piece, notch))
    foot = strip.stretches[0].edge.start[1]

    def middle(piece: Piece, notch: Notch) -> float:
        """Along the piece, at the first edge of the strip."""
        return piece.along(notch.station, foot)

    return [
        SlotTemplate(
            tuple(slots),
            tuple(
                tuple((p.station - middle(*slots[0]), p.girth) for p in loop)
                for loop in slot_outlines(*slots[0], strip)
            ),
        )
        for slots in shapes.values()
    ]
