from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from datetime import date

import pytest

from example_rooms import example_set_out
from trimwright.drawing.card_views import bench_of, from_above, from_the_front
from trimwright.drawing.cut_cards import cut_cards
from trimwright.drawing.font import DESCENT
from trimwright.drawing.marks import Path, Text
from trimwright.drawing.pdf import pdf_bytes
from trimwright.drawing.primitives import Block, Label, Primitive, Window, extents
from trimwright.drawing.render import lower
from trimwright.drawing.sheet import Sheet
from trimwright.drawing.svg import svg_text
from trimwright.project.models import SawTable
from trimwright.saw.order import visits
from trimwright.saw.settings import settings
from trimwright.setout.piece import SetOut

LOW = SawTable(fence_height=30.0)
"""A saw on which a cornice has to lie flat, with the blade leaning."""

WEAK = SawTable(mitre_left=20, mitre_right=20, bevel_left=0, bevel_right=0)
"""A saw that can do next to nothing."""


def cards_of(done: SetOut, saw: SawTable | None = None) -> list[Sheet]:
    return cut_cards(done, settings(done.pieces, saw or SawTable()), issued="2026-10-12")


def inked(label: Label) -> Window:
    """Where a text has ink: capitals and figures do not reach below their line."""
    left, bottom, right, top = extents(label)
    below = DESCENT * label.height if set(label.text) & set("gjpqy,;") and not label.angle else 0.0
    return (left, bottom - below, right, top)


def labels(items: Iterable[Primitive], window: Window) -> Iterator[tuple[Window, Window, str]]:
    """Every text with the window it is seen through."""
    for item in items:
        if isinstance(item, Block):
            yield from labels(item.items, item.window or window)
        elif isinstance(item, Label):
            yield inked(item), window, item.text


def shared(a: Window, b: Window) -> float:
    wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return max(0.0, wide) * max(0.0, high)


@pytest.mark.parametrize("saw", [SawTable(), LOW, WEAK], ids=["common", "low fence", "weak"])
def test_nothing_overlaps_or_is_cut_off(example: SetOut, saw: SawTable) -> None:
    for sheet in cards_of(example, saw):
        found = list(labels(lower(sheet), (19.9, 9.0, sheet.width - 9.9, sheet.height - 9.9)))
        for k, (box, window, text) in enumerate(found):
            assert shared(box, window) == pytest.approx((box[2] - box[0]) * (box[3] - box[1])), (sheet.name, text)
            for other, _, words in found[k + 1 :]:
                assert shared(box, other) < 0.1, (sheet.name, text, words)


@pytest.mark.parametrize("saw", [SawTable(), LOW, WEAK], ids=["common", "low fence", "weak"])
def test_what_is_left_to_do_is_said_to_the_end(example: SetOut, saw: SawTable) -> None:
    """Every card ends in a full stop, and before it stands all that the setting asks for."""
    made = {(s.piece, str(s.end)): s for s in settings(example.pieces, saw)}
    for sheet in cards_of(example, saw):
        if sheet.title != "Cutting cards":
            continue
        words = [m.text for m in sheet.marks if isinstance(m, Text)]
        for k in [k for k, word in enumerate(words) if word.startswith("LENGTH ")]:
            ends = [n for n in range(k) if words[n].endswith(("LEFT END", "RIGHT END", "BOTH ENDS"))]
            cards = [n for n in range(k, len(words)) if words[n].endswith((" END", "BOTH ENDS", "cards"))]
            foot = " ".join(words[k + 1 : cards[0] - (0 if words[cards[0]].endswith("cards") else 1)])
            assert foot.endswith("."), (sheet.name, foot)
            end = words[ends[-1]].split()[0].lower()
            for left_to_do in [made[words[ends[-1] - 1], end].then] if end != "both" else []:
                assert left_to_do in foot, (sheet.name, foot)


def test_a_setting_and_its_ends_stay_on_one_page(example: SetOut) -> None:
    """No page begins with ends whose setting stands on the page before."""
    for sheet in cards_of(example):
        if sheet.title == "Order of cutting":
            words = [m.text for m in sheet.marks if isinstance(m, Text) and m.text]
            assert words[0].isdigit() or words[0] == "Order of cutting"


def test_every_end_is_on_a_card_with_its_words(example: SetOut) -> None:
    """Big words against the settings, read back from the sheets."""
    made = settings(example.pieces, LOW)
    sheets = [s for s in cut_cards(example, made) if s.title == "Cutting cards"]
    ends = 0
    for sheet in sheets:
        words = [m for m in sheet.marks if isinstance(m, Text)]
        heads = [k for k, m in enumerate(words) if m.text.endswith((" END", "BOTH ENDS"))]
        assert len(heads) <= 6
        for k, start in enumerate(heads):
            piece, end = words[start - 1].text, words[start].text.split()[0].lower()
            card = words[start : heads[k + 1] - 1 if k + 1 < len(heads) else len(words)]
            big = [m.text for m in card[1:] if m.text in ("LEFT", "RIGHT", "SQUARE", "UPRIGHT")]
            setting = next(s for s in made if s.piece == piece and (end == "both" or s.end == end))
            blade = setting.printed
            arm = "SQUARE" if blade.arm == "none" else blade.arm.upper()
            lean = "UPRIGHT" if blade.tilt == "none" else blade.tilt.upper()
            assert big[:2] == [arm, lean]
            assert end == "both" or big[2] == blade.kept.upper()
            ends += 2 if end == "both" else 1
    assert ends == len(made)


def test_pictures_have_true_angles() -> None:
    """The arm is drawn at the printed swing, the blade at the printed lean; positive right and left."""
    done = example_set_out("hall")
    leaning = 0
    for visit in visits(done.pieces, settings(done.pieces, LOW)):
        for cut in visit.cuts:
            bench = bench_of(cut)
            marks, _ = from_above(bench, "x", 26.0)
            kept = max((m for m in marks if isinstance(m, Path) and m.closed), key=lambda m: len(m.segments))
            assert kept.segments
            blade = cut.setting.printed
            # A cut seen from above runs along the arm where the stock touches the bed.
            low = [(x, y) for x, (y, z) in zip(bench.cut, bench.section, strict=True) if z < 1e-6]
            for x, y in low:
                assert x == pytest.approx(-y * math.tan(math.radians(blade.swing)), abs=1e-6)
            if blade.lean:
                leaning += 1
                front, _ = from_the_front(bench, 30.0, 20.0)
                edges = [m for m in front if isinstance(m, Path) and m.closed]
                x, y = edges[-1].segments[0].end
                assert math.degrees(math.atan2(-x, y)) == pytest.approx(blade.lean)
    assert leaning > 0


def test_settings_are_listed_once_before_the_cards(example: SetOut) -> None:
    made = visits(example.pieces, settings(example.pieces, SawTable()))
    sheets = cards_of(example)
    listed = [
        m.text
        for s in sheets
        if s.title == "Order of cutting"
        for m in s.marks
        if isinstance(m, Text) and m.text.startswith(("arm ", "BY HAND"))
    ]
    assert len(listed) == len(made) == len(set(listed))
    assert sheets[0].title == "Order of cutting"
    assert [s.name for s in sheets] == [f"cut-cards-{k + 1}" for k in range(len(sheets))]


def test_black_and_white_alone(example: SetOut) -> None:
    """Nothing is told by colour: every colour on the sheets is a grey."""
    import re

    for sheet in cards_of(example):
        for red, green, blue in re.findall(r"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})", svg_text(sheet)):
            assert red == green == blue


def test_a_return_is_never_caught_at_a_stop() -> None:
    """What is cut free between blade and stop is thrown: it is marked, and no stop is drawn."""
    done = example_set_out("alcove")
    for sheet in cards_of(done):
        for view in sheet.views:
            words = [m.text for m in view.drawing.marks if isinstance(m, Text)]
            if any(w.startswith("mark ") for w in words):
                assert not any(w.startswith("stop ") for w in words)
    freed = [c for v in visits(done.pieces, settings(done.pieces, SawTable())) if v.freeing for c in v.cuts]
    assert all(bench_of(c, freeing=True).marked for c in freed)
    assert len(freed) == sum(p.is_return for p in done.pieces)


def test_pages_as_pdf() -> None:
    import pypdfium2

    sheets = cards_of(example_set_out("hall"))
    document = pypdfium2.PdfDocument(pdf_bytes(sheets, "cards", date(2026, 10, 12)))
    assert len(document) == len(sheets)
    width, height = document[0].get_size()
    assert (width * 25.4 / 72, height * 25.4 / 72) == pytest.approx((210, 297), abs=0.01)
