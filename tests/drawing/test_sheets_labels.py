"""Labels keep clear of each other and of lines; checked by boxes worked out here."""

from __future__ import annotations

import math

import pytest

from trimwright.drawing.clutter import Box, on_paper
from trimwright.drawing.labels import Label, place, ring
from trimwright.drawing.marks import Anchor, Layer, Path, Text, polyline
from trimwright.profile.outline import Line


def overlap(a: Box, b: Box) -> bool:
    return a.left < b.right and b.left < a.right and a.bottom < b.top and b.bottom < a.top


def test_box_knows_which_lines_cross_it():
    box = Box(0, 0, 10, 5)
    assert box.crossed((-5, 2), (15, 2))
    assert box.crossed((3, 3), (4, 4))
    assert box.crossed((-1, -1), (11, 6))
    assert not box.crossed((-5, 6), (15, 6))
    assert not box.crossed((-5, 0), (15, 0)), "along the edge is not through"
    assert not box.crossed((-2, 3), (3, 8)), "passes the corner (0, 5) on the outside"


def test_many_labels_at_one_point_do_not_overlap():
    labels = [Label(text=f"label {k}", spots=ring((0, 0), 1.0, (2, 8, 14, 20, 26))) for k in range(20)]
    boxes, _ = on_paper(place(labels, (), 1.0), 1.0)
    assert len(boxes) == 20
    assert not any(overlap(a, b) for k, a in enumerate(boxes) for b in boxes[:k])


def test_label_avoids_lines_and_takes_the_first_clear_spot():
    bar = Path((Line((-50, 1), (50, 1)),), Layer.TRIM)
    spots = (((0, 0), Anchor.BASE), ((0, 10), Anchor.BASE), ((0, 20), Anchor.BASE))
    (text,) = place([Label(text="C1", spots=spots)], (bar,), 1.0)
    assert isinstance(text, Text)
    assert text.position == (0, 10)


def test_leader_runs_to_the_nearest_point_of_what_is_named():
    spots = (((30, 40), Anchor.MIDDLE),)
    leader, text = place([Label(text="R2", spots=spots, target=((0, 0), (100, 0)))], (), 1.0)
    assert isinstance(leader, Path)
    assert isinstance(text, Text)
    assert leader.segments[0].end == pytest.approx((30, 0))
    assert not place([Label(text="R2", spots=(((0, 1), Anchor.BASE),), target=((0, 0), (9, 0)))], (), 1.0)[1:]


def test_scale_changes_what_is_clear():
    # 40 mm apart in the model: clear at full size, one over the other at 1:100.
    other = Text((0, 0), "a long label", 2.5)
    spots = (((0, 40), Anchor.BASE_LEFT), ((0, 4000), Anchor.BASE_LEFT))
    for scale, expected in ((1.0, 40), (0.01, 4000)):
        (text,) = place([Label(text="C1", spots=spots)], (other,), scale)
        assert isinstance(text, Text)
        assert text.position[1] == expected


def test_text_box_of_turned_text():
    (box,), _ = on_paper([Text((0, 0), "1234", 2.5, angle=90)], 1.0)
    (flat,), _ = on_paper([Text((0, 0), "1234", 2.5)], 1.0)
    assert (box.width, box.height) == pytest.approx((flat.height, flat.width))
    assert math.isclose(box.bottom, 0, abs_tol=1e-9)


def test_lines_of_groups_and_arcs_are_seen():
    _, lines = on_paper([polyline([(0, 0), (10, 0), (10, 10)], Layer.WALL)], 2.0)
    assert lines == [((0, 0), (20, 0)), ((20, 0), (20, 20))]
