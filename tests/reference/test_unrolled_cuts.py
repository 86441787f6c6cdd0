"""The unrolled cut of a quarter-round against the curve of a cylinder cut by a plane, in closed form.

Unrolled, the cut of a circular cylinder of radius r by a plane is a sine curve; on the cylinder it is an ellipse with
half axes r and r sqrt(1 + k²), k the slope of the plane along the cylinder per unit across it. Unrolling keeps
lengths, so a quarter of the curve is as long as a quarter of the ellipse: a E(m), with a the longer half axis,
m = 1 - (b/a)² and E the complete elliptic integral of the second kind (NIST Digital Library of Mathematical
Functions, 19.30(i), from memory; the integral is that of scipy).
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from scipy.special import ellipe

from trimwright.drawing.developed.lines import Marked, cut_line
from trimwright.drawing.developed.strip import strip_of
from trimwright.profile.outline import Arc, Line, Outline
from trimwright.profile.section import Section
from trimwright.room import Frame
from trimwright.setout.piece import End, Joint, JointPolicy, Material, Piece, Side, Trim

RADIUS = 60.0


def quarter_round(hollow: bool) -> Outline:
    """In the corner of wall and ceiling: a solid quadrant, or the square less a quadrant."""
    r = RADIUS
    centre = (r, -r) if hollow else (0.0, 0.0)
    curve = Arc((0.0, -r), (r, 0.0), centre, clockwise=hollow)
    return Outline.of((curve, Line((r, 0.0), (0.0, 0.0)), Line((0.0, 0.0), (0.0, -r))))


def mitred_end(corner: float, side: Side, hollow: bool) -> list[Marked]:
    outline = quarter_round(hollow)
    trim = Trim(
        name="bead",
        letter="B",
        section=Section(name="bead", kind="cornice", outline=outline),
        outline=outline.moved(0.0, 2500.0),
        material=Material(name="softwood", density=500, colour="#eeeeee"),
        walls=(0,),
        joints=JointPolicy(internal=Joint.MITRE, external=Joint.MITRE, end=Joint.RETURN, length=Joint.SCARF),
        stock=(),
    )
    k = 1 / math.tan(math.radians(corner / 2))
    left = End(joint=Joint.MITRE, station=0.0, slope=k, corner=corner)
    right = End(joint=Joint.MITRE, station=3000.0, slope=-k, corner=corner)
    piece = Piece(id="B1", trim=trim, wall=0, frame=Frame((0.0, 0.0), (1.0, 0.0)), left=left, right=right)
    return cut_line(piece, side, strip_of(trim))


@pytest.mark.parametrize("corner", [60.0, 89.7, 90.0, 135.0, 225.0, 270.4])
@pytest.mark.parametrize("side", list(Side))
def test_unrolled_mitre_of_a_quarter_round_is_a_sine(corner: float, side: Side) -> None:
    """From the wall up, a point at girth g stands o = r sin(g / r) out, and the plane is o cot(C/2) off the corner."""
    k = 1 / math.tan(math.radians(corner / 2))
    for p in mitred_end(corner, side, hollow=False):
        setback = RADIUS * math.sin(p.girth / RADIUS) * k
        assert p.station == pytest.approx(setback if side is Side.LEFT else 3000.0 - setback, abs=1e-9)


@pytest.mark.parametrize("corner", [60.0, 90.0, 225.0])
def test_unrolled_mitre_of_a_hollow_is_the_sine_turned_over(corner: float) -> None:
    """In a hollow struck from the room the point stands r (1 - cos(g / r)) out."""
    k = 1 / math.tan(math.radians(corner / 2))
    for p in mitred_end(corner, Side.LEFT, hollow=True):
        assert p.station == pytest.approx(RADIUS * (1 - math.cos(p.girth / RADIUS)) * k, abs=1e-9)


@pytest.mark.parametrize("corner", [60.0, 90.0, 135.0, 225.0])
@pytest.mark.parametrize("hollow", [False, True])
def test_length_of_the_unrolled_mitre_is_an_elliptic_integral(corner: float, hollow: bool) -> None:
    """The chords stay within CHORD = 0.02 of a curve some 100 long: short of it by less than a part in 1000."""
    line = mitred_end(corner, Side.RIGHT, hollow)
    k = 1 / math.tan(math.radians(corner / 2))
    longer = RADIUS * math.hypot(1.0, k)
    exact = longer * float(ellipe(1 - (RADIUS / longer) ** 2))
    length = sum(math.hypot(b.station - a.station, b.girth - a.girth) for a, b in pairwise(line))
    assert 0.999 * exact < length < exact
    assert line[-1].girth == pytest.approx(RADIUS * math.pi / 2), "a quarter of the way round"


def test_finer_chords_come_nearer_to_the_integral(monkeypatch: pytest.MonkeyPatch) -> None:
    """With chords a thousand times finer the length agrees to a part in a million."""
    monkeypatch.setattr("trimwright.drawing.developed.lines.CHORD", 2e-5)
    line = mitred_end(90.0, Side.RIGHT, hollow=False)
    length = sum(math.hypot(b.station - a.station, b.girth - a.girth) for a, b in pairwise(line))
    # k = 1: a = r sqrt(2), m = 1/2, E(1/2) = 1.350643881... (Abramowitz and Stegun, table 17.1, from memory).
    assert float(ellipe(0.5)) == pytest.approx(1.3506438810, abs=1e-10)
    assert length == pytest.approx(RADIUS * math.sqrt(2) * 1.3506438810, rel=1e-6)
