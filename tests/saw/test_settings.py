from __future__ import annotations

import math
from dataclasses import replace

import pytest

from example_rooms import example_set_out
from trimwright.project.models import SawTable
from trimwright.saw.holding import Method
from trimwright.saw.settings import setting_for, settings
from trimwright.setout.piece import Joint, SetOut, Side

SAW = SawTable()


def test_every_end_has_a_card(example: SetOut) -> None:
    cards = settings(example.pieces, SAW)
    assert [(c.piece, c.end) for c in cards] == [(p.id, s) for p in example.pieces for s in Side]


def test_square_ends_are_square(example: SetOut) -> None:
    """On a slope they are plumb: across a piece that stands at the fence the blade leans by the slope, atan(rise)."""
    for card in settings(example.pieces, SAW):
        piece = example.piece(card.piece)
        end = piece.end(card.end)
        if end.joint is Joint.SQUARE and piece.incline is not None:
            assert card.method is Method.STANDING
            assert (card.mitre, card.swing) == (0, "none")
            assert card.bevel == pytest.approx(math.degrees(math.atan(abs(piece.incline.rise))))
        elif end.joint is Joint.SQUARE:
            assert (card.mitre, card.bevel, card.swing, card.tilt) == (0, 0, "none", "none")
        if end.joint is Joint.COPE:
            assert end.mate is not None
            assert end.mate in card.then


def test_a_cornice_is_nested_and_a_rail_stands() -> None:
    done = example_set_out("reading-room")
    methods = {c.method for c in settings([p for p in done.pieces if p.trim.name == "cornice"], SAW)}
    assert methods == {Method.NESTED}
    assert {c.method for c in settings([p for p in done.pieces if p.trim.name == "picture rail"], SAW)} == {
        Method.STANDING
    }


def test_the_real_saw_is_respected() -> None:
    done = example_set_out("hall")
    crown = next(p for p in done.pieces if p.trim.name == "crown" and p.right.joint is Joint.COPE)
    low_fence = setting_for(crown, Side.RIGHT, SawTable(fence_height=30))
    assert low_fence.method is Method.FLAT
    assert low_fence.bevel > 0
    left_only = setting_for(crown, Side.RIGHT, SawTable(fence_height=30, bevel_right=0))
    right_only = setting_for(crown, Side.RIGHT, SawTable(fence_height=30, bevel_left=0))
    assert (left_only.tilt, right_only.tilt) == ("left", "right")
    assert left_only.against_fence != right_only.against_fence
    none = setting_for(crown, Side.RIGHT, SawTable(fence_height=30, bed_depth=20))
    assert none.method is Method.HAND
    assert "by hand" in none.then


def test_sharper_than_the_saw_goes() -> None:
    done = example_set_out("reading-room")
    piece = done.pieces[0]
    sharp = replace(piece, right=replace(piece.right, slope=-2.0))
    assert setting_for(sharp, Side.RIGHT, SAW).method is Method.HAND
    assert setting_for(sharp, Side.RIGHT, SAW).mitre == pytest.approx(63.43, abs=0.01)
