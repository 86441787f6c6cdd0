from __future__ import annotations

import json
import re

import pytest

from trimwright.errors import RoomFileError
from trimwright.saw.answer import answer, answers
from trimwright.saw.sketch import WIDTH, sketch
from trimwright.setout.piece import Side


def test_answers_on_the_spot() -> None:
    text = answer(91.4, "115", "115", None, as_json=False)
    assert "Corner 91.4 in the room (internal), half of it 45.7. Spring 45.00" in text
    for words in ("NESTED: ceiling edge on the bed", "FLAT: back on the bed", "STANDING: bottom edge on the bed"):
        assert words in text
    # Nested: 90 - 45.7 = 44.3.
    assert "arm RIGHT 44.30" in text
    assert "arm LEFT 44.30" in text
    cards = text.split("All ways of holding:")[0]
    assert max(len(line) for line in cards.splitlines()[2:]) <= 80


def test_json_is_exact() -> None:
    rows = json.loads(answer(91.43, None, None, 38.0, as_json=True))["settings"]
    nested = next(r for r in rows if r["held"] == "nested")
    assert nested["mitre"] == pytest.approx(90 - 91.43 / 2, abs=1e-4)
    assert {r["piece"] for r in rows} == {"left of the corner", "right of the corner"}


def test_without_a_size_no_sprung_back() -> None:
    assert {(str(s.method), s.on_bed) for s in answers(90, None)} == {
        ("nested", "ceiling edge"),
        ("standing", "wall edge"),
        ("flat", "back"),
    }


@pytest.mark.parametrize("corner", [45.0, 91.4, 135.0, 225.0, 270.0, 315.0])
def test_the_picture_agrees_with_the_words(corner: float) -> None:
    """The handle is where the arm goes, and the waste is not on the side that is kept."""
    for setting in answers(corner, 45):
        lines = sketch(setting, "heading")
        rows = lines[2:9]
        handle = rows[-1].find("O")
        if handle >= 0 and abs(setting.printed.swing) > 5:
            assert ("right" if handle > WIDTH / 2 else "left") == setting.printed.arm
        blade = rows[0].index("#")
        waste = [m.start() for m in re.finditer(":", rows[0])]
        assert waste
        assert all(w < blade for w in waste) is (setting.printed.kept is Side.RIGHT)


@pytest.mark.parametrize(
    ("corner", "drop", "spring", "message"),
    [
        (10.0, None, None, "--corner 10: must be 30 to 330"),
        (90.0, "x", None, "--drop"),
        (90.0, "-3", None, "--drop"),
        (90.0, None, 89.0, "--spring 89: must be 5 to 85"),
    ],
)
def test_bad_entries(corner: float, drop: str | None, spring: float | None, message: str) -> None:
    with pytest.raises(RoomFileError, match=re.escape(message)):
        answer(corner, drop, "100", spring, as_json=False)
