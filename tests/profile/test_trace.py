from __future__ import annotations

import math
from pathlib import Path

import ezdxf
import pytest
from ezdxf.math import rational_bspline_from_arc

from trimwright.errors import ProfileError
from trimwright.profile.file import read_profile
from trimwright.profile.outline import Arc, Outline
from trimwright.profile.trace import read_trace

QUARTER = math.tan(math.radians(90) / 4)
"""DXF bulge of a quarter circle: tan(angle / 4)."""

COVE_AREA = 100**2 * (1 - math.pi / 4)
"""Hollow quarter of radius 100 taken from its square."""


def svg(folder: Path, body: str) -> Path:
    path = folder / "trace.svg"
    path.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 200">{body}</svg>', encoding="utf-8")
    return path


def dxf(folder: Path) -> tuple[ezdxf.document.Drawing, Path]:
    return ezdxf.new(), folder / "trace.dxf"


def arcs(outline: Outline) -> list[Arc]:
    return [s for s in outline.segments if isinstance(s, Arc)]


def test_a_closed_polyline_keeps_its_bulge_as_an_arc(tmp_path: Path) -> None:
    document, path = dxf(tmp_path)
    # A cove of 2 units: wall corner up, along the ceiling, hollow back to the wall edge.
    points = [(5, 5, 0), (5, 7, 0), (7, 7, QUARTER)]
    document.modelspace().add_lwpolyline(points, format="xyb", close=True)
    document.saveas(path)
    outline = read_trace(path, drop=100, projection=None)
    assert outline.area == pytest.approx(COVE_AREA, rel=1e-9)
    assert [arc.radius for arc in arcs(outline)] == pytest.approx([100])
    assert outline.bounds == pytest.approx((0, 0, 100, 100), abs=1e-9)


def test_loose_lines_and_an_arc_are_joined_in_any_order(tmp_path: Path) -> None:
    document, path = dxf(tmp_path)
    space = document.modelspace()
    space.add_line((0, 0), (0, 10))
    space.add_arc((10, 0), 10, 90, 180)
    space.add_line((10, 10), (0, 10))
    document.saveas(path)
    outline = read_trace(path, drop=None, projection=100)
    assert outline.area == pytest.approx(COVE_AREA, rel=1e-9)
    assert len(arcs(outline)) == 1


def test_an_arc_seen_from_below_turns_the_other_way(tmp_path: Path) -> None:
    """In DXF an extrusion of (0, 0, -1) mirrors x: angles 0 to 90 about (-10, 0) are 90 to 180 about (10, 0)."""
    document, path = dxf(tmp_path)
    space = document.modelspace()
    space.add_arc((-10, 0), 10, 0, 90, dxfattribs={"extrusion": (0, 0, -1)})
    space.add_lwpolyline([(0, 0), (0, 10), (10, 10)])
    document.saveas(path)
    assert read_trace(path, drop=100, projection=None).area == pytest.approx(COVE_AREA, rel=1e-9)


def test_a_circle_is_a_round(tmp_path: Path) -> None:
    document, path = dxf(tmp_path)
    document.modelspace().add_circle((3, 3), 1)
    document.saveas(path)
    assert read_trace(path, drop=20, projection=None).area == pytest.approx(math.pi * 100, rel=1e-12)


def test_a_spline_is_followed_within_the_tolerance(tmp_path: Path) -> None:
    """A rational spline that is a circle of radius 5, drawn to 50: lines stay within 0.05 mm of it, few suffice."""
    document, path = dxf(tmp_path)
    document.modelspace().add_spline().apply_construction_tool(rational_bspline_from_arc((8, 8), 5, 0, 360))
    document.saveas(path)
    outline = read_trace(path, drop=100, projection=None)
    ends = [math.hypot(x - 50, y - 50) for x, y in (s.start for s in outline.segments)]
    middles = [
        math.dist(((s.start[0] + s.end[0]) / 2, (s.start[1] + s.end[1]) / 2), (50, 50)) for s in outline.segments
    ]
    assert min(middles) > 50 - 2 * 0.05
    assert max(ends) < 50 + 0.05
    # A chord with sagitta 0.05 at radius 50 spans 2 acos(1 - 0.05/50) = 5.1 degrees: 70 go round. Simplifying
    # halves spans until they fit, so it may need twice as many.
    assert 35 < len(outline.segments) <= 141
    assert outline.bounds.top == pytest.approx(100, abs=1e-9)


def test_svg_y_is_turned_up_and_arcs_stay_arcs(tmp_path: Path) -> None:
    # y runs down: ceiling at y 0, wall at x 0. Hollow from the ceiling edge to the wall edge, round (20, 20).
    path = svg(tmp_path, '<path d="M0,0 L0,20 A20,20 0 0 1 20,0 Z"/>')
    outline = read_trace(path, drop=100, projection=None)
    assert outline.area == pytest.approx(COVE_AREA, rel=1e-9)
    assert outline.centroid[1] > 50, "the material of a cove is at the ceiling"
    assert [arc.centre for arc in arcs(outline)] == [pytest.approx((100, 0), abs=1e-9)]


def test_svg_transforms_and_polygons(tmp_path: Path) -> None:
    path = svg(tmp_path, '<g transform="translate(7 9) scale(2)"><polygon points="0,0 0,30 10,30"/></g>')
    outline = read_trace(path, drop=60, projection=None)
    assert outline.area == pytest.approx(60 * 20 / 2)


def test_svg_curves_become_lines_within_the_tolerance(tmp_path: Path) -> None:
    """Area under the cubic (0,0) (0,h) (w,h) (w,0) is 0.6 w h (Green's theorem: closed form 3/5)."""
    path = svg(tmp_path, '<path d="M0,30 C0,0 40,0 40,30 Z"/>')
    outline = read_trace(path, drop=None, projection=80)
    assert outline.area == pytest.approx(0.6 * 80 * 60, rel=2e-3)
    assert not arcs(outline)


def test_a_profile_file_may_point_to_a_trace(tmp_path: Path) -> None:
    svg(tmp_path, '<path d="M0,0 L0,20 A20,20 0 0 1 20,0 Z"/>')
    path = tmp_path / "found.toml"
    head = 'format = 1\nname = "found"\nkind = "cornice"\noutline = "trace.svg"\n'
    path.write_text(head + "drop = 95\n", encoding="utf-8")
    profile = read_profile(path)
    assert profile.section().drop == pytest.approx(95, abs=1e-9)
    assert profile.section({"projection": 95.02}).projection == pytest.approx(95, abs=1e-9)
    with pytest.raises(ProfileError, match="drop: 90 is less than 95, the least it may be"):
        profile.section({"drop": 90})
    for wrong in ("", "drop = 95\nprojection = 95\n"):
        path.write_text(head + wrong, encoding="utf-8")
        with pytest.raises(ProfileError, match="true drop or its true projection, one of them"):
            read_profile(path)


def test_xml_that_multiplies_or_reaches_out_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "trace.svg"
    for text in (
        '<!DOCTYPE x [<!ENTITY a "aa"><!ENTITY b "&a;&a;">]><svg><path d="&b;"/></svg>',
        '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]><svg><text>&a;</text></svg>',
        "<svg><path",
    ):
        path.write_text(text, encoding="utf-8")
        with pytest.raises(ProfileError, match="not a plain SVG file"):
            read_trace(path, drop=10, projection=None)
    with pytest.raises(ProfileError, match="copied elements"):
        read_trace(svg(tmp_path, '<g id="a"/><use href="#a"/>'), drop=10, projection=None)


@pytest.mark.parametrize(
    ("body", "message"),
    [
        ('<path d="M0,0 L0,20 L20,0"/>', "the outline is open"),
        ('<path d="M0,0 L0,20 L20,0 Z"/><path d="M50,0 L50,20 L70,0 Z"/>', "edges besides the closed outline"),
        ("<text>hello</text>", "no lines, arcs"),
    ],
)
def test_what_is_no_single_closed_outline_is_refused(tmp_path: Path, body: str, message: str) -> None:
    with pytest.raises(ProfileError, match=message):
        read_trace(svg(tmp_path, body), drop=10, projection=None)


def test_wrong_files_are_refused(tmp_path: Path) -> None:
    for name, content, message in (
        ("trace.png", b"x", "is a .dxf or .svg"),
        ("trace.dxf", b"no drawing", "not a readable DXF"),
        ("big.svg", b" " * 1_000_001, "at most 1000 kB"),
    ):
        (tmp_path / name).write_bytes(content)
        with pytest.raises(ProfileError, match=message):
            read_trace(tmp_path / name, drop=10, projection=None)
    with pytest.raises(ProfileError, match="cannot be read: No such file"):
        read_trace(tmp_path / "none.svg", drop=10, projection=None)
