from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon
from shipped_sections import sections

from trimwright.profile.outline import Arc, Line, Outline, Point
from trimwright.profile.section import Section
from trimwright.profile.silhouette import behind_silhouette, front_silhouette, undercut


def polygon(*points: Point) -> Outline:
    return Outline.of(Line(a, b) for a, b in pairwise([*points, points[0]]))


@settings(max_examples=30)
@given(sections(), st.floats(0.01, 0.99))
def test_greatest_out_at_each_height(section: Section, part: float) -> None:
    """A level line across the polygon of a fine outline, by shapely, ends where the silhouette is."""
    bounds = section.outline.bounds
    height = bounds.bottom + part * (bounds.top - bounds.bottom)
    fine = Polygon(section.outline.points(0.005))
    expected = fine.intersection(LineString([(bounds.back - 1, height), (bounds.front + 1, height)])).bounds[2]
    line = front_silhouette(section.outline)
    ring = Polygon(Outline.of([*line, *closing(line, bounds.back - 1)]).points(0.005))
    found = ring.intersection(LineString([(bounds.back - 1, height), (bounds.front + 1, height)])).bounds[2]
    assert found == pytest.approx(expected, abs=0.1)


def closing(line: tuple[Arc | Line, ...], back: float) -> list[Line]:
    corners = [line[-1].end, (back, line[-1].end[1]), (back, line[0].start[1]), line[0].start]
    return [Line(a, b) for a, b in pairwise(corners)]


@given(sections())
def test_runs_from_bottom_to_top_without_a_gap(section: Section) -> None:
    line, bounds = front_silhouette(section.outline), section.outline.bounds
    assert (line[0].start[1], line[-1].end[1]) == pytest.approx((bounds.bottom, bounds.top), abs=1e-6)
    for one, two in pairwise(line):
        assert math.dist(one.end, two.start) < 1e-5
    for piece in line:
        assert piece.end[1] > piece.start[1] - 1e-9
        assert isinstance(piece, Line) or piece.end[1] > piece.start[1]


@given(sections(), st.floats(1, 50))
def test_what_a_mate_keeps_out_of_holds_the_section(section: Section, depth: float) -> None:
    region = behind_silhouette(section.outline, depth)
    assert region.bounds.back == pytest.approx(section.outline.bounds.back - depth)
    # What it has beyond the strip behind the back is the section and the hollows behind its front.
    assert region.area - depth * section.drop >= section.outline.area - 1e-6


def test_a_round_keeps_one_exact_arc() -> None:
    """A half round of radius 8 on a flat: the silhouette is flat, arc, flat; nothing is cut into chords."""
    arc = Arc((4, 2), (4, 18), (4, 10), clockwise=False)
    flats = [Line((4, 18), (4, 20)), Line((4, 20), (0, 20)), Line((0, 20), (0, 0))]
    outline = Outline.of([Line((0, 0), (4, 0)), Line((4, 0), (4, 2)), arc, *flats])
    assert front_silhouette(outline) == (Line((4, 0), (4, 2)), arc, Line((4, 18), (4, 20)))
    assert behind_silhouette(outline, 5).area == pytest.approx(20 * 9 + math.pi * 64 / 2)


def test_an_overhang_jumps_and_a_round_shoulder_is_parted_at_its_tip() -> None:
    outline = polygon((0, 0), (5, 0), (5, 10), (9, 10), (9, 20), (0, 20))
    assert front_silhouette(outline) == (Line((5, 0), (5, 10)), Line((5, 10), (9, 10)), Line((9, 10), (9, 20)))
    # A lip whose top is a half round: the outline climbs its front quarter and falls down its back quarter.
    tip = Arc((20, 10), (10, 10), (15, 10), clockwise=False)
    lip = Outline.of(
        [
            Line((0, 0), (20, 0)),
            Line((20, 0), (20, 10)),
            tip,
            Line((10, 10), (10, 5)),
            Line((10, 5), (6, 5)),
            Line((6, 5), (6, 30)),
            Line((6, 30), (0, 30)),
            Line((0, 30), (0, 0)),
        ]
    )
    front = front_silhouette(lip)
    assert [type(piece).__name__ for piece in front] == ["Line", "Arc", "Line", "Line"]
    assert front[1].end == pytest.approx((15, 15))
    assert front[2].end == pytest.approx((6, 15))
    assert not undercut(lip), "a groove behind a lip opens upwards"


SECTIONS: dict[str, tuple[bool, list[Point]]] = {
    "a plain block": (False, [(0, 0), (20, 0), (20, 30), (0, 30)]),
    "a drip groove": (True, [(0, 0), (10, 0), (10, 4), (14, 4), (14, 0), (20, 0), (20, 30), (0, 30)]),
    "a drip under an overhang": (
        True,
        [(0, 0), (8, 0), (8, 20), (10, 20), (10, 24), (12, 24), (12, 20), (20, 20), (20, 30), (0, 30)],
    ),
    "a groove in the top": (False, [(0, 0), (20, 0), (20, 30), (14, 30), (14, 20), (10, 20), (10, 30), (0, 30)]),
    "a hollow back": (False, [(0, 0), (20, 0), (20, 30), (0, 30), (0, 20), (5, 20), (5, 10), (0, 10)]),
    "a rebate at the back, open below": (False, [(5, 0), (20, 0), (20, 30), (0, 30), (0, 10), (5, 10)]),
    "a square slot in the front": (
        False,
        [(0, 0), (20, 0), (20, 10), (15, 10), (15, 14), (20, 14), (20, 30), (0, 30)],
    ),
    "a dovetail slot in the front": (
        True,
        [(0, 0), (20, 0), (20, 10), (15, 8), (15, 16), (20, 14), (20, 30), (0, 30)],
    ),
    "a sloping soffit": (False, [(0, 0), (5, 0), (5, 10), (20, 20), (20, 30), (0, 30)]),
    "a beak": (True, [(0, 0), (5, 0), (5, 20), (18, 10), (20, 10), (20, 30), (0, 30)]),
}
"""Whether a pocket behind the front opens downwards or outwards, and the corners of the section."""


@pytest.mark.parametrize("what", SECTIONS)
def test_undercut(what: str) -> None:
    hidden, corners = SECTIONS[what]
    assert undercut(polygon(*corners)) is hidden
