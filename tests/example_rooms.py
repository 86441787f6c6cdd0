"""The rooms of the examples folder, set out once a test run, as a pack has them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from trimwright.project.project import read_project
from trimwright.setout.piece import SetOut
from trimwright.stock.joints import set_out_to_stock

EXAMPLES = Path(__file__).parent.parent / "examples"
EXAMPLE_NAMES = ("reading-room", "box-room", "bay", "hall", "alcove", "loft", "bow")


@cache
def example_set_out(name: str) -> SetOut:
    return set_out_to_stock(read_project(EXAMPLES / f"{name}.toml"))
