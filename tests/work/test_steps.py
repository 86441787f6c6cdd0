"""The steps of a job: in the trade's order, every piece once, help where it is needed; and their sheets."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from example_rooms import EXAMPLES
from trimwright.drawing.layout import drawn_box
from trimwright.drawing.marks import Text
from trimwright.drawing.work_sheets import work_sheets
from trimwright.project.project import read_project
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out
from trimwright.stock.rates import rates_of
from trimwright.work.steps import BARRED, Kind, Step, no_way_in, steps

RATES = rates_of(read_project(EXAMPLES / "box-room.toml"))


@pytest.fixture
def made(example: SetOut) -> tuple[Step, ...]:
    return steps(example, RATES)


def test_every_piece_goes_up_once_in_the_order_of_fitting(example: SetOut, made: tuple[Step, ...]) -> None:
    assert [name for step in made for name in step.pieces] == list(example.order)
    assert [step.number for step in made] == list(range(1, len(made) + 1))
    for before, step in pairwise(made):
        assert set(step.up) == set(before.up) | set(before.pieces)


def test_marking_comes_first_and_paint_last(made: tuple[Step, ...]) -> None:
    """Common practice, no source."""
    kinds = [step.kind for step in made]
    assert kinds[0] is Kind.MARK
    assert kinds[-2:] == [Kind.FILL, Kind.PAINT]
    assert set(kinds[1:-2]) == {Kind.FIT}


def test_help_for_what_is_long_or_heavy(example: SetOut, made: tuple[Step, ...]) -> None:
    """By the rules of data/rates.toml: over 5 kg, over 2400 long, plaster over 2000; props no more than 1200 apart."""
    for step in (s for s in made if s.kind is Kind.FIT):
        pieces = [example.piece(name) for name in step.pieces]
        longest = max(pieces, key=lambda p: p.length)
        mass = longest.trim.outline.area * longest.trim.material.density * 1e-9 * longest.length
        limit = 2000 if longest.trim.material.name == "gypsum plaster" else 2400
        assert (step.people == 2) == (mass > 5 or longest.length > limit)
        assert any("TWO PEOPLE" in words for words in step.words) == (step.people == 2)
        if step.props:
            assert longest.length / step.props <= 1200 + 1e-9
            assert step.props == math.ceil(longest.length / 1200)


def test_lines_to_mark_are_those_of_the_trims() -> None:
    """Reading room: rail on a casing of 2032 + 70; cove of 115 under a batten of 45 under 2565."""
    done = set_out(read_project(EXAMPLES / "reading-room.toml"))
    words = " | ".join(steps(done, RATES)[0].words)
    assert "picture rail: lower edge 2102" in words
    assert f"cornice: lower edge {2565 - 45 - 115}" in words


def test_an_order_that_cannot_be_is_said() -> None:
    """The piece between two internal mitres of undercut joints is put up last but one: turned round, it is barred."""
    done = set_out(read_project(EXAMPLES / "hall.toml"))
    assert no_way_in(done) == ()
    wrong = replace(done, order=tuple(sorted(done.order)))
    assert no_way_in(wrong)
    assert any(BARRED in words for step in steps(wrong, RATES) for words in step.words)


@pytest.mark.parametrize("size", ["A4", "A3"])
def test_sheets_show_every_step(example: SetOut, made: tuple[Step, ...], size: str) -> None:
    sheets = work_sheets(example, made, size)
    texts = [mark.text for sheet in sheets for mark in sheet.marks if isinstance(mark, Text)]
    for step in made:
        assert any(text.startswith(f"{step.number} ") for text in texts)
    assert sum(len(sheet.views) for sheet in sheets) == len(made)
    for view in (view for sheet in sheets for view in sheet.views):
        box = drawn_box(view.drawing, view.scale)
        assert view.paper[0] + box.left > 0
        assert view.paper[1] + box.bottom > 0
