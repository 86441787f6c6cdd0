"""What profiles/README.md shows is what the program reads."""

from __future__ import annotations

import math
import re
from pathlib import Path

import ezdxf
import pytest

from trimwright.profile.elements import ELEMENTS
from trimwright.profile.expression import FUNCTIONS
from trimwright.profile.file import read_profile
from trimwright.profile.library import shipped_folder

GUIDE = (shipped_folder() / "README.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```toml\n(.*?)```", GUIDE, re.DOTALL)


def test_the_example_of_steps_is_a_profile(tmp_path: Path) -> None:
    path = tmp_path / "beaded-rail.toml"
    path.write_text(EXAMPLES[0], encoding="utf-8")
    section = read_profile(path).section({"bead": 5})
    # Half round of radius 5, the flat above it set back as far as the half round stands out.
    assert section.outline.area == pytest.approx(50 * 18 - 12.5 * 5 + math.pi * 25 / 2)


def test_the_example_of_a_trace_is_a_profile(tmp_path: Path) -> None:
    document = ezdxf.new()
    document.modelspace().add_lwpolyline([(0, 0), (0, 19), (16, 19)], close=True)
    document.saveas(tmp_path / "old-cornice.dxf")
    path = tmp_path / "old-cornice.toml"
    path.write_text(EXAMPLES[1], encoding="utf-8")
    assert read_profile(path).section().projection == pytest.approx(80)


def test_every_element_and_function_is_explained() -> None:
    words = set(re.findall(r"\w+", GUIDE))
    assert words >= set(ELEMENTS) | set(FUNCTIONS)
