"""What is drawn on one strip: its outline, the folds, the bold line, what is waste, and the words that guide it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trimwright.drawing.developed.groups import EndTemplate, SlotTemplate
from trimwright.drawing.developed.strip import Strip
from trimwright.drawing.font import text_width
from trimwright.drawing.marks import Anchor, Drawing, Hatch, Layer, Mark, Text, polyline
from trimwright.profile.outline import Point
from trimwright.setout.piece import Joint, Side
from trimwright.units import Units, value

__all__ = ["end_drawing", "end_name", "end_words", "slot_drawing", "slot_name", "slot_words"]

KEEP, NAMED = 48.0, 26.0
"""Paper on the kept side of the line, so that the strip can be laid square; the part of it that holds the name."""

WASTE = 12.0
"""Paper past the line."""

AROUND = 38.0
"""Paper on each side of a slot: it holds what the edge goes against."""

NAME, LESSER, SMALL = 5.0, 3.5, 2.5
"""Heights of lettering: names, names where there is less room, words."""

INSET, NEAR = 1.6, 0.8
"""From an edge of the paper to its words, and where a fold runs close to the edge."""

SIDE, COLUMN = 2.0, 13.0
"""From the side of the paper to the first column of fold names, and from one column to the next."""


def end_drawing(template: EndTemplate, strip: Strip) -> Drawing:
    """The strip for an end: 0 across is the end of the piece's back edge, 0 up the first edge of the face."""
    xs = [0.0, *(x for x, _ in template.line)]
    right = template.side is Side.RIGHT
    keep = max(KEEP, SIDE + COLUMN * _column_count(strip) + NAMED)
    low, high = min(xs) - (keep if right else WASTE), max(xs) + (WASTE if right else keep)
    far, waste = (low, high) if right else (high, low)
    inward = 1.0 if right else -1.0
    marks: list[Mark] = list(_paper(strip, low, high))
    loop = [*template.line, (waste, strip.girth), (waste, 0.0)]
    marks.append(Hatch(polyline(loop, Layer.HATCHING, closed=True).segments, angle=45.0, spacing=3.0))
    marks.append(polyline(template.line, Layer.JOINT))
    marks += _back_mark(strip, template.line[0][0], waste)
    marks += _fold_words(strip, far, inward)
    marks += _edge_words(strip, far, inward)
    piece, side = template.ends[0]
    marks += _name(end_name(template), "keep this side", far, inward, strip)
    return Drawing(f"developed-{piece.id}-{side.value}", tuple(marks))


def end_name(template: EndTemplate) -> str:
    """The end that is drawn: 'C1 left'."""
    piece, side = template.ends[0]
    return f"{piece.id} {side.value}"


def end_words(template: EndTemplate) -> list[str]:
    """Under the strip: the ends it marks, and what to do there."""
    names = [f"{piece.id} {side.value}" for piece, side in template.ends]
    corners = [c for p, s in template.ends if (c := p.end(s).corner) is not None]
    joint = template.end.joint
    words = [f"{joint.value.capitalize()}: {', '.join(names)}."]
    if joint is Joint.SCARF:
        words.append("At 45° to the wall.")
    elif corners and joint is not Joint.RETURN:
        words.append(_corner_words(corners))
    if joint is Joint.COPE:
        words.append("Saw along the line, leaning to cut the back away.")
    return words


def _corner_words(corners: Sequence[float]) -> str:
    """The angles as a fitter reads them: of an external corner that of the solid."""
    external = corners[0] > 180
    read = sorted({round(360 - c if external else c, 2) for c in corners})
    span = f"{read[0]:g}°" if len(read) == 1 else f"{read[0]:g}° to {read[-1]:g}°"
    return f"{'External' if external else 'Internal'} corner {span}."


def slot_drawing(template: SlotTemplate, strip: Strip) -> Drawing:
    """The strip for a slot: 0 across is the middle of the slot."""
    piece, notch = template.slots[0]
    low, high = -notch.width / 2 - AROUND, notch.width / 2 + AROUND
    marks: list[Mark] = list(_paper(strip, low, high))
    for loop in template.outlines:
        marks.append(Hatch(polyline(loop, Layer.HATCHING, closed=True).segments, angle=45.0, spacing=3.0))
        marks.append(polyline(loop, Layer.JOINT, closed=True))
    marks.append(polyline([(0.0, 0.0), (0.0, strip.girth)], Layer.CENTRE))
    marks += _fold_words(strip, low, 1.0)
    marks += _edge_words(strip, low, 1.0)
    marks += _name(f"{piece.id}", f"slot {notch.pipe}", high, -1.0, strip)
    return Drawing(f"developed-{piece.id}-{notch.pipe}", tuple(marks))


def slot_name(template: SlotTemplate) -> str:
    """The slot that is drawn: 'C1 slot flow'."""
    piece, notch = template.slots[0]
    return f"{piece.id} slot {notch.pipe}"


def slot_words(template: SlotTemplate, units: Units) -> list[str]:
    """Under the strip: which slots, and where their middles lie."""
    middles = [(p, n, n.station - p.left.at(p.trim.edges.back)) for p, n in template.slots]
    return [
        f"Slot for {n.pipe} in {p.id}: middle {units.written(middle)} from the left end along the back edge."
        for p, n, middle in middles
    ]


def _paper(strip: Strip, low: float, high: float) -> Iterator[Mark]:
    """The line to cut the paper out by, and the folds."""
    yield polyline([(low, 0.0), (high, 0.0), (high, strip.girth), (low, strip.girth)], Layer.TITLE, closed=True)
    for fold in strip.folds:
        yield polyline([(low, fold.girth), (high, fold.girth)], Layer.HIDDEN)


def _back_mark(strip: Strip, start: float, waste: float) -> Iterator[Mark]:
    """Where the back edge of the piece ends: a short line square to the edge, named where it is not the cut itself."""
    yield polyline([(0.0, 0.0), (0.0, min(4.0, strip.girth / 4))], Layer.JOINT)
    if abs(start) > 1.0:
        anchor = Anchor.BASE_LEFT if waste > 0 else Anchor.BASE_RIGHT
        along = 0.8 if waste > 0 else -0.8
        yield Text((along, 1.0), "0", SMALL, anchor=anchor, ground=True)


def _columns(strip: Strip) -> list[int]:
    """The column in which each fold is named: the first whose last name is far enough below."""
    levels: list[float] = []
    columns = []
    for fold in strip.folds:
        column = next((k for k, level in enumerate(levels) if fold.girth - level >= 2 * SMALL), len(levels))
        levels[column : column + 1] = [fold.girth]
        columns.append(column)
    return columns


def _column_count(strip: Strip) -> int:
    return max(_columns(strip), default=0) + 1


def _fold_words(strip: Strip, far: float, inward: float) -> Iterator[Mark]:
    """Letter and girth of each fold, on its line."""
    anchor = Anchor.LEFT if inward > 0 else Anchor.RIGHT
    for fold, column in zip(strip.folds, _columns(strip), strict=True):
        at = (far + inward * (SIDE + column * COLUMN), fold.girth)
        yield Text(at, f"{fold.letter} {value(fold.girth)}", SMALL, anchor=anchor, ground=True)


def _edge_words(strip: Strip, far: float, inward: float) -> Iterator[Mark]:
    """What the two edges of the paper go against; beside the names where a fold runs close to the edge."""
    first = strip.folds[0].girth if strip.folds else strip.girth / 2
    last = strip.girth - (strip.folds[-1].girth if strip.folds else strip.girth / 2)
    column = "left" if inward > 0 else "right"
    for edge, room, base, up, row in (
        (strip.first, first, 0.0, 1.0, "base"),
        (strip.last, last, strip.girth, -1.0, "top"),
    ):
        wide, close = room >= SMALL + 2 * INSET, room < SMALL + 2 * NEAR
        at = (
            far + inward * (SIDE + (COLUMN if close else 0.0)),
            base + up * (INSET if wide else NEAR),
        )
        words = f"this edge to the {edge}"
        yield Text(at, words, SMALL, anchor=Anchor(f"{row} {column}"), ground=close)


def _name(name: str, words: str, far: float, inward: float, strip: Strip) -> Sequence[Mark]:
    """The name in the middle of the kept part, past the names of the folds, and what to do with that part under it."""
    columns = _column_count(strip)
    height = SMALL if strip.girth < 40 else NAME if columns == 1 else LESSER
    half = max(text_width(words, SMALL), text_width(name, height)) / 2
    middle: Point = (far + inward * (SIDE + columns * COLUMN + half), strip.girth / 2)
    return (
        Text((middle[0], middle[1] + 1.0), name, height, anchor=Anchor.BASE, ground=True),
        Text((middle[0], middle[1] - 1.0), words, SMALL, anchor=Anchor.TOP, ground=True),
    )
