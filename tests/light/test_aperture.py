"""Mouths of the shipped channels, from the parameters of their own files."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest

from trimwright.light.aperture import Aperture, aperture
from trimwright.profile.file import read_profile
from trimwright.profile.library import find_profile


def mouth_of(name: str, **sizes: float) -> Aperture | None:
    return aperture(read_profile(find_profile(name, Path())).section(sizes).outline)


@pytest.mark.parametrize(
    ("name", "sizes", "width", "facing", "bed"),
    [
        # projection less two walls and two lips; the strip lies on the web, one wall from the edge.
        ("channel-upright", {"projection": 20, "wall": 1.5, "lip": 1.5}, 14, (0, 1), 17),
        ("channel-surface", {"projection": 30, "wall": 2, "lip": 1}, 24, (0, -1), 26),
        ("channel-deep", {"projection": 24, "wall": 1.5}, 21, (0, -1), 21),
        # corner to corner, 2 walls from each side of 18: (18 - 3) √2; its floor is bevelled from 0.6 x 18 to the wall.
        ("channel-angled", {"drop": 18, "projection": 18}, 15 * math.sqrt(2), (0.70711, -0.70711), 9.3 * math.sqrt(2)),
    ],
)
def test_shipped_channels(name: str, sizes: dict[str, float], width: float, facing: tuple, bed: float) -> None:
    mouth = mouth_of(name, **sizes)
    assert mouth is not None
    assert mouth.width == pytest.approx(width)
    assert mouth.facing == pytest.approx(facing, abs=1e-4)
    assert mouth.bed_width == pytest.approx(bed)


def test_a_solid_section_has_none() -> None:
    assert mouth_of("batten") is None


def test_words_for_the_way_it_faces() -> None:
    words = [mouth.words for name in ("channel-upright", "channel-angled") if (mouth := mouth_of(name))]
    assert words == ["up", "down and out"]


def test_closed_by_a_diffuser() -> None:
    """With the mouth bridged the area is that of the box for a plain U: drop x projection."""
    mouth = mouth_of("channel-upright", drop=15, projection=20)
    assert mouth is not None
    loop = [*mouth.closed, mouth.closed[0]]
    area = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in itertools.pairwise(loop)) / 2
    assert area == pytest.approx(15 * 20)
