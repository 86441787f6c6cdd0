"""The cutting plan as bars: what is cut from each length, in order and to scale, and labels for what is kept.

Bars lie with the back edge of the trim uppermost, as one looks down on them. Lengths are to scale, widths are not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from trimwright.drawing.font import fitted, text_width
from trimwright.drawing.layout import INSET, note_marks, room_for_views
from trimwright.drawing.marks import Anchor, Drawing, Fill, Hatch, Layer, Mark, Text, polyline
from trimwright.drawing.paper import frame_marks, paper
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.wall import PIECE_SHADE
from trimwright.profile.outline import Line, Point
from trimwright.project.models import SawTable
from trimwright.setout.piece import Piece, SetOut
from trimwright.stock.buying import Buying
from trimwright.stock.offcuts import Offcut
from trimwright.stock.plan import Bar
from trimwright.units import value

__all__ = ["SCALES", "cutting_plan_sheets"]

SCALES = (1 / 5, 1 / 10, 1 / 15, 1 / 20, 1 / 25, 1 / 50, 1 / 100, 1 / 200)
"""The reduced scales of ISO 5455, and 1:15 and 1:25 between them."""

BAR, PITCH, HEADING = 7.0, 17.0, 10.0
"""Height of a bar, from bar to bar, and room for the name of a trim, paper mm."""

LABEL_WIDTH, LABEL_HEIGHT = 60.0, 24.0
"""A label to be cut out and stuck on an offcut, paper mm."""

NOTES = (
    "Bars lie with the trim's back edge uppermost. Lengths are to scale and from long point to long point; widths are "
    "not to scale.",
    "Black lines are the kerf; what is hatched is left over. How the saw is set stands on the cutting cards.",
)

Draw = Callable[[float], Iterator[Mark]]


@dataclass(frozen=True, slots=True)
class _Block:
    """Something of a height, drawn under a level; `keep` is what must follow it on the same sheet."""

    height: float
    draw: Draw
    keep: float = 0.0


def cutting_plan_sheets(set_out: SetOut, buying: Buying, saw: SawTable, size: str) -> list[Sheet]:
    """Sheets without title blocks; none where no stock lengths are given."""
    bars = [bar for plan in buying.plans for bar in plan.plan.bars]
    if not bars:
        return []
    sheet = paper(size)
    notes, foot = note_marks(NOTES, sheet)
    space = room_for_views(sheet, foot)
    longest = max(bar.stock.length for bar in bars)
    scale = next((s for s in SCALES if longest * s <= space.width), SCALES[-1])
    blocks = [*_bars(set_out, buying, saw, scale), *_labels(set_out, buying.offcuts, scale, space.width)]
    pages = _paged(blocks, space.height)
    return [
        Sheet(
            name=f"cutting-plan-{k}",
            title="Cutting plan" if len(pages) == 1 else f"Cutting plan, {k} of {len(pages)}",
            width=sheet.width,
            height=sheet.height,
            views=(
                View(
                    drawing=Drawing(f"cutting-plan-{k}", marks),
                    scale=scale,
                    model=(0.0, 0.0),
                    paper=(space.left, space.top),
                ),
            ),
            marks=(*frame_marks(sheet), *notes),
            description="Which pieces are cut from which length, and what is left",
        )
        for k, marks in enumerate(pages, 1)
    ]


def _paged(blocks: Sequence[_Block], height: float) -> list[tuple[Mark, ...]]:
    """The blocks one under the other, on as many pages as they take."""
    pages: list[list[Mark]] = [[]]
    level = 0.0
    for block in blocks:
        if level and level + block.height + block.keep > height:
            pages.append([])
            level = 0.0
        pages[-1] += block.draw(-level)
        level += block.height
    return [tuple(page) for page in pages]


def _bars(set_out: SetOut, buying: Buying, saw: SawTable, scale: float) -> Iterator[_Block]:
    """For each trim its name, then its bars."""
    kept = {offcut.pieces: offcut for offcut in buying.offcuts}
    for plan in buying.plans:
        bars = plan.plan.bars
        yield _heading(f"{plan.trim}: {len(bars)} {'bar' if len(bars) == 1 else 'bars'}; {plan.proof}", scale)
        for number, bar in enumerate(bars, 1):
            offcut = kept.get(tuple(part.label for part in bar.pieces))
            yield _Block(PITCH, _bar(set_out, bar, number, saw, offcut, scale))


def _heading(text: str, scale: float) -> _Block:
    def draw(level: float) -> Iterator[Mark]:
        yield Text((0.0, (level - 6.5) / scale), text, 3.5)

    return _Block(HEADING, draw, keep=PITCH)


def _bar(set_out: SetOut, bar: Bar, number: int, saw: SawTable, offcut: Offcut | None, scale: float) -> Draw:
    """One bar with its heading above it and lengths below it."""

    def draw(level: float) -> Iterator[Mark]:
        top, foot = (level - 4.5) / scale, (level - 4.5 - BAR) / scale
        length = bar.stock.length
        words = f"{offcut.name}: {offcut.length}" if offcut else value(bar.waste)
        about = [set_out.room.units.written(length)]
        about += ["owned"] if bar.stock.owned else []
        about += [] if _fits(words, bar.waste, scale) else [f"{words} left"]
        yield Text((0.0, (level - 3.4) / scale), f"{number}: {', '.join(about)}", 2.5)
        at = saw.end_trim
        if at:
            yield _waste(0.0, at, foot, top)
        for k, part in enumerate(bar.pieces):
            piece = set_out.piece(part.label)
            if k:
                yield Fill(_box(at, at + saw.kerf, foot, top), Layer.CUT, 0.0)
                at += saw.kerf
            yield from _piece(piece, at, foot, top, scale)
            at += part.length
        if length - at > saw.kerf:
            yield Fill(_box(at, at + saw.kerf, foot, top), Layer.CUT, 0.0)
            yield _waste(at + saw.kerf, length, foot, top)
            yield from _under(words, (at + length) / 2, length - at, foot, scale)
        yield polyline([(0.0, foot), (length, foot), (length, top), (0.0, top)], Layer.SECTION, closed=True)

    return draw


def _piece(piece: Piece, at: float, foot: float, top: float, scale: float) -> Iterator[Mark]:
    """A piece with its end cuts from back (above) to front, its id in it and its length under it."""
    back, _, front, _ = piece.trim.edges
    low, high = piece.extent
    stretch = piece.length / (high - low)
    lefts, rights = ([at + (end.at(out) - low) * stretch for out in (back, front)] for end in (piece.left, piece.right))
    corners = [(lefts[0], top), (rights[0], top), (rights[1], foot), (lefts[1], foot)]
    yield Fill(_loop(corners), Layer.TRIM, PIECE_SHADE)
    yield polyline(corners, Layer.TRIM, closed=True)
    middle, room = at + piece.length / 2, piece.length * scale - 1.0
    name, height = fitted(piece.id, max(room, text_width(piece.id, 1.8)), 3.5)
    yield Text((middle, (foot + top) / 2), name, height, anchor=Anchor.MIDDLE, ground=text_width(name, height) > room)
    yield from _under(value(piece.length), middle, piece.length, foot, scale)


def _under(words: str, middle: float, length: float, foot: float, scale: float) -> Iterator[Mark]:
    """Words under a part of a bar, if there is room for them."""
    if _fits(words, length, scale):
        yield Text((middle, foot - 1.0 / scale), *fitted(words, length * scale, 2.5), anchor=Anchor.TOP)


def _fits(words: str, length: float, scale: float) -> bool:
    return text_width(words, 1.8) <= length * scale


def _waste(left: float, right: float, foot: float, top: float) -> Mark:
    return Hatch(_box(left, right, foot, top), Layer.HATCHING, spacing=1.6)


def _labels(set_out: SetOut, offcuts: Sequence[Offcut], scale: float, width: float) -> Iterator[_Block]:
    """Rows of labels to cut out."""
    if not offcuts:
        return
    yield _heading("Labels for what is worth keeping: cut out and stick on", scale)
    across = max(1, int(width // LABEL_WIDTH))
    for first in range(0, len(offcuts), across):
        yield _Block(LABEL_HEIGHT + INSET, _label_row(set_out, offcuts[first : first + across], scale))


def _label_row(set_out: SetOut, offcuts: Sequence[Offcut], scale: float) -> Draw:
    def draw(level: float) -> Iterator[Mark]:
        for k, offcut in enumerate(offcuts):
            trim = next(t for t in set_out.trims if t.name == offcut.trim)
            left, right = k * LABEL_WIDTH, (k + 1) * LABEL_WIDTH
            size = f"{trim.section.name} {value(trim.section.drop)} x {value(trim.section.projection)}"
            lines = (
                (offcut.name, 5.0, 7.5),
                (f"{offcut.trim}, {set_out.room.units.written(offcut.length)}", 3.5, 12.5),
                (f"{size}, {trim.material.name}", 2.5, 17.0),
                (f"left over from {set_out.room.name}", 2.5, 21.0),
            )
            corners = [(left, level), (right, level), (right, level - LABEL_HEIGHT), (left, level - LABEL_HEIGHT)]
            yield polyline([(x / scale, y / scale) for x, y in corners], Layer.CUT, closed=True)
            for words, most, below in lines:
                text, height = fitted(words, LABEL_WIDTH - 2 * INSET, most)
                yield Text(((left + INSET) / scale, (level - below) / scale), text, height)

    return draw


def _box(left: float, right: float, foot: float, top: float) -> tuple[Line, ...]:
    return _loop([(left, foot), (right, foot), (right, top), (left, top)])


def _loop(points: Sequence[Point]) -> tuple[Line, ...]:
    return tuple(Line(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True))
