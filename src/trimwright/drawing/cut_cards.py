"""Cutting cards, six to a page, in the order of cutting, after a list of the settings: what is taken to the saw.

A card shows one end at the saw: what lies where, which way the arm goes, which way the blade leans, which part is
kept, each in a word that is read at arm's length, an arrow and a picture. The waste is hatched. Nothing is told by
colour. Cards can be cut apart and lie with their pieces.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from trimwright.drawing.card_views import bench_of, from_above, from_the_front, from_the_left
from trimwright.drawing.font import fitted, text_width
from trimwright.drawing.layout import wrapped
from trimwright.drawing.marks import Anchor, Drawing, Fill, Layer, Mark, Text, polyline
from trimwright.drawing.paper import paper
from trimwright.drawing.sheet import Sheet, View
from trimwright.profile.outline import Line, Point
from trimwright.saw.order import Cut, Visit, visits
from trimwright.saw.settings import Setting
from trimwright.setout.curved.bends import bend_words
from trimwright.setout.piece import Joint, Piece, SetOut
from trimwright.units import Units

__all__ = ["CardPlace", "card_places", "cut_cards"]

ACROSS, DOWN = 2, 3
"""Cards on a page."""

FOOT = 7.0
"""Height of the line at the foot of a page, paper mm."""

INSET = 3.0
"""Kept free inside a card."""

PLATES = 34.0
"""Width of the column with the three words to obey."""

LETTERS = 2.5
"""Height of the words at the foot of a card."""

FEET = ((3, 12.6, 3.5, 8.6, 3.6), (4, 14.1, LETTERS, 10.8, 3.3))
"""How those lie: the most lines, level and height of the length, level of the first, pitch; closer where they must."""

HEAD, WORDS = 13.5, 17.0
"""Height of the name at the head of a card and of the words at its foot."""

ABOVE = 0.62
"""Part of the height between them that is given to the view from above."""

SHORT = 200.0
"""A piece shorter than this cannot be held by hand clear of the blade, mm. Common practice."""


ORDER_WORDS = (
    "Cut all pieces a little over length first. Set the saw once for each number; long pieces come first.",
    "A stop is measured along the fence, from the kept side of the blade to the farthest point of the other end.",
    "The kerf falls in the waste. Prove each setting with two offcuts before the first mitre is cut.",
    "Guards on, eyes and ears covered, hands clear of the blade; let it stop before you take a piece away.",
)


Page = tuple[str, tuple[View, ...], tuple[Mark, ...]]
Window = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class _Card:
    """A cut and its number; `both` if the other end of the piece is square as well and cut here too."""

    number: int
    cut: Cut
    visit: Visit
    both: bool


def cut_cards(set_out: SetOut, settings: Sequence[Setting], size: str = "A4", issued: str = "") -> list[Sheet]:
    """The order of cutting and the cards on A4, or on Letter if that is the `size` of the job's paper."""
    round_trip = visits(set_out.pieces, settings)
    page = paper("Letter" if size == "Letter" else "A4", landscape=False)
    left, bottom, right, _ = page.space
    bodies = [*_order_pages(round_trip, page.space), *_card_pages(set_out, list(_cards(round_trip)), page.space)]
    return [
        Sheet(
            name=f"cut-cards-{k + 1}",
            title=title,
            width=page.width,
            height=page.height,
            views=views,
            marks=(
                *marks,
                Text((left, bottom), f"{set_out.room.name}: {title.lower()}", 2.5),
                Text(
                    (right, bottom),
                    f"{issued}, sheet {k + 1} of {len(bodies)}".lstrip(", "),
                    2.5,
                    anchor=Anchor.BASE_RIGHT,
                ),
            ),
            description="How to set the saw for each end, in the order of cutting",
        )
        for k, (title, views, marks) in enumerate(bodies)
    ]


@dataclass(frozen=True, slots=True)
class CardPlace:
    """Where the card of an end is: on which of the sheets, and its left, top, width and height as parts of the page."""

    piece: str
    ends: str
    sheet: int
    box: Window


def card_places(set_out: SetOut, settings: Sequence[Setting], size: str = "A4") -> list[CardPlace]:
    """The place of each card on the sheets that `cut_cards` makes of the same job."""
    round_trip = visits(set_out.pieces, settings)
    page = paper("Letter" if size == "Letter" else "A4", landscape=False)
    before = sum(1 for _ in _order_pages(round_trip, page.space))
    places = []
    for k, card in enumerate(_cards(round_trip)):
        left, bottom, right, top = _card_box(k % (ACROSS * DOWN), page.space)
        box = (left / page.width, 1 - top / page.height, (right - left) / page.width, (top - bottom) / page.height)
        ends = "both ends" if card.both else f"{card.cut.setting.end} end"
        places.append(CardPlace(card.cut.piece.id, ends, before + k // (ACROSS * DOWN), box))
    return places


class _Line(NamedTuple):
    """A line of the list: where it starts, how far below the one before it, its height, and what must fit below it."""

    left: float
    below: float
    text: str
    height: float
    keep: float = 0.0


def _cards(round_trip: Sequence[Visit]) -> Iterator[_Card]:
    """A card for each cut; one for both ends where both are square."""
    number = 0
    for visit in round_trip:
        ends = [cut.piece.id for cut in visit.cuts]
        for cut in visit.cuts:
            number += 1
            both = ends.count(cut.piece.id) == 2 and visit.angles == (0.0, 0.0)
            if not (both and cut.first):
                yield _Card(number, cut, visit, both)


def _card_pages(set_out: SetOut, cards: Sequence[_Card], space: Window) -> Iterator[Page]:
    for first in range(0, len(cards), ACROSS * DOWN):
        views: list[View] = []
        marks: list[Mark] = []
        for k, card in enumerate(cards[first : first + ACROSS * DOWN]):
            box = _card_box(k, space)
            marks.append(_box(box, Layer.SECTION))
            marks += _words(set_out, card, box)
            views += _pictures(card, box, set_out.room.units)
        yield "Cutting cards", tuple(views), tuple(marks)


def _card_box(k: int, space: Window) -> Window:
    """The box of the k-th card of a page, row by row from the top."""
    left, bottom, right, top = space
    width, height = (right - left) / ACROSS, (top - bottom - FOOT) / DOWN
    x, y = left + (k % ACROSS) * width, top - (k // ACROSS + 1) * height
    return x, y, x + width, y + height


def _words(set_out: SetOut, card: _Card, box: Window) -> Iterator[Mark]:
    """Everything on a card but its pictures."""
    left, bottom, right, top = box
    piece, setting = card.cut.piece, card.cut.setting
    head = top - HEAD
    name, high = fitted(piece.id, 30.0, 10.0)
    yield Text((left + INSET, top - 12.0), name, high)
    beside = left + INSET + text_width(name, high) + 3.0
    ends = "BOTH ENDS" if card.both else f"{setting.end.upper()} END"
    number = f"cuts {card.number - 1} and {card.number}" if card.both else f"cut {card.number}"
    yield Text((beside, top - 7.0), ends, 5.0)
    yield Text((right - INSET, top - 5.0), number, 2.5, anchor=Anchor.BASE_RIGHT)
    wall = set_out.room.walls[piece.wall].name
    joint, width = _joint(piece, setting), right - INSET - beside
    # The id tells the trim and the drawings tell the wall: the joint is the last to be left out.
    says = (f"{piece.trim.name}, {wall}, {joint}", f"{wall}, {joint}", joint)
    about, small = fitted(next((s for s in says if text_width(s, 2.5) <= width), joint), width, 2.5)
    yield Text((beside, top - 12.0), about, small)
    yield polyline([(left, head), (right, head)], Layer.TITLE)
    yield Text((left + INSET, top - HEAD - ABOVE * (head - bottom - WORDS) + 1.5), "from above", 2.5)
    if setting.by_hand:
        place = (right - PLATES - 2.0, top - HEAD - ABOVE * (head - bottom - WORDS) + 0.5)
        yield Text(place, "BY HAND", 5.0, anchor=Anchor.BASE_RIGHT)
    yield from _plates(card, (right - PLATES, bottom + WORDS, right, head))
    yield polyline([(left, bottom + WORDS), (right, bottom + WORDS)], Layer.TITLE)
    yield from _foot(card, box, set_out.room.units)


def _plates(card: _Card, box: Window) -> Iterator[Mark]:
    """The three words to obey: arm, blade, kept part."""
    left, bottom, right, top = box
    blade, by_hand = card.cut.setting.printed, card.cut.setting.by_hand
    arm = ("SQUARE", "", "") if blade.arm == "none" else (blade.arm.upper(), f"{abs(blade.swing):.2f}°", blade.arm)
    lean = ("UPRIGHT", "", "") if blade.tilt == "none" else (blade.tilt.upper(), f"{abs(blade.lean):.2f}°", blade.tilt)
    kept = (blade.kept.upper(), "of the blade", str(blade.kept))
    captions = ("slot of the cradle", "slot leans", "keep") if by_hand else ("swing the arm", "lean the blade", "keep")
    if card.cut.piece.bend is not None:
        captions = ("slant of the cut", "lean of the cut", "keep")
    height = (top - bottom) / 3
    yield polyline([(left, bottom), (left, top)], Layer.TITLE)
    for k, (caption, (word, value, arrow)) in enumerate(zip(captions, (arm, lean, kept), strict=True)):
        high = top - k * height
        if k:
            yield polyline([(left, high), (right, high)], Layer.TITLE)
        yield Text((left + 2.0, high - 3.6), caption, 2.5)
        text, size = fitted(word, right - left - 4.0, 7.0)
        yield Text((left + 2.0, high - 11.8), text, size)
        foot = high - height + 1.6
        if arrow:
            yield _arrow((left + 2.0 if arrow == "left" else right - 2.0, foot + 2.2), arrow)
        text, size = fitted(value, right - left - 12.0, 5.0)
        anchor = Anchor.BASE_RIGHT if arrow == "left" else Anchor.BASE_LEFT
        yield Text((right - 2.0 if arrow == "left" else left + 2.0, foot), text, size, anchor=anchor)


def _foot(card: _Card, box: Window, units: Units) -> Iterator[Mark]:
    """Length, long and short point, and the line of words."""
    left, bottom, right, _ = box
    setting = card.cut.setting
    width, words = right - left - 2 * INSET, _said(card)
    length = f"LENGTH {units.written(setting.long)}"
    if setting.long - setting.short >= 0.05:
        short = f"{units.written(setting.short)} to the short"
        length += " to the long point"
        if text_width(f"{length}, {short}", 2.5) <= width:
            length += f", {short}"
        else:
            words.insert(0, f"length {short}")
    most, level, high, first, pitch = next((f for f in FEET if len(_lines(words, width, f[0])) <= f[0]), FEET[-1])
    lines = _lines(words, width, most)
    text, size = fitted(length, width, high)
    yield Text((left + INSET, bottom + level), text, size)
    for k, line in enumerate(lines):
        yield Text((left + INSET, bottom + first - pitch * k), line.strip(), LETTERS)


def _lines(words: list[str], width: float, most: int) -> list[str]:
    """The words in at most so many lines, if they can: what the drawings show as well is left out, nothing else is."""
    spare = [w for w in words if w.startswith(("long point", "first end", "length"))]
    while True:
        text = "; ".join(words)
        lines = wrapped(f"{text[:1].upper()}{text[1:]}.", width, LETTERS)
        if len(lines) <= most or not spare:
            return lines
        words = [w for w in words if w != spare[-1]]
        spare = spare[:-1]


def _said(card: _Card) -> list[str]:
    """What to mind, most pressing first: how it lies, the dangers, what is left to do, where the long point is."""
    setting, piece = card.cut.setting, card.cut.piece
    parts = [f"{setting.on_bed} on the bed, {setting.against_fence} against the fence"]
    if piece.bend is not None:
        parts = [bend_words(piece)]
    if card.visit.freeing:
        parts.append("hold the long length: this cut frees the return")
    elif piece.is_return:
        parts.append("cut it on the end of a long length, too short to hold")
    elif piece.length < SHORT:
        parts.append("clamp it: too short to hold by hand")
    elif card.cut.first and not card.both:
        parts.append("first end")
    if setting.then:
        parts.append(setting.then)
    if setting.long_at:
        parts.append(f"long point {setting.long_at}")
    return parts


def _joint(piece: Piece, setting: Setting) -> str:
    """What the end is, and which piece it meets."""
    end = piece.end(setting.end)
    words = {Joint.COPE: "mitre, then cope", Joint.RETURN: "return"}.get(end.joint, str(end.joint))
    return f"{words} to {end.mate}" if end.mate and end.joint in (Joint.MITRE, Joint.SCARF, Joint.RETURN) else words


def _pictures(card: _Card, box: Window, units: Units) -> Iterator[View]:
    """From above; below it from the left and, if the blade leans, from the front."""
    left, bottom, right, top = box
    bench = bench_of(card.cut, card.visit.freeing)
    side = right - PLATES
    middle = bottom + WORDS + 0.40 * (top - HEAD - bottom - 19.0)
    name = card.cut.piece.id
    width = side - left
    marks, scale = from_above(bench, name, width / 2, units)
    yield _view(
        f"{name} from above", marks, scale, (left + width / 2, top - HEAD - 10.5), (left, middle, side, top - HEAD)
    )
    below = (left, bottom + WORDS, side, middle)
    room = below[3] - below[1] - 9.0
    if bench.lean:
        part = left + 0.5 * width
        marks, scale = from_the_front(bench, 0.5 * width - 4.0, room + 3.0)
        place = ((part + side) / 2, below[1] + 3.5)
        yield _view(f"{name} from the front", marks, scale, place, (part, below[1], side, below[3]))
        below = (left, below[1], part, below[3])
    marks, scale = from_the_left(bench, below[2] - left - 14.0, room)
    drawn = bench.depth * scale
    start = max(left + 7.0, (left + below[2] - drawn) / 2)
    yield _view(f"{name} from the left", marks, scale, (start, below[1] + 6.5), below)


def _view(name: str, marks: tuple[Mark, ...], scale: float, at: Point, window: Window) -> View:
    return View(drawing=Drawing(name, marks), scale=scale, model=(0.0, 0.0), paper=at, window=window)


def _order_pages(round_trip: Sequence[Visit], space: Window) -> Iterator[Page]:
    """The settings in turn, each with the ends cut there."""
    left, bottom, right, top = space
    lines = [_Line(left, 7.0, "Order of cutting", 7.0), _Line(left, 3.0, "", 2.5)]
    lines += [_Line(left, 4.2, line, 2.5) for line in ORDER_WORDS]
    for k, visit in enumerate(round_trip):
        text, high = fitted(_visit_words(visit), right - left - 10.0, 5.0)
        ends = [
            _Line(left + 10.0, 6.0, line, 3.5)
            for start, items in _ends_by_trim(visit)
            for line in _filled(start, items, right - left - 10.0)
        ]
        # A setting and its ends stay on one page, unless they alone are longer than it.
        below = sum(line.below for line in ends)
        keep = below if below < top - bottom - FOOT - 15.0 else 9.0
        lines += [_Line(left, 10.0, f"{k + 1}", 5.0, keep), _Line(left + 10.0, 0.0, text, high), *ends]
    marks: list[Mark] = []
    level = top
    for line in lines:
        level -= line.below
        if level - line.keep < bottom + FOOT:
            yield "Order of cutting", (), tuple(marks)
            marks, level = [], top - line.height
        marks.append(Text((line.left, level), line.text, line.height))
    yield "Order of cutting", (), tuple(marks)


def _ends_by_trim(visit: Visit) -> list[tuple[str, list[str]]]:
    """The ends of a visit in turn, those of a trim that are held alike together."""
    groups: dict[str, list[str]] = {}
    for cut in visit.cuts:
        setting = cut.setting
        held = f"{cut.piece.trim.name}, {setting.holding.method}, {setting.on_bed} on the bed:"
        groups.setdefault(held, []).append(f"{cut.piece.id} {setting.end}")
    return list(groups.items())


def _filled(start: str, items: Sequence[str], width: float) -> list[str]:
    """Items in lines no wider than `width`, none of them broken."""
    lines = [start]
    for k, item in enumerate(items):
        word = item + ("," if k < len(items) - 1 else "")
        if text_width(f"{lines[-1]} {word}", 3.5) > width:
            lines.append(word)
        else:
            lines[-1] += f" {word}"
    return lines


def _visit_words(visit: Visit) -> str:
    swing, lean = visit.angles
    arm = f"arm {'RIGHT' if swing > 0 else 'LEFT'} {abs(swing):.2f}°" if swing else "arm SQUARE"
    blade = f"blade leans {'LEFT' if lean > 0 else 'RIGHT'} {abs(lean):.2f}°" if lean else "blade UPRIGHT"
    if visit.by_hand:
        return f"BY HAND from the template: {arm.replace('arm', 'cut')}, {blade.replace('blade', 'saw')}"
    return f"{arm}, {blade}" + (", again: cut the returns free" if visit.freeing else "")


def _arrow(tip: Point, way: str) -> Mark:
    """A solid arrow, 6 mm long, pointing left or right."""
    back = 1.0 if way == "left" else -1.0
    profile = [(0.0, 0.0), (3.0, 2.4), (3.0, 0.9), (6.0, 0.9), (6.0, -0.9), (3.0, -0.9), (3.0, -2.4)]
    points = [(tip[0] + back * x, tip[1] + y) for x, y in profile]
    return Fill(tuple(Line(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True)), Layer.LABEL, 0.0)


def _box(window: Window, layer: Layer) -> Mark:
    left, bottom, right, top = window
    return polyline([(left, bottom), (right, bottom), (right, top), (left, top)], layer, closed=True)
