"""Dimensions and hatching as lines and text: what they say, where they stand, how they read."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, minimize
from specimen import COVE, box

from trimwright.drawing.dimension_rows import Stretch, placed_in_row
from trimwright.drawing.dimensions import HEIGHT, PITCH, dimension, running, spread
from trimwright.drawing.hatching import hatch_lines
from trimwright.drawing.marks import Dimension, DimensionKind, Drawing, Running, dot
from trimwright.drawing.marks import Layer as L
from trimwright.drawing.primitives import Label, Stroke, extents
from trimwright.drawing.sheet import View

VIEW = View(drawing=Drawing(""), scale=0.1, model=(0, 0), paper=(0, 0))


def label(mark: Dimension) -> Label:
    (found,) = [i for i in dimension(mark, VIEW) if isinstance(i, Label)]
    return found


@pytest.mark.parametrize(
    ("kind", "shown"),
    [(DimensionKind.HORIZONTAL, "300"), (DimensionKind.VERTICAL, "400"), (DimensionKind.ALIGNED, "500")],
)
def test_value_is_the_distance_in_the_model(kind: DimensionKind, shown: str) -> None:
    """A 3-4-5 triangle."""
    assert label(Dimension((0, 0), (300, 400), 5, kind)).text == shown


@given(st.floats(0, 360, exclude_max=True), st.floats(-30, 30), st.floats(0.1, 1000))
def test_values_read_from_bottom_or_right(angle: float, offset: float, length: float) -> None:
    """ISO 129-1: written so that they can be read from the bottom or from the right of the sheet, give or take 5."""
    end = (length * math.cos(math.radians(angle)), length * math.sin(math.radians(angle)))
    turn = label(Dimension((0, 0), end, offset)).angle
    assert -85 - 1e-6 <= turn <= 95 + 1e-6


def test_value_stands_above_its_line_in_the_middle() -> None:
    mark = Dimension((0, 0), (1000, 0), -8, DimensionKind.HORIZONTAL)
    shown = label(mark)
    assert shown.position[0] + shown.width / 2 == pytest.approx(50)
    assert -8 < shown.position[1] < -8 + HEIGHT


def test_value_too_wide_for_its_line_is_lifted_or_stands_beside_it() -> None:
    """On 7 mm of paper "P1 70" is a little too wide, on 1 mm "P1 10" much too wide."""
    little = dimension(Dimension((0, 0), (70, 0), 8, DimensionKind.HORIZONTAL, "P1 70"), VIEW)
    (lifted,) = [extents(i) for i in little if isinstance(i, Label)]
    assert (lifted[0] + lifted[2]) / 2 == pytest.approx(3.5)
    assert all(extents(i)[3] < lifted[1] for i in little if isinstance(i, Stroke))
    assert label(Dimension((0, 0), (10, 0), 8, DimensionKind.HORIZONTAL, "P1 10")).position[0] > 1


def test_nothing_is_drawn_for_no_distance() -> None:
    assert dimension(Dimension((5, 5), (5, 90), 8, DimensionKind.HORIZONTAL), VIEW) == ()


def test_extension_lines_leave_a_gap_and_no_line_crosses_a_value() -> None:
    items = dimension(Dimension((0, 0), (1000, 0), 8, DimensionKind.HORIZONTAL), VIEW)
    (shown,) = [extents(i) for i in items if isinstance(i, Label)]
    for stroke in (i for i in items if isinstance(i, Stroke)):
        left, bottom, right, top = extents(stroke)
        assert bottom > 0
        assert right < shown[0] or left > shown[2] or top < shown[1] or bottom > shown[3]


@given(st.lists(st.floats(0, 100), min_size=1, max_size=8))
def test_spread_keeps_order_and_distance(places: list[float]) -> None:
    places = sorted(places)
    moved = spread(places, 4.0)
    assert all(b - a >= 4.0 - 1e-9 for a, b in itertools.pairwise(moved))
    assert sum(moved) == pytest.approx(sum(places))


@pytest.mark.parametrize("places", [[0, 1, 2, 30], [10, 10, 10], [0, 5, 9, 9.5, 30, 31], [3.0]])
def test_spread_is_the_least_squares_answer(places: list[float]) -> None:
    """Against scipy's constrained minimum of the sum of squared moves."""
    steps = np.diff(np.eye(len(places)), axis=0)
    limits = [LinearConstraint(steps, 4.0, np.inf)] if len(places) > 1 else []
    start = np.arange(len(places)) * 10.0
    best = minimize(lambda x: np.sum((x - np.array(places)) ** 2), start, constraints=limits, method="SLSQP", tol=1e-12)
    assert spread(places, 4.0) == pytest.approx(best.x, abs=1e-4)


def test_running_values_do_not_touch_each_other() -> None:
    mark = Running((0, 0), (1, 0), ((100, 0), (110, 0), (120, 0), (900, 0)), 10)
    labels = [i for i in running(mark, VIEW) if isinstance(i, Label)]
    assert [i.text for i in labels] == ["100", "110", "120", "900"]
    assert all(i.angle == pytest.approx(90) for i in labels)
    across = [extents(i) for i in labels]
    assert all(a[2] + (PITCH - HEIGHT) - 1e-9 <= b[0] for a, b in itertools.pairwise(across))
    assert all(bottom > 10 for _, bottom, _, _ in across)


def test_running_values_below_the_line_end_at_it() -> None:
    mark = Running((0, 0), (1, 0), ((500, 0),), -10)
    (shown,) = [extents(i) for i in running(mark, VIEW) if isinstance(i, Label)]
    assert shown[3] < -10


@given(st.lists(st.tuples(st.floats(20, 3000), st.floats(0, 900)), min_size=1, max_size=8))
def test_words_in_a_row_never_meet(steps: list[tuple[float, float]]) -> None:
    """Nor does a line carried on under words beside it run along the line of another stretch."""
    row, at = [], 0.0
    for length, gap in steps:
        row.append(Stretch(at, at + length, (f"C12  {length:.1f}", f"{length:.1f}")))
        at += length + gap
    words, lines = [], []
    for stretch, placed in zip(row, placed_in_row(row, VIEW.scale), strict=True):
        if placed is not None:
            text, before = placed
            mark = Dimension((stretch.low, 0), (stretch.high, 0), 8, DimensionKind.HORIZONTAL, text, before=before)
            made = dimension(mark, VIEW)
            (label,) = [extents(i) for i in made if isinstance(i, Label)]
            words.append(label)
            level = [extents(i) for i in made if isinstance(i, Stroke)]
            lines += [(a, b) for a, low, b, high in level if high - low < 1e-9]
    for spans in ([(a, b) for a, _, b, _ in words], lines):
        for before, after in itertools.pairwise(sorted(spans)):
            assert before[1] <= after[0] + 1e-6


def test_two_short_lengths_alone_stand_before_and_after() -> None:
    """84 and 166 mm at 1:20 beside a door: neither has room over its line, each has some at its side of the pair."""
    row = [Stretch(0, 84, ("D16  83.8", "83.8")), Stretch(107, 160, ("D17  53", "53"))]
    assert placed_in_row(row, 0.05) == [("D16  83.8", True), ("D17  53", False)]


def test_hatch_lines_times_spacing_is_the_area() -> None:
    """Cavalieri: a square, a disc, and a cove, which is a square less a quarter disc."""
    square = box(0, 0, 60, 60)
    lines = hatch_lines(square, 45, 0.1)
    assert sum(line.length for line in lines) * 0.1 == pytest.approx(3600, rel=2e-3)
    lines = hatch_lines(dot((0, 0), 25, L.HATCHING).segments, 30, 0.1)
    assert sum(line.length for line in lines) * 0.1 == pytest.approx(math.pi * 25**2, rel=2e-3)
    lines = hatch_lines(COVE, 45, 0.1)
    assert sum(line.length for line in lines) * 0.1 == pytest.approx(115**2 - math.pi * 107**2 / 4, rel=5e-3)


@given(st.floats(0, 180), st.floats(0.5, 5))
def test_hatch_lines_stay_inside_and_at_their_angle(angle: float, spacing: float) -> None:
    for line in hatch_lines(box(0, 0, 40, 20), angle, spacing):
        for x, y in (line.start, line.end):
            assert -1e-6 <= x <= 40 + 1e-6
            assert -1e-6 <= y <= 20 + 1e-6
        if line.length > 1e-3:
            direction = math.degrees(math.atan2(line.end[1] - line.start[1], line.end[0] - line.start[0]))
            assert abs(math.sin(math.radians(direction - angle))) < 1e-6
