from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from scipy.integrate import quad
from shapely import Polygon
from shipped_sections import sections, shipped

from trimwright.profile.file import Profile
from trimwright.profile.measures import face, measure
from trimwright.profile.outline import Arc, Segment
from trimwright.profile.section import Section
from trimwright.profile.silhouette import undercut

by_name = pytest.mark.parametrize("profile", shipped(), ids=lambda profile: profile.name)


def contour(segment: Segment, power_out: int) -> float:
    """The integral of out^power d(height) along a segment, by quadrature over its own parameter."""
    if isinstance(segment, Arc):
        radius, (cx, _), first = segment.radius, segment.centre, segment.start_angle

        def over_angle(angle: float) -> float:
            return float((cx + radius * math.cos(angle)) ** power_out * radius * math.cos(angle))

        return float(quad(over_angle, first, first + segment.sweep)[0])
    (x0, y0), (x1, y1) = segment.start, segment.end
    return float(quad(lambda t: (x0 + t * (x1 - x0)) ** power_out * (y1 - y0), 0, 1)[0])


@by_name
def test_valid_at_every_extreme(profile: Profile) -> None:
    """Least, default and most of every parameter with every other."""
    ranges = [(p.least, p.default, p.most) for p in profile.parameters.values()]
    for values in itertools.product(*ranges):
        size = dict(zip(profile.parameters, values, strict=True))
        section = profile.section(size)
        assert section.drop == pytest.approx(size["drop"], abs=1e-6)
        assert section.projection == pytest.approx(size["projection"], abs=1e-6)


@given(sections())
def test_valid_between(section: Section) -> None:
    """shapely, which knows nothing of our check, finds the outline simple too."""
    polygon = Polygon(section.outline.points(0.02))
    assert polygon.is_valid
    assert polygon.area == pytest.approx(section.outline.area, rel=1e-3)


@settings(max_examples=25)
@given(sections())
def test_area_and_centroid_by_quadrature(section: Section) -> None:
    """Green: area = ∮ x dy, first moment = ½ ∮ x² dy."""
    area = sum(contour(s, 1) for s in section.outline.segments)
    moment = sum(contour(s, 2) for s in section.outline.segments) / 2
    assert section.outline.area == pytest.approx(area, rel=1e-9)
    assert section.outline.centroid[0] == pytest.approx(moment / area, rel=1e-7, abs=1e-7)


@by_name
def test_parameters_are_explained(profile: Profile) -> None:
    assert profile.about
    assert all(parameter.about for parameter in profile.parameters.values())


@pytest.mark.parametrize(
    ("name", "hidden"),
    [
        ("cove", False),
        ("cyma-cornice", False),
        ("sprung-crown", False),
        ("rail-hanging", False),
        ("skirting-lined", False),
        ("channel-surface", True),
        ("channel-deep", True),
        ("channel-angled", True),
    ],
)
def test_what_cannot_be_coped(name: str, hidden: bool) -> None:
    profile = next(p for p in shipped() if p.name == name)
    assert undercut(profile.section().outline) is hidden


def test_only_the_sprung_crown_lies_on_a_flat_back() -> None:
    """Back from the wall edge to the ceiling edge, parallel to the face line, a thickness away from it."""
    for profile in shipped():
        section = profile.section()
        if profile.name != "sprung-crown":
            assert section.flat_back is None
            continue
        back = section.flat_back
        assert back is not None
        assert (back.start[0], back.end[1]) == (0, 0)
        section = profile.section({"drop": 100, "projection": 75, "thickness": 12})
        assert measure(section).spring_angle == pytest.approx(math.degrees(math.atan(75 / 100)))
        back = section.flat_back
        assert back is not None
        # Distance of the wall edge of the back from the line of the two front edges, (0, -100) to (75, 0).
        assert abs(100 * back.start[0] - 75 * (back.start[1] + 100)) / 125 == pytest.approx(12)


@given(sections())
def test_the_face_and_what_is_covered_make_up_the_outline(section: Section) -> None:
    """A cornice covers wall and ceiling, or the void behind; the face of any section is one unbroken stretch."""
    (stretch,) = face(section.outline, None, None)
    assert sum(s.length for s in stretch) == pytest.approx(section.outline.perimeter)
    girth = measure(section).girth
    assert girth == pytest.approx(section.outline.perimeter) or section.kind != "channel"
    assert girth < section.outline.perimeter - 1 or section.kind == "channel"
    if section.kind == "cornice":
        covered = section.drop + section.projection
        if section.flat_back is not None:
            back = section.flat_back
            covered += back.length - (section.outline.bounds.top - back.start[1]) - back.end[0]
        assert girth + covered == pytest.approx(section.outline.perimeter)
        assert girth >= measure(section).face_width - 1e-9
