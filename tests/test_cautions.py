"""Cautions stand where their danger is, and only there. What is dangerous is common practice, no source."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from example_rooms import example_set_out
from trimwright.cautions import cautions
from trimwright.setout.piece import SetOut

WALLS = "".join(f'[[wall]]\nname = "{name}"\nlength = 3000\ninternal = 90\n' for name in ("a", "b", "c", "d"))
PIPE = '[[pipe]]\nwall = "a"\nname = "flow"\nfrom_left = 1500\nout = 30\ndiameter = 15\ntemperature = {}\n'
RAIL = '[[trim]]\nname = "rail"\nprofile = "rail-plain"\nback = "wall"\nbottom = {}\nmaterial = "{}"\n'


def said(set_out_of: Callable[[str], SetOut], material: str = "softwood", bottom: float = 900, heat: float = 20) -> str:
    trims = PIPE.format(heat) + RAIL.format(bottom, material)
    done = set_out_of(f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{WALLS}{trims}')
    return " ".join(cautions(done))


@pytest.mark.parametrize("words", ["codes and licensed trades", "hidden in walls", "asbestos", "eyes and ears covered"])
def test_in_every_job(words: str, example: SetOut) -> None:
    assert words in " ".join(cautions(example))


@pytest.mark.parametrize(
    ("material", "dust", "metal"),
    [("hardwood", True, False), ("mdf", True, False), ("xps foam", True, False), ("aluminium", False, True)],
)
def test_dust_or_chips(set_out_of: Callable[[str], SetOut], material: str, dust: bool, metal: bool) -> None:
    words = said(set_out_of, material)
    assert ("to be breathed" in words, "blade made for it" in words) == (dust, metal)


def test_height(set_out_of: Callable[[str], SetOut]) -> None:
    assert "platform" in said(set_out_of, bottom=2100)
    assert "platform" not in said(set_out_of, bottom=900)


def test_hot_pipes_are_named(set_out_of: Callable[[str], SetOut]) -> None:
    assert "work beside flow only when cold" in said(set_out_of, heat=70)
    assert "Hot pipes" not in said(set_out_of, heat=55)
    assert "soften" in said(set_out_of, "eps foam", heat=70)


def test_the_mains_belong_to_an_electrician_where_there_is_light() -> None:
    assert "licensed electrician" in " ".join(cautions(example_set_out("reading-room")))
    assert "electrician" not in " ".join(cautions(example_set_out("bay")))
