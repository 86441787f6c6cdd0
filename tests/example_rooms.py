"""The rooms of the examples folder, set out once a test run."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from trimwright.project.project import read_project
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out

EXAMPLES = Path(__file__).parent.parent / "examples"
EXAMPLE_NAMES = ("reading-room", "box-room", "bay", "hall", "alcove", "loft")


@cache
def example_set_out(name: str) -> SetOut:
    return set_out(read_project(EXAMPLES / f"{name}.toml"))
