"""The lists of the pack as plain rows: the terminal, the CSV files and the page print these and compute nothing."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence

from trimwright.ceiling import SEEN, Gap, ceiling_words, gaps, strips
from trimwright.clearance.clearance import Clearance
from trimwright.drawing.hollow_words import hollow_words, notch_levels
from trimwright.pack.table import Cell, Lengths, Table, lengths_of
from trimwright.room import Room
from trimwright.saw.settings import Setting
from trimwright.setout.curved.bends import bend_words
from trimwright.setout.cutouts.notches import part_at
from trimwright.setout.piece import End, Joint, Notch, Opens, Piece, SetOut, Side
from trimwright.survey.adjust import Survey
from trimwright.survey.report import rows as survey_rows
from trimwright.units import Units

__all__ = [
    "ceiling_table",
    "checked_table",
    "clashes_first",
    "clearance_table",
    "cut_table",
    "end_words",
    "notch_words",
    "piece_table",
    "survey_table",
]

LENGTHS = ("length", "at back", "at front")

CEILING_HEADERS = ("trim", "wall", "at", "from left", "gap to ceiling", "what for")


def cut_table(set_out: SetOut, settings: Iterable[Setting]) -> Table:
    """A row for each end of each piece: where it is, how long, and how the saw is set."""
    rows = []
    for setting in settings:
        piece = set_out.piece(setting.piece)
        end = piece.end(setting.end)
        rows.append(
            (
                piece.id,
                piece.trim.name,
                set_out.room.walls[piece.wall].name,
                round(piece.length, 1),
                round(piece.back_length, 1),
                round(piece.front_length, 1),
                str(setting.end),
                end_words(end),
                str(setting.method),
                round(abs(setting.printed.swing), 3),
                _doubt(set_out, piece, setting.end),
                setting.printed.arm,
                round(abs(setting.printed.lean), 3),
                setting.printed.tilt,
                setting.place,
                setting.on_bed,
                setting.against_fence,
                setting.then,
            )
        )
    headers = (
        "piece",
        "trim",
        "wall",
        "length",
        "at back",
        "at front",
        "end",
        "joint",
        "held",
        "mitre",
        "±",
        "arm to",
        "bevel",
        "blade leans",
        "kept piece",
        "on bed",
        "against fence",
        "then",
    )
    return Table("Cut list", headers, tuple(rows), lengths_of(headers, rows, LENGTHS))


def _doubt(set_out: SetOut, piece: Piece, side: Side) -> str | float:
    """How sure the mitre is, two standard deviations: half of the corner's. Above half a degree, cut a test piece."""
    joint = piece.end(side).joint
    if joint not in (Joint.MITRE, Joint.COPE) or piece.end(side).seam:
        return ""
    room = set_out.room
    corner = room.corner_left(piece.wall) if side is Side.LEFT else room.corner_right(piece.wall)
    return round(corner.angle_sd, 1) if corner and corner.angle_sd is not None else ""


def piece_table(set_out: SetOut) -> Table:
    """A row for each piece: what a fitter checks before walking to the saw."""
    rows = tuple(
        (
            piece.id,
            piece.trim.name + (" (return)" if piece.is_return else " (bent)" if piece.bend else ""),
            set_out.room.walls[piece.wall].name,
            round(piece.length, 1),
            round(piece.back_length, 1),
            round(piece.front_length, 1),
            end_words(piece.left),
            end_words(piece.right),
            "; ".join(filter(None, (bend_words(piece, set_out.room.units), notch_words(piece, set_out.room.units)))),
        )
        for piece in set_out.pieces
    )
    headers = ("piece", "trim", "wall", "length", "at back", "at front", "left end", "right end", "notches")
    return Table("Pieces", headers, rows, lengths_of(headers, rows, LENGTHS))


def clearance_table(found: Iterable[Clearance], room: Room) -> Table:
    """A row for each near obstacle of each piece, with the place of the least gap on the wall of the piece.

    Clashes come first; a gap below 0 says that they lie in each other by as much.
    """
    rows = tuple(
        (
            c.trim,
            c.piece,
            c.obstacle,
            round(c.wanted, 1),
            round(c.actual, 1),
            room.walls[c.at.wall].name,
            round(c.at.station, 1) + 0.0,
            round(c.at.out, 1) + 0.0,
            round(c.at.height, 1),
            "ok" if c.ok else "CLASH",
        )
        for c in clashes_first(found)
    )
    headers = ("trim", "piece", "obstacle", "gap wanted", "gap", "wall", "from left", "out", "height", "verdict")
    return Table("Clearances", headers, rows, lengths_of(headers, rows, (*headers[3:5], *headers[6:9])))


def checked_table(found: Iterable[Clearance], room: Room) -> Table:
    """The same for a terminal: lengths as they stand on the tape, and no more columns than 80 characters hold."""
    read = room.units.read

    def cell(length: float) -> Cell:
        return round(length, 1) if room.units is Units.MM else read(length)

    rows = tuple(
        (
            f"{c.piece} {c.trim}",
            c.obstacle,
            cell(c.wanted),
            cell(c.actual),
            f"{room.walls[c.at.wall].name}, {read(c.at.station)}",
            cell(c.at.height),
            "ok" if c.ok else "CLASH",
        )
        for c in clashes_first(found)
    )
    return Table("Clearances", ("piece", "near", "wanted", "gap", "wall, from left", "height", "verdict"), rows)


def clashes_first(found: Iterable[Clearance]) -> list[Clearance]:
    """Clashes, the worst first, then the rest as they come."""
    return sorted(found, key=lambda c: (c.ok, 0.0 if c.ok else round(c.actual - c.wanted, 1)))


def survey_table(survey: Survey, names: Sequence[str]) -> Table:
    """A row for each reading: as read, what the room makes of it, how well the others check it."""
    rows = tuple(
        (r.reading, r.measured, r.adjusted, r.difference, r.checked, r.verdict) for r in survey_rows(survey, names)
    )
    lengths = (
        Lengths("as read", tuple(c.reading.value if c.reading.in_mm else None for c in survey.checks)),
        Lengths("adjusted", tuple(round(c.adjusted, 1) if c.reading.in_mm else None for c in survey.checks)),
    )
    headers = ("reading", "as read", "adjusted", "difference", "checked by others", "verdict")
    return Table("Survey", headers, rows, lengths)


def ceiling_table(set_out: SetOut) -> Table:
    """A row for each gap to fill or scribe, and for each margin above a rail, of a ceiling that is not level."""
    room = set_out.room
    if not ceiling_words(room):
        return Table("Ceiling", CEILING_HEADERS, ())
    found = gaps(set_out)
    scribed = {(s.trim.name, s.wall) for s in strips(set_out) if s.scribed}
    rows = tuple(
        (
            g.trim,
            room.walls[g.wall].name,
            f"corner {g.corner}" if g.corner else "between",
            round(g.station, 1),
            round(g.gap, 1),
            _purpose(g, scribed),
        )
        for g in found
    )
    return Table("Ceiling", CEILING_HEADERS, rows, lengths_of(CEILING_HEADERS, rows, ("from left", "gap to ceiling")))


def _purpose(gap: Gap, scribed: Container[tuple[str, int]]) -> str:
    """What becomes of a gap: nothing where it is the margin over a rail."""
    if gap.open:
        return "scribe" if (gap.trim, gap.wall) in scribed else "fill"
    if gap.gap > SEEN:
        return "margin"
    return "touches" if gap.gap > -SEEN else "ceiling in the way"


def end_words(end: End) -> str:
    """'mitre to C3', 'square', 'cope over P2'."""
    if end.mate is None:
        return str(end.joint)
    return f"{end.joint} {'over' if end.joint is Joint.COPE else 'to'} {end.mate}"


def notch_words(piece: Piece, units: Units = Units.MM) -> str:
    """Each notch, groove and housing in words, stations measured from the long point of the left end."""
    start = piece.extent[0]
    slots = (
        f"{n.pipe}: {_what_of(piece, n)}{units.written(n.width)} wide, {units.written(n.depth)} deep from the"
        f" {Opens.BACK if n.opens == Opens.HOLE else n.opens}, middle {_from_left(n.station - start, units)}"
        + "".join(f", {levels}" for levels in (notch_levels(piece, n, units),) if levels)
        for n in piece.notches
    )
    return "; ".join([*slots, *(hollow_words(piece, hollow, units) for hollow in piece.hollows)])


def _from_left(station: float, units: Units) -> str:
    return f"{units.written(abs(station))} {'from the left' if station >= 0 else 'beyond the left end'}"


def _what_of(piece: Piece, cut: Notch) -> str:
    """What a notch is if it is no slot of one piece."""
    side = part_at(piece, cut)
    if side is not None:
        return f"the {side} end's part of a {'hole' if cut.opens is Opens.HOLE else 'slot'} "
    return "hole with a plug, " if cut.opens is Opens.HOLE else ""
