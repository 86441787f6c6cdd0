"""Details: each kind of joint of each trim once, from the front and, below that, from above (first angle).

Joints of one kind differ only in their angles, which are listed under the drawing of the first of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, count

from trimwright.drawing.arrises import face, seen_arrises
from trimwright.drawing.clutter import Box
from trimwright.drawing.layout import drawn_box, wrapped
from trimwright.drawing.marks import Anchor, Drawing, Fill, Group, Hatch, Layer, Mark, Text, polyline
from trimwright.drawing.paper import BLOCK_HEIGHT, Paper, frame_marks, paper
from trimwright.drawing.press.nesting import nested
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.template_marks import far_station
from trimwright.drawing.templates import (
    SIDES,
    along_drawing,
    along_frame,
    along_pairs,
    corner_drawing,
    pieces_at,
    seams,
)
from trimwright.profile.outline import Point
from trimwright.room import Corner, Frame
from trimwright.setout.piece import Joint, Piece, SetOut, Side
from trimwright.tolerance import TOUCH

__all__ = ["detail_sheets"]

SCALES = (1.0, 0.5, 0.2, 0.1)
"""Scales of ISO 5455: full size if that takes few sheets, else half; smaller where a joint fits on no sheet."""

MOST = 3
"""So many sheets are few; at full size every joint is among the templates too."""

APART = 14.0
"""From the view from above to the view from the front, paper mm."""

GAP, INSET = 8.0, 4.0
"""Between details, and inside the frame, paper mm."""

TITLE, WORDS, PITCH, BELOW = 3.5, 2.5, 4.0, 3.0
"""Heights of title and words, from line to line, and from the drawing to its words, paper mm."""

EDGE_ON = 0.3
"""A piece that runs this far across the line of sight (1: square to it) shows its face from the front."""


@dataclass(frozen=True, slots=True)
class _Joint:
    """Two pieces that meet, how to draw them from above, and where they are in words."""

    pair: tuple[Piece, Piece]
    frame: Frame
    plan: Callable[[float], Drawing]
    place: str

    @property
    def kind(self) -> tuple[str, str]:
        """Joints of one kind are drawn once: the trim, and how it is joined."""
        first, second = (piece.end(side) for piece, side in zip(self.pair, SIDES, strict=True))
        joints = {first.joint, second.joint}
        joint = next(j for j in (Joint.COPE, Joint.RETURN, Joint.SCARF, Joint.MITRE, Joint.SQUARE) if j in joints)
        name = "butt" if joint is Joint.SQUARE else joint.value
        if first.seam:
            return self.pair[0].trim.name, "segments of a curve"
        if first.corner is None or joint is Joint.RETURN:
            return self.pair[0].trim.name, name
        return self.pair[0].trim.name, f"{'internal' if first.corner < 180 else 'external'} {name}"


@dataclass(frozen=True, slots=True)
class _Detail:
    """A detail drawn at a scale: what it takes up on paper with its words below."""

    drawing: Drawing
    box: Box
    words: tuple[tuple[str, float], ...]

    @property
    def size(self) -> tuple[float, float]:
        """Width and height on paper, mm."""
        return self.box.width, self.box.height + BELOW + PITCH * len(self.words) + TITLE - WORDS


def detail_sheets(set_out: SetOut, size: str) -> list[Sheet]:
    """Sheets without title blocks, each kind of joint once; none for a room without joints."""
    kinds: dict[tuple[str, str], list[_Joint]] = {}
    for joint in _joints(set_out):
        kinds.setdefault(joint.kind, []).append(joint)
    if not kinds:
        return []
    joints = list(kinds.values())
    ways = (_laid(joints, size, scale) for scale in SCALES)
    full = next(ways)
    if full and len(full) <= MOST:
        return full
    half = next(ways)
    if full and not half:
        return full
    return half or next(filter(None, ways), []) or _forced(joints, size)


def _laid(kinds: Sequence[Sequence[_Joint]], size: str, scale: float) -> list[Sheet]:
    """The details at a scale, on sheets that lie or stand, whichever are fewer; nothing if one is too large."""
    details = [_detail(joints, scale) for joints in kinds]
    made = []
    for sheet in (paper(size, landscape=True), paper(size, landscape=False)):
        if all(_fits(detail.size, _room(sheet)) for detail in details):
            made.append(_sheets(details, sheet, scale))
    return min(made, key=len, default=[])


def _forced(kinds: Sequence[Sequence[_Joint]], size: str) -> list[Sheet]:
    """At the smallest scale, where even that is too large for the paper."""
    details = [_detail(joints, SCALES[-1]) for joints in kinds]
    return _sheets(details, paper(size), SCALES[-1])


def _sheets(details: Sequence[_Detail], sheet: Paper, scale: float) -> list[Sheet]:
    """The details on their sheets, numbered as they are read there: along each row, from the top down."""
    placed = nested([detail.size for detail in details], _room(sheet), GAP)
    number = count(1)
    return [
        _sheet(
            [
                (_numbered(details[n.index], next(number)), n.across, n.down)
                for n in sorted(page, key=lambda n: (n.down, n.across))
            ],
            sheet,
            scale,
            (k + 1, len(placed)),
        )
        for k, page in enumerate(placed)
    ]


def _numbered(detail: _Detail, number: int) -> _Detail:
    (title, high), *words = detail.words
    drawing = replace(detail.drawing, name=f"detail-{number}")
    return replace(detail, drawing=drawing, words=((f"{number}. {title}", high), *words))


def _joints(set_out: SetOut) -> Iterator[_Joint]:
    for corner in (c for c in set_out.room.corners if c is not None):
        left = set_out.room.walls[corner.left]
        frame = Frame(corner.plan, left.frame.tangent(left.length).along)
        for trim in set_out.trims:
            pair = pieces_at(set_out, corner, trim)
            if pair is not None:
                angle = pair[0].right.corner or corner.angle
                place = f"corner {corner.right + 1} {angle:.2f}°: {pair[0].id} / {pair[1].id}"
                yield _Joint(pair, frame, _drawn_in(set_out, corner, pair), place)
    for pair in (*along_pairs(set_out), *chain.from_iterable(seams(set_out))):
        place = f"wall {pair[0].wall + 1}: {pair[0].id} / {pair[1].id}"
        yield _Joint(pair, along_frame(pair), _drawn_along(set_out, pair), place)


def _drawn_in(set_out: SetOut, corner: Corner, pair: tuple[Piece, Piece]) -> Callable[[float], Drawing]:
    return lambda scale: corner_drawing(set_out, corner, pair, scale)


def _drawn_along(set_out: SetOut, pair: tuple[Piece, Piece]) -> Callable[[float], Drawing]:
    return lambda scale: along_drawing(set_out, pair, scale)


def _room(sheet: Paper) -> tuple[float, float]:
    """What is left of the drawing space above the title block."""
    left, bottom, right, top = sheet.space
    return right - left - 2 * INSET, top - bottom - BLOCK_HEIGHT - 2 * INSET


def _fits(size: tuple[float, float], room: tuple[float, float]) -> bool:
    return size[0] <= room[0] and size[1] <= room[1]


def _detail(joints: Sequence[_Joint], scale: float) -> _Detail:
    first = joints[0]
    plan = first.plan(scale)
    above = drawn_box(plan, scale)
    lift = (above.top + APART) / scale - first.pair[0].trim.edges.bottom
    front = Group("front", tuple(_front_view(first, lift)))
    drawing = Drawing("detail", (Group("from above", plan.marks), front))
    box = drawn_box(drawing, scale)
    trim, kind = first.kind
    places = "; ".join(joint.place for joint in joints)
    words = [(f"{trim}: {kind}", TITLE)]
    words += [(line, WORDS) for line in wrapped(f"{places}.", max(box.width, 70.0), WORDS)]
    wide = max(box.right, box.left + 70.0)
    return _Detail(drawing, Box(box.left, box.bottom, wide, box.top), tuple(words))


def _front_view(joint: _Joint, lift: float) -> Iterator[Mark]:
    """Both pieces as one sees them facing the wall of the first: faces, the joint, and what is cut off in front."""
    nearer: list[Mark] = []
    for piece, side in zip(joint.pair, SIDES, strict=True):
        at = _seen(joint, piece, lift)
        end, (far, whole) = piece.end(side), far_station(piece, side, 2 if joint.kind[1] == "scarf" else 1)
        outline = piece.trim.outline
        ends = [piece.frame.plan(end.at(0.0)), piece.frame.plan(far)]
        run, depth = (b - a for a, b in zip(joint.frame.locate(ends[0]), joint.frame.locate(ends[1]), strict=True))
        if abs(run) > EDGE_ON * math.hypot(run, depth):
            for out, height in seen_arrises(outline):
                yield polyline([at(end.at(out), out, height), at(far, out, height)], Layer.TRIM)
            yield polyline([at(far, out, height) for out, height in face(outline)], _edge(whole))
        if depth > TOUCH:
            cut = polyline([at(far, out, height) for out, height in outline.points()], Layer.SECTION, closed=True)
            nearer += [Fill(cut.segments, Layer.SECTION, 1.0), Hatch(cut.segments), cut]
        if side is Side.RIGHT or depth < TOUCH:
            line = [at(end.at(out), out, height) for out, height in face(outline)]
            yield polyline(line, Layer.JOINT)
    yield from nearer


def _edge(whole: bool) -> Layer:
    """A piece that ends there shows its end, one broken off a thin line."""
    return Layer.TRIM if whole else Layer.DIMENSION


def _seen(joint: _Joint, piece: Piece, lift: float) -> Callable[[float, float, float], Point]:
    """From (station, out, height) of a piece to the view from the front."""

    def at(station: float, out: float, height: float) -> Point:
        return joint.frame.locate(piece.frame.plan(station, out))[0], height + lift

    return at


def _sheet(page: Sequence[tuple[_Detail, float, float]], sheet: Paper, scale: float, number: tuple[int, int]) -> Sheet:
    """Details hung from their upper left corners, words below each."""
    left, _, _, top = sheet.space
    views: list[View] = []
    marks: list[Mark] = [*frame_marks(sheet)]
    for detail, across, down in page:
        x, y = left + INSET + across, top - INSET - down
        paper_point = (x - detail.box.left, y - detail.box.top)
        views.append(View(drawing=detail.drawing, scale=scale, model=(0.0, 0.0), paper=paper_point))
        level = y - detail.box.height - BELOW
        for text, high in detail.words:
            marks.append(Text((x, level), text, high, Layer.LABEL, Anchor.TOP_LEFT))
            level -= PITCH + high - WORDS
    several = number[1] > 1
    return Sheet(
        name="detail" + (f"-{number[0]}" if several else ""),
        title="Details of joints" + (f", {number[0]} of {number[1]}" if several else ""),
        width=sheet.width,
        height=sheet.height,
        views=tuple(views),
        marks=tuple(marks),
        description="Each kind of joint of each trim, from the front and from above",
    )
