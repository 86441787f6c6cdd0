from __future__ import annotations

import math
from pathlib import Path

import pytest

from trimwright.profile.file import list_profiles, read_profile
from trimwright.profile.library import find_profile, shipped_profiles

GOOD = """
format = 1
name = "test"
kind = "rail"
[parameters]
drop = { default = 60, least = 20, most = 90 }
projection = { default = 20, least = 10, most = 40 }
lip = { default = 2, least = 0, most = 5 }
[outline]
start = [0, 0]
steps = [ { line = ["projection", 0] }, { line = ["projection", "drop - lip"] }, { line = [0, "drop"] } ]
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "test.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_every_shipped_profile_reads_and_is_named_after_its_file() -> None:
    profiles = list_profiles()
    assert [profile.name for profile in profiles] == list(shipped_profiles())
    assert {"cornice", "rail", "channel", "batten", "dado"} <= {profile.kind for profile in profiles}


def test_cove_area_is_closed_form() -> None:
    """A quarter circle of radius r taken from the square leaves r²(1 - π/4); the lips add two strips."""
    cove = read_profile(find_profile("cove", Path()))
    plain = cove.section({"drop": 90, "projection": 90, "lip": 0})
    assert plain.outline.area == pytest.approx(90**2 * (1 - math.pi / 4), rel=1e-12)
    lipped = cove.section({"drop": 115, "projection": 115})
    assert lipped.outline.area == pytest.approx(107**2 * (1 - math.pi / 4) + 8 * 115 + 8 * 107, rel=1e-12)
    assert (lipped.drop, lipped.projection) == pytest.approx((115, 115), abs=1e-9)


def test_a_path_is_taken_from_the_room_files_folder(tmp_path: Path) -> None:
    written(tmp_path, GOOD)
    section = read_profile(find_profile("./test.toml", tmp_path)).section({"drop": 50})
    assert section.outline.area == pytest.approx(50 * 20 - 2 * 20 / 2)
    assert dict(section.parameters) == {"drop": 50, "projection": 20, "lip": 2}
