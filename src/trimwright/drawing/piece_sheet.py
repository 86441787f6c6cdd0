"""One piece by itself on a slip of paper: its face, what is under it seen from above, and its section."""

from __future__ import annotations

from collections.abc import Iterator

from trimwright.drawing.arrises import plan_lines, seen_arrises
from trimwright.drawing.cut_outline import cut_outlines, plan_outlines
from trimwright.drawing.hollow_words import hollow_words
from trimwright.drawing.layout import wrapped
from trimwright.drawing.marks import Dimension, DimensionKind, Drawing, Fill, Layer, Mark, Path, Text, polyline
from trimwright.drawing.notch_lines import notch_lines, plug_lines
from trimwright.drawing.sheet import Sheet, View
from trimwright.drawing.wall import PIECE_SHADE, end_line
from trimwright.profile.outline import Point
from trimwright.setout.piece import Piece
from trimwright.units import Units

__all__ = ["piece_sheet"]

WIDTH, LONG, SECTION = 210.0, 130.0, 36.0
"""Of the slip, of the piece and of its section, paper mm."""

LETTERS, PITCH = 2.5, 4.5
"""Height of the words below, and from line to line, paper mm."""

BEFORE = 12.0
GAP = 14.0
"""Free on the left, and between the views for their dimensions, paper mm."""


def piece_sheet(piece: Piece) -> Sheet:
    """The face as it hangs, the plan below it, both to one scale, and the section beside them to its own.

    A bent piece is drawn straight, as long as its back. What is let into its back is dashed, with its sizes below.
    """
    back, bottom, front, top = piece.trim.edges
    low, high = piece.extent
    rise = [height for end in (piece.left, piece.right) for _, height in end_line(piece, end)]
    scale = LONG / (high - low)
    own = SECTION / max(top - bottom, front - back)
    tall = (max(rise) - min(rise)) * scale
    deep = (front - back) * scale
    cut = [hollow_words(piece, hollow, Units.MM) for hollow in piece.hollows]
    lines = [line for words in cut for line in wrapped(words, WIDTH - 2 * BEFORE, LETTERS)]
    height = max(tall + deep + 3 * GAP, (top - bottom) * own + 2 * GAP) + GAP + PITCH * len(lines)
    face = View(
        drawing=Drawing("face", tuple(_face(piece))),
        scale=scale,
        model=(low, max(rise)),
        paper=(BEFORE, height - 2 * GAP),
    )
    plan = View(
        drawing=Drawing("plan", tuple(_plan(piece))),
        scale=scale,
        model=(low, -back),
        paper=(BEFORE, height - 3 * GAP - tall),
    )
    section = View(
        drawing=Drawing("section", tuple(_section(piece))),
        scale=own,
        model=(back, top),
        paper=(WIDTH - SECTION - BEFORE, height - 2 * GAP),
    )
    said = f"{piece.id}: {piece.trim.name}, length {piece.length:.1f} mm, {_words(piece)}"
    heading = Text((BEFORE, height - 8.0), said, 3.5, Layer.TITLE)
    sizes = (Text((BEFORE, PITCH * (len(lines) - k)), line, LETTERS) for k, line in enumerate(lines))
    marks = (heading, *sizes)
    return Sheet(name=piece.id, title=said, width=WIDTH, height=height, views=(face, plan, section), marks=marks)


def _words(piece: Piece) -> str:
    left, right = (f"{end.joint} to {end.mate}" if end.mate else str(end.joint) for end in (piece.left, piece.right))
    return f"left {left}, right {right}"


def _face(piece: Piece) -> Iterator[Mark]:
    left, right = end_line(piece, piece.left), end_line(piece, piece.right)
    yield Fill(polyline([*left, *reversed(right)], Layer.TRIM, closed=True).segments, Layer.TRIM, PIECE_SHADE)
    for out, height in seen_arrises(piece.trim.outline):
        ends = (piece.left.at(out), piece.right.at(out))
        yield polyline([(s, piece.height(s, height)) for s in ends], Layer.TRIM)
    for hollow in piece.hollows:
        yield from (polyline(loop, Layer.HIDDEN, closed=True) for loop in cut_outlines(piece, hollow))
    for line in (left, right):
        yield polyline(line, Layer.JOINT)


def _plan(piece: Piece) -> Iterator[Mark]:
    """From above, the back up: outs run down the paper."""
    back, _, front, _ = piece.trim.edges

    def across(out: float) -> tuple[Point, Point]:
        return (piece.left.at(out), -out), (piece.right.at(out), -out)

    yield Fill(polyline([*across(back), *reversed(across(front))], Layer.TRIM, closed=True).segments, Layer.TRIM, 1.0)
    for out, seen in plan_lines(piece.trim.outline):
        yield polyline(across(out), Layer.TRIM if seen else Layer.HIDDEN)
    for one, other in zip(across(back), across(front), strict=True):
        yield polyline([one, other], Layer.JOINT)
    for notch in piece.notches:
        for line in (*notch_lines(piece, notch), *plug_lines(piece, notch)):
            yield polyline([(s, -o) for s, o in line], Layer.JOINT)
    for hollow in piece.hollows:
        for loop in plan_outlines(piece, hollow):
            yield polyline([(s, -out) for s, out in loop], Layer.HIDDEN, closed=True)
    for out, away, length in ((back, 5.0, piece.back_length), (front, -5.0, piece.front_length)):
        left, right = across(out)
        yield Dimension(left, right, away, DimensionKind.HORIZONTAL, text=f"{length:.1f}")


def _section(piece: Piece) -> Iterator[Mark]:
    outline = piece.trim.outline
    back, bottom, front, top = outline.bounds
    yield Fill(outline.segments, Layer.SECTION)
    yield Path(outline.segments, Layer.SECTION, closed=True)
    yield Dimension((back, bottom), (front, bottom), -5.0, DimensionKind.HORIZONTAL)
    yield Dimension((back, bottom), (back, top), 5.0, DimensionKind.VERTICAL)
