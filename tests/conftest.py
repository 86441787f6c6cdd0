"""Rooms from short texts, and the examples, for every test that needs a whole set-out."""

from __future__ import annotations

import os

# Before numpy is loaded: on a busy machine threads for matrices wait for each other, and that is counted as work.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from collections.abc import Callable
from pathlib import Path

import hypothesis
import pytest
from hypothesis import HealthCheck

from example_rooms import EXAMPLE_NAMES, example_set_out
from trimwright.project.project import Project, read_project
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out

# pytest tells its workers that they have a terminal of 80 columns; what the program prints there goes to no terminal.
os.environ.pop("COLUMNS", None)

# What one test makes is never an answer to another, and the user's own folder is none of a test's business.
os.environ["TRIMWRIGHT_CACHE"] = "no"

# The same examples every run, so that a failure can be repeated; no limits of time, so that a busy machine is no
# failure. Fixtures that only make a room of a text may serve many examples.
hypothesis.settings.register_profile(
    "steady",
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
hypothesis.settings.load_profile("steady")


@pytest.fixture(params=EXAMPLE_NAMES)
def example(request: pytest.FixtureRequest) -> SetOut:
    """Each example set out in turn."""
    return example_set_out(request.param)


@pytest.fixture
def project_of(tmp_path: Path) -> Callable[[str], Project]:
    """Reads a room file given as text."""

    def read(text: str) -> Project:
        path = tmp_path / "room.toml"
        path.write_text(text, encoding="utf-8")
        return read_project(path)

    return read


@pytest.fixture
def set_out_of(project_of: Callable[[str], Project]) -> Callable[[str], SetOut]:
    """Sets out a room file given as text."""
    return lambda text: set_out(project_of(text))
