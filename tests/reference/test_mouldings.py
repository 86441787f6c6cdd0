"""Classical constructions of mouldings and sizes of cornices, against the books that give them.

Nicholson: P. Nicholson, The Mechanic's Companion, figures 6, 7, 9, 10 and 11. Hatfield: R. G. Hatfield, The American
House-Carpenter, section 310. Where a figure gives a construction, what follows from it is worked out beside the check.
"""

from __future__ import annotations

import math

import pytest

from trimwright.profile.elements import ELEMENTS, Form, Shape
from trimwright.profile.measures import legs_from_face
from trimwright.profile.outline import Arc, Point

SOLID_LEFT = Shape(material=1)


def arcs(name: str, start: Point, end: Point, shape: Shape = SOLID_LEFT) -> list[Arc]:
    pieces = ELEMENTS[name](start, end, shape)
    assert all(isinstance(piece, Arc) for piece in pieces)
    return [piece for piece in pieces if isinstance(piece, Arc)]


def sagitta(arc: Arc) -> float:
    chord = ((arc.start[0] + arc.end[0]) / 2, (arc.start[1] + arc.end[1]) / 2)
    return math.dist(arc.middle, chord)


@pytest.mark.parametrize("name", ["ovolo", "cavetto"])
def test_ovolo_and_cavetto_of_equal_sides_are_quadrants(name: str) -> None:
    """Nicholson figs 6, 7: height equal to projection, a quadrant whose radius is the height."""
    (quadrant,) = arcs(name, (0, 0), (30, 30))
    assert quadrant.radius == pytest.approx(30)
    assert abs(quadrant.sweep) == pytest.approx(math.pi / 2)
    # Climbing outwards the solid is up on the left: round about the corner behind, hollow about the one in front.
    assert quadrant.centre == pytest.approx((0, 30) if name == "ovolo" else (30, 0), abs=1e-9)


@pytest.mark.parametrize(("across", "up"), [(40, 60), (60, 40), (50, 50), (33, 57)])
@pytest.mark.parametrize("name", ["cyma_recta", "cyma_reversa"])
def test_flat_cyma_is_two_arcs_of_sixty_degrees(name: str, across: float, up: float) -> None:
    """Nicholson fig. 11 (Sheraton and Moxon the same): an equilateral triangle on each half chord.

    So the radius is half the chord, the sagitta r (1 - cos 30°) = 0.133975 r, the length of each arc r π / 3.
    """
    one, two = arcs(name, (0, 0), (across, up))
    half = math.hypot(across, up) / 2
    for arc in (one, two):
        assert arc.radius == pytest.approx(half)
        assert math.dist(arc.centre, arc.start) == pytest.approx(half)
        assert sagitta(arc) == pytest.approx(0.133975 * half, rel=1e-5)
        assert arc.length == pytest.approx(half * math.pi / 3)
    middle = (across / 2, up / 2)
    mirrored = (2 * middle[0] - one.centre[0], 2 * middle[1] - one.centre[1])
    assert two.centre == pytest.approx(mirrored), "the centres lie alike on either side of the middle"


@pytest.mark.parametrize(("name", "flat_ends"), [("cyma_recta", True), ("cyma_reversa", False)])
def test_thick_cyma_is_two_quadrants(name: str, flat_ends: bool) -> None:
    """Nicholson fig. 10: two quadrants of half the height, their centres level with the middle of a cyma recta.

    A cyma recta leaves its ends level, a cyma reversa upright (Nicholson; Ware, The American Vignola).
    """
    one, two = arcs(name, (0, 0), (40, 40), Shape(material=1, form=Form.THICK))
    for arc, end in ((one, (0, 0)), (two, (40, 40))):
        assert arc.radius == pytest.approx(20)
        assert abs(arc.sweep) == pytest.approx(math.pi / 2)
        across, up = arc.centre[0] - end[0], arc.centre[1] - end[1]
        assert abs(across if flat_ends else up) == pytest.approx(0, abs=1e-9), "radius at right angles to the tangent"
    if flat_ends:
        assert (one.centre[1], two.centre[1]) == pytest.approx((20, 20))


@pytest.mark.parametrize("form", list(Form))
def test_cyma_recta_is_hollow_where_it_stands_out(form: Form) -> None:
    """Nicholson: recta hollow in the projecting part and round in the receding; reversa the contrary.

    Under a ceiling, from the wall (low) out to the ceiling edge (high): solid above and behind, on the left.
    """
    shape = Shape(material=1, form=form)
    low, high = arcs("cyma_recta", (0, 0), (40, 50), shape)
    assert (low.clockwise, high.clockwise) == (False, True)
    low, high = arcs("cyma_reversa", (0, 0), (40, 50), shape)
    assert (low.clockwise, high.clockwise) == (True, False)


def test_scotia_of_three_parts() -> None:
    """Nicholson fig. 9: height in three; upper quadrant one part, lower two, tangent; the foot stands out one part."""
    height = 60.0
    lower, upper = arcs("scotia", (20 + height / 3, 0), (20, height))
    assert (lower.radius, upper.radius) == pytest.approx((2 * height / 3, height / 3))
    assert (lower.centre[1], upper.centre[1]) == pytest.approx((2 * height / 3, 2 * height / 3))
    assert abs(lower.sweep) == pytest.approx(math.pi / 2)
    assert abs(upper.sweep) == pytest.approx(math.pi / 2)
    assert lower.end[0] == pytest.approx(20 + height / 3 - 2 * height / 3), "hollowed into the solid"


@pytest.mark.parametrize("name", ["torus", "bead"])
def test_torus_and_bead_are_half_rounds(name: str) -> None:
    """Nicholson, Hatfield: astragal or bead a semicircle, torus a larger one."""
    (half,) = arcs(name, (10, 0), (10, 16))
    assert half.radius == pytest.approx(8)
    assert half.length == pytest.approx(8 * math.pi)
    assert half.middle == pytest.approx((18, 8))


def test_label_of_127_by_its_face() -> None:
    """Common practice, no source: the coving sold as 127 mm is struck to lines 90 mm down and 90 mm out."""
    legs = legs_from_face(127)
    assert (legs.drop, legs.projection) == pytest.approx((89.8, 89.8), abs=0.01)
    assert round(legs.drop / 5) * 5 == 90
    # The mistake of reading the label as the leg: √2 - 1 = 41 % out.
    assert 127 / legs.drop - 1 == pytest.approx(math.sqrt(2) - 1)
