"""The cutting plan as bars: what is cut from each length, in order and to scale, and labels for what is kept.

Bars lie with the back edge of the trim uppermost, as one looks down on them. Lengths are to scale, widths are not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from trimwright.drawing.font import SMALLEST, fitted, text_width
from trimwright.drawing.layout import INSET, note_marks, room_for_views, wrapped
from trimwright.drawing.marks import Anchor, Drawing, Fill, Hatch, Layer, Mark, Text, polyline
from trimwright.drawing.paper import frame_marks, paper
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.wall import PIECE_SHADE
from trimwright.profile.outline import Line, Point
from trimwright.project.models import SawTable
from trimwright.setout.piece import Piece, SetOut
from trimwright.stock.buying import Buying
from trimwright.stock.offcuts import Offcut, trim_words
from trimwright.stock.plan import Bar
from trimwright.stock.trim_plan import TrimPlan
from trimwright.units import Units, value

__all__ = ["SCALES", "Blank", "Cutting", "blank_of", "cutting_of", "cutting_plan_sheets"]

SCALES = (1 / 5, 1 / 10, 1 / 20, 1 / 50, 1 / 100, 1 / 200)
"""The reduced scales of ISO 5455."""

BAR, PITCH, HEADING = 7.0, 17.0, 10.0
"""Height of a bar, from bar to bar, and room for the name of a trim, paper mm."""

TAG, TAGS = SMALLEST, 7.0
"""Lettering of the names of pieces too narrow to hold them, and room for a line of these, paper mm."""

LABEL_WIDTH, LABEL_HEIGHT = 60.0, 28.0
"""A label to be cut out and stuck on an offcut, paper mm."""

NOTES = (
    "Bars lie with the trim's back edge uppermost. Lengths are to scale and from long point to long point; widths are "
    "not to scale.",
    "Black lines are the kerf; what is hatched is left over. How the saw is set stands on the cutting cards.",
)

Draw = Callable[[float], Iterator[Mark]]


@dataclass(frozen=True, slots=True)
class Blank:
    """A piece as it lies on its bar: its name and length, and where its ends are, at back and front, from 0 on."""

    name: str
    length: float
    left: tuple[float, float]
    right: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """What is drawn: plans, what is kept, the blanks by the labels of the plans, and what each trim is, by name.

    `source` is what offcuts are left over from.
    """

    source: str
    units: Units
    plans: Sequence[TrimPlan]
    offcuts: Sequence[Offcut]
    blanks: Mapping[str, Blank]
    trims: Mapping[str, str]


def cutting_of(set_out: SetOut, buying: Buying) -> Cutting:
    """That of a room."""
    return Cutting(
        source=set_out.room.name,
        units=set_out.room.units,
        plans=buying.plans,
        offcuts=buying.offcuts,
        blanks={piece.id: blank_of(piece) for piece in set_out.pieces},
        trims=trim_words(set_out.trims),
    )


def blank_of(piece: Piece) -> Blank:
    """A piece laid on its bar; a bent one is drawn straight, as long as its longer side."""
    back, _, front, _ = piece.trim.edges
    low, high = piece.extent
    stretch = piece.length / (high - low)
    (left, left_front), (right, right_front) = (
        [(end.at(out) - low) * stretch for out in (back, front)] for end in (piece.left, piece.right)
    )
    return Blank(piece.id, piece.length, (left, left_front), (right, right_front))


@dataclass(frozen=True, slots=True)
class _Block:
    """Something of a height, drawn under a level; `keep` is what must follow it on the same sheet."""

    height: float
    draw: Draw
    keep: float = 0.0


def cutting_plan_sheets(cutting: Cutting, saw: SawTable, size: str) -> list[Sheet]:
    """Sheets without title blocks; none where no stock lengths are given."""
    bars = [bar for plan in cutting.plans for bar in plan.plan.bars]
    if not bars:
        return []
    sheet = paper(size)
    notes, foot = note_marks(NOTES, sheet)
    space = room_for_views(sheet, foot)
    longest = max(bar.stock.length for bar in bars)
    scale = next((s for s in SCALES if longest * s <= space.width), SCALES[-1])
    blocks = [*_bars(cutting, saw, scale, space.width), *_labels(cutting, scale, space.width)]
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


def _bars(cutting: Cutting, saw: SawTable, scale: float, width: float) -> Iterator[_Block]:
    """For each trim its name, then its bars."""
    kept = {offcut.pieces: offcut for offcut in cutting.offcuts}
    for plan in cutting.plans:
        bars = plan.plan.bars
        yield _heading(f"{plan.trim}: {len(bars)} {'bar' if len(bars) == 1 else 'bars'}; {plan.proof}", scale)
        for number, bar in enumerate(bars, 1):
            offcut = kept.get(tuple(part.label for part in bar.pieces))
            narrow = any(not _is_wide(cutting.blanks[part.label], scale) for part in bar.pieces)
            height = PITCH + (TAGS if narrow else 0.0)
            yield _Block(height, _bar(cutting, bar, f"{plan.trim} {number}", saw, offcut, scale, width))


def _heading(text: str, scale: float) -> _Block:
    def draw(level: float) -> Iterator[Mark]:
        yield Text((0.0, (level - 6.5) / scale), text, 3.5)

    return _Block(HEADING, draw, keep=PITCH)


def _bar(
    cutting: Cutting, bar: Bar, name: str, saw: SawTable, offcut: Offcut | None, scale: float, width: float
) -> Draw:
    """One bar with its heading above it, lengths below it, and below those the names of pieces too narrow for them."""

    def draw(level: float) -> Iterator[Mark]:
        top, foot = (level - 4.5) / scale, (level - 4.5 - BAR) / scale
        length = bar.stock.length
        words = f"{offcut.name}: {offcut.length}" if offcut else value(bar.waste)
        about = [cutting.units.written(length)]
        about += ["owned"] if bar.stock.owned else []
        about += [] if _fits(words, bar.waste, scale) else [f"{words} left"]
        yield Text((0.0, (level - 3.4) / scale), f"{name}: {', '.join(about)}", 2.5)
        at = saw.end_trim
        tags: list[tuple[float, str]] = []
        if at:
            yield _waste(0.0, at, foot, top)
        for k, part in enumerate(bar.pieces):
            piece = cutting.blanks[part.label]
            if k:
                yield Fill(_box(at, at + saw.kerf, foot, top), Layer.CUT, 0.0)
                at += saw.kerf
            yield from _piece(piece, at, (foot, top), scale, cutting.units)
            if not _is_wide(piece, scale):
                tags.append(((at + piece.length / 2) * scale, f"{piece.name}: {value(piece.length)}"))
            at += part.length
        if length - at > saw.kerf:
            yield Fill(_box(at, at + saw.kerf, foot, top), Layer.CUT, 0.0)
            yield _waste(at + saw.kerf, length, foot, top)
            if _fits(words, bar.waste, scale):
                place = ((at + saw.kerf + length) / 2, (foot + top) / 2)
                yield Text(place, words, SMALLEST, anchor=Anchor.MIDDLE, ground=True)
        yield polyline([(0.0, foot), (length, foot), (length, top), (0.0, top)], Layer.SECTION, closed=True)
        yield from _tags(tags, foot * scale, width, scale)

    return draw


def _is_wide(piece: Blank, scale: float) -> bool:
    """True if there is room for its name in it and for its length under it."""
    return _fits(piece.name, piece.length, scale) and _fits(value(piece.length), piece.length, scale)


def _tags(tags: Sequence[tuple[float, str]], foot: float, width: float, scale: float) -> Iterator[Mark]:
    """Names on a line of their own, each with a leader to its piece: as near as they go, none over another."""
    halves = [text_width(words, TAG) / 2 for _, words in tags]
    for (middle, words), at in zip(tags, _spread([middle for middle, _ in tags], halves, width), strict=True):
        low = foot - 6.5
        leader = [(middle, foot - 0.5), (middle, foot - 4.2), (at, low)]
        yield polyline([(x / scale, y / scale) for x, y in leader], Layer.DIMENSION)
        yield Text((at / scale, (low - 0.4) / scale), words, TAG, anchor=Anchor.TOP)


def _spread(wanted: Sequence[float], halves: Sequence[float], width: float) -> list[float]:
    """Middles of texts in a row near those wanted, clear of each other: midway between pushed right and pushed left."""
    right, left = list(wanted), list(wanted)
    for k in range(len(wanted)):
        right[k] = max(wanted[k], right[k - 1] + halves[k - 1] + 1.5 + halves[k] if k else halves[k])
    for k in range(len(wanted) - 1, -1, -1):
        limit = left[k + 1] - halves[k + 1] - 1.5 if k + 1 < len(wanted) else width
        left[k] = min(wanted[k], limit - halves[k])
    middles = [(a + b) / 2 for a, b in zip(right, left, strict=True)]
    over = max(0.0, middles[-1] + halves[-1] - width) if middles else 0.0
    under = max(0.0, halves[0] - middles[0]) if middles else 0.0
    return [m - over + under for m in middles]


def _piece(piece: Blank, at: float, levels: tuple[float, float], scale: float, units: Units) -> Iterator[Mark]:
    """A piece with its end cuts from back (above) to front, its name in it and its length under it."""
    foot, top = levels
    lefts, rights = ([at + x for x in end] for end in (piece.left, piece.right))
    corners = [(lefts[0], top), (rights[0], top), (rights[1], foot), (lefts[1], foot)]
    yield Fill(_loop(corners), Layer.TRIM, PIECE_SHADE)
    yield polyline(corners, Layer.TRIM, closed=True)
    middle = at + piece.length / 2
    if _is_wide(piece, scale):
        name, height = fitted(piece.name, piece.length * scale - 0.5, 3.5)
        yield Text((middle, (foot + top) / 2), name, height, anchor=Anchor.MIDDLE)
        both = units.written(piece.length)
        words = both if _fits(both, piece.length, scale) else value(piece.length)
        yield Text((middle, foot - 1.0 / scale), words, 2.5, anchor=Anchor.TOP)


def _fits(words: str, length: float, scale: float) -> bool:
    return text_width(words, SMALLEST) + 1.0 <= length * scale


def _waste(left: float, right: float, foot: float, top: float) -> Mark:
    return Hatch(_box(left, right, foot, top), Layer.HATCHING, spacing=1.6)


def _labels(cutting: Cutting, scale: float, width: float) -> Iterator[_Block]:
    """Rows of labels to cut out."""
    offcuts = cutting.offcuts
    if not offcuts:
        return
    yield _heading("Labels for what is worth keeping: cut out and stick on", scale)
    across = max(1, int(width // LABEL_WIDTH))
    for first in range(0, len(offcuts), across):
        yield _Block(LABEL_HEIGHT + INSET, _label_row(cutting, offcuts[first : first + across], scale))


def _label_row(cutting: Cutting, offcuts: Sequence[Offcut], scale: float) -> Draw:
    def draw(level: float) -> Iterator[Mark]:
        for k, offcut in enumerate(offcuts):
            left, right = k * LABEL_WIDTH, (k + 1) * LABEL_WIDTH
            what = wrapped(cutting.trims[offcut.trim], LABEL_WIDTH - 2 * INSET, 2.5)[:2]
            lines = (
                (offcut.name, 5.0, 7.5),
                (f"{offcut.trim}, {cutting.units.written(offcut.length)}", 3.5, 12.5),
                *((line.strip(), 2.5, 17.0 + 4.0 * k) for k, line in enumerate(what)),
                (f"left over from {cutting.source}", 2.5, 25.0),
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
