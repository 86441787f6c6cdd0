"""The pen that draws a section on an end plane. Expected values are formulas of plane geometry."""

from __future__ import annotations

import math

import pytest
from hand_rooms import bead, cove, ogee, rectangle

from trimwright.profile.outline import Arc
from trimwright.solid.section import EndPlane, arc_range, end_wire

SLOPES = (0.0, 0.3, -1.0, 1.7, -3.7)


@pytest.mark.parametrize("slope", SLOPES)
def test_arcs_stay_arcs(slope: float) -> None:
    """A circle seen on an oblique plane is an ellipse, and nothing else."""
    curved = "CIRCLE" if slope == 0 else "ELLIPSE"
    for outline in (cove(90, 8), bead(20), ogee()):
        kinds = [edge.geomType() for edge in end_wire(outline, 50.0, slope).Edges()]
        wanted = [curved if isinstance(s, Arc) else "LINE" for s in outline.segments]
        assert sorted(kinds) == sorted(wanted)


@pytest.mark.parametrize("slope", SLOPES)
def test_the_wire_lies_on_its_plane(slope: float) -> None:
    wire = end_wire(cove(90, 8), 120.0, slope)
    assert wire.IsClosed()
    for edge in wire.Edges():
        for part in (0.0, 0.3, 0.8):
            x, y, _ = edge.positionAt(part).toTuple()
            assert x == pytest.approx(120.0 + slope * -y, abs=1e-9)


def test_a_square_wire_has_the_outline_length() -> None:
    outline = ogee()
    assert end_wire(outline).Length() == pytest.approx(outline.perimeter, rel=1e-9)


def test_level_edges_grow_with_the_slope_and_upright_ones_do_not() -> None:
    """A rectangle w by h on a plane of slope m measures 2 w sqrt(1 + m²) + 2 h round."""
    wire = end_wire(rectangle(30, 20), slope=1.5)
    assert wire.Length() == pytest.approx(2 * 30 * math.sqrt(1 + 1.5**2) + 2 * 20, rel=1e-9)


def test_arc_range_increases_and_spans_the_sweep() -> None:
    for arc in (s for s in ogee().segments if isinstance(s, Arc)):
        first, last = arc_range(arc)
        assert 0 <= first < 2 * math.pi
        assert last - first == pytest.approx(math.pi / 2)


def test_a_plane_tells_the_station_at_any_distance_out() -> None:
    assert EndPlane(100.0, -0.5).at(40.0) == pytest.approx(80.0)
