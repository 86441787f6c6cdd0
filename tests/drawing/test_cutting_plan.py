"""The cutting plan on paper: bars to scale, every piece once, kerfs, offcuts and labels; nothing overlaps."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

import pytest

from example_rooms import EXAMPLES, example_set_out
from trimwright.drawing.cutting_plan import cutting_of, cutting_plan_sheets
from trimwright.drawing.font import DESCENT
from trimwright.drawing.marks import Fill, Layer, Mark, Path, Text
from trimwright.drawing.paper import SCALES as PAPER_SCALES
from trimwright.drawing.paper import Paper, title_block_box
from trimwright.drawing.primitives import Block, Label, Primitive, Window, extents
from trimwright.drawing.render import lower
from trimwright.drawing.sheet import Sheet
from trimwright.project.project import read_project
from trimwright.stock.buying import Buying, buying
from trimwright.units import Units

NAMES = ("reading-room", "hall", "bay", "alcove", "loft", "bow")


def drawn(name: str, size: str = "A3") -> tuple[list[Sheet], Buying]:
    project = read_project(EXAMPLES / f"{name}.toml")
    done = example_set_out(name)
    bought = buying(done, project)
    return cutting_plan_sheets(cutting_of(done, bought), project.saw, size), bought


def model_marks(sheets: Iterable[Sheet]) -> Iterator[Mark]:
    for sheet in sheets:
        yield from sheet.views[0].drawing.marks


def widths(sheets: Iterable[Sheet], layer: Layer, kind: type) -> list[float]:
    """Extents along x of closed marks of a layer, model mm."""
    found = []
    for mark in model_marks(sheets):
        if isinstance(mark, kind) and mark.layer is layer:
            xs = [x for s in mark.segments for x in (s.start[0], s.end[0])]
            found.append(max(xs) - min(xs))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_bars_and_pieces_have_their_lengths(name: str) -> None:
    sheets, bought = drawn(name)
    done = example_set_out(name)
    bars = [bar for plan in bought.plans for bar in plan.plan.bars]
    assert sorted(widths(sheets, Layer.SECTION, Path)) == pytest.approx(sorted(bar.stock.length for bar in bars))
    pieces = [done.piece(part.label) for bar in bars for part in bar.pieces]
    assert sorted(widths(sheets, Layer.TRIM, Path)) == pytest.approx(sorted(p.length for p in pieces), abs=1e-6)
    names = [re.sub(r": [\d.]+$", "", m.text) for m in model_marks(sheets) if isinstance(m, Text)]
    for piece in pieces:
        assert names.count(piece.id) == 1


@pytest.mark.parametrize("size", ["A4", "A3"])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_cut_short_and_scales_are_those_of_the_standard(name: str, size: str) -> None:
    """A label that tells half of what is kept is none; ISO 5455 has no 1:15."""
    sheets, _ = drawn(name, size)
    assert not [m.text for m in model_marks(sheets) if isinstance(m, Text) and "…" in m.text]
    assert {view.scale for sheet in sheets for view in sheet.views} <= {a / b for a, b in PAPER_SCALES}


def test_lengths_in_feet_and_inches_stand_under_long_pieces() -> None:
    """As on the sheets, beside the millimetres; pieces too short for both have the millimetres."""
    sheets, _ = drawn("loft")
    said = {m.text for m in model_marks(sheets) if isinstance(m, Text)}
    longest = max(example_set_out("loft").pieces, key=lambda piece: piece.length)
    assert Units.INCHES.written(longest.length) in said


def test_kerfs_lie_between_pieces_and_before_what_is_left() -> None:
    sheets, bought = drawn("reading-room")
    bars = [bar for plan in bought.plans for bar in plan.plan.bars]
    cuts = sum(len(bar.pieces) - 1 + (bar.waste > 3 + 1e-6) for bar in bars)
    assert widths(sheets, Layer.CUT, Fill) == pytest.approx([3.0] * cuts)


def test_ends_are_drawn_as_they_are_cut() -> None:
    """The lean of an end in plan, over the projection, is the slope of its plane."""
    sheets, bought = drawn("bay")
    done = example_set_out("bay")
    outlines = [m for m in model_marks(sheets) if isinstance(m, Path) and m.layer is Layer.TRIM]
    cut = [done.piece(part.label) for plan in bought.plans for bar in plan.plan.bars for part in bar.pieces]
    for piece, outline in zip(cut, outlines, strict=True):
        back, _, front, _ = piece.trim.edges
        top_left, top_right = outline.segments[0].start[0], outline.segments[0].end[0]
        foot_right, foot_left = outline.segments[2].start[0], outline.segments[2].end[0]
        assert foot_left - top_left == pytest.approx(piece.left.slope * (front - back), abs=1e-6)
        assert foot_right - top_right == pytest.approx(piece.right.slope * (front - back), abs=1e-6)


def test_each_offcut_has_a_label() -> None:
    sheets, bought = drawn("reading-room")
    words = [m.text for m in model_marks(sheets) if isinstance(m, Text)]
    assert bought.offcuts
    for offcut in bought.offcuts:
        assert words.count(offcut.name) == 1
        assert any(w.startswith(f"{offcut.trim}, {offcut.length}") for w in words)


def labels(items: Iterable[Primitive]) -> Iterator[tuple[Window, str]]:
    for item in items:
        if isinstance(item, Block):
            yield from labels(item.items)
        elif isinstance(item, Label):
            left, bottom, right, top = extents(item)
            below = DESCENT * item.height if set(item.text) & set("gjpqy,;") else 0.0
            yield (left, bottom - below, right, top), item.text


def shared(a: Window, b: Window) -> float:
    wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return max(0.0, wide) * max(0.0, high)


@pytest.mark.parametrize("size", ["A4", "A3", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_overlaps_or_leaves_the_frame(name: str, size: str) -> None:
    for sheet in drawn(name, size)[0]:
        space = Paper("", sheet.width, sheet.height).space
        block = title_block_box(Paper("", sheet.width, sheet.height))
        found = list(labels(lower(sheet)))
        for k, (box, text) in enumerate(found):
            assert shared(box, space) == pytest.approx((box[2] - box[0]) * (box[3] - box[1])), (sheet.name, text)
            assert shared(box, block) < 0.1, (sheet.name, text)
            for other, words in found[k + 1 :]:
                assert shared(box, other) < 0.1, (sheet.name, text, words)


def test_no_stock_no_plan() -> None:
    assert drawn("box-room")[0] == []
