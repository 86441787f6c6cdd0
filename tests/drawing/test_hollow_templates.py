"""Templates for grooves and housings: true to size, seen from behind, and their sections against closed forms."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from box_rooms import four_walls
from trimwright.drawing.full_size import FullSize
from trimwright.drawing.hollow_section import cut_across
from trimwright.drawing.hollow_template import hollow_templates
from trimwright.drawing.marks import Layer, Path, Text
from trimwright.drawing.piece_sheet import piece_sheet
from trimwright.profile.outline import Point
from trimwright.setout.piece import SetOut

WALLS = four_walls()
BATTEN = (
    '[[trim]]\nname = "batten"\nprofile = "batten"\nsize = { drop = 100, projection = 60 }\n'
    'back = "wall"\nbottom = 2000\n'
)
RADIUS = 7.5 + 3
PIPE = '[[pipe]]\nwall = "north"\nname = "gas"\ndiameter = 15\n'
BEND = f"{PIPE}points = [[1000, 20, 2040], [2000, 20, 2040], [2200, 20, 2240]]\n"
BOX = (
    '[[fitting]]\nwall = "north"\nname = "box"\nfrom_left = 700\nwidth = 190\nbottom = 2045\ntop = 2065\nout = 30\n'
    "let_in = true\n"
)


def room(more: str, trim: str = BATTEN, walls: str = WALLS) -> str:
    return f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{walls}{more}{trim}'


def points(template: FullSize, layer: Layer) -> list[Point]:
    paths = [m for m in template.drawing.marks if isinstance(m, Path) and m.layer is layer]
    return [p for path in paths for s in path.segments for p in (s.start, s.end)]


def area(loop: tuple[Point, ...]) -> float:
    """By the shoelace formula."""
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(loop, (*loop[1:], loop[0]), strict=True))) / 2


def test_a_groove_has_one_for_its_end_its_bend_and_where_it_leaves(set_out_of: Callable[[str], SetOut]) -> None:
    """At the bend, 2000 from the left end, it climbs at 45 degrees, seen from behind to the left, and comes out of the
    upper edge 60 beyond: line A is half-way. Its lines lie a radius to both sides of the axis."""
    done = set_out_of(room(BEND))
    end, bend = hollow_templates(done)
    assert end.title == "Groove for gas in B1: where it ends"
    assert bend.title == "Groove for gas in B1: where it bends and where it comes out"
    assert "2030 from the left end of B1" in " ".join(bend.words)
    back = [(x - 30, y) for x, y in points(bend, Layer.CUT) if x < 76]
    assert sorted(y for x, y in back if x == pytest.approx(45)) == pytest.approx([40 - RADIUS, 40 + RADIUS], abs=0.01)
    straight, away = {round(y + x, 2) for x, y in back if x < -RADIUS}, RADIUS * math.sqrt(2)
    assert straight == {round(40 - away, 2), round(40 + away, 2)}


def test_the_end_of_a_groove_is_round(set_out_of: Callable[[str], SetOut]) -> None:
    end = hollow_templates(set_out_of(room(BEND)))[0]
    rim = [p for p in points(end, Layer.CUT) if 0 < p[0] < 46]
    assert max(x for x, _ in rim) == pytest.approx(RADIUS, abs=0.02)
    assert all(math.dist(p, (0, 40)) == pytest.approx(RADIUS, abs=0.02) for p in rim)


def test_the_section_is_a_half_circle_carried_to_the_back(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(room(BEND))
    piece = done.pieces[0]
    cut = cut_across(piece, piece.grooves[0], 1500)
    expected = 2 * RADIUS * 20 + math.pi * RADIUS**2 / 2
    assert sum(map(area, cut.away)) == pytest.approx(expected, rel=1e-3)
    assert sum(map(area, cut.left)) == pytest.approx(6000 - expected, rel=1e-3)
    assert max(out for loop in cut.away for out, _ in loop) == pytest.approx(20 + RADIUS, abs=0.02)


def test_a_housing_has_one_for_each_of_its_ends(set_out_of: Callable[[str], SetOut]) -> None:
    """200 by 30, 35 deep: its left edge lies on line A of the one, its right edge on that of the other."""
    left, right = hollow_templates(set_out_of(room(BOX)))
    assert "housing 200 wide, 35 deep from the back, from 695 to 895 from the left, 40 to 70 above" in left.words[0]
    for template, side in ((left, -1), (right, 1)):
        corners = [p for p in points(template, Layer.CUT) if abs(p[0]) <= 45]
        assert {round(x) for x, _ in corners} == {0, side * 45}
        assert {round(y) for _, y in corners} == {40, 70}


def test_the_back_of_a_bent_piece_is_drawn_flat(set_out_of: Callable[[str], SetOut]) -> None:
    """A batten whose back stands 40 off a wall of radius 4000 that bows into the room is longer there by 4040 / 4000:
    the ends of a groove from 1000 to 1060 are 60.6 apart on it."""
    walls = WALLS.replace("length = 4000\n", 'length = 4000\nradius = 4000\nbow = "in"\n', 1)
    bent = BATTEN.replace('back = "wall"', "back = 40") + 'curve = "bent"\nmaterial = "hardwood"\n'
    pipe = f'{PIPE}direction = "horizontal"\nheight = 2050\nout = 60\nfrom = 1000\nto = 1060\n'
    (template,) = hollow_templates(set_out_of(room(pipe, bent, walls)))
    across = [x for x, _ in points(template, Layer.CUT) if abs(x) < 80]
    assert max(across) - min(across) == pytest.approx((60 + 2 * RADIUS) * 1.01, abs=0.05)


def test_segments_that_are_cut_alike_share_a_template(set_out_of: Callable[[str], SetOut]) -> None:
    walls = WALLS.replace("length = 4000\n", 'length = 4000\nradius = 4000\nbow = "out"\n', 1)
    pipe = f'{PIPE}direction = "horizontal"\nheight = 2050\nout = 20\n'
    done = set_out_of(room(pipe, walls=walls))
    found = hollow_templates(done)
    segments = [piece for piece in done.pieces if piece.wall == 0]
    assert len(segments) > 10
    assert len(found) < 8
    assert max(len(template.title.split(",")) for template in found) >= len(segments) - 3


def test_it_says_which_end_is_where(set_out_of: Callable[[str], SetOut]) -> None:
    """From behind, the left end is on the right."""
    marks = hollow_templates(set_out_of(room(BEND)))[0].drawing.marks
    said = {m.text: m.position[0] for m in marks if isinstance(m, Text)}
    assert said["to the left end"] > 0 > said["to the right end"]


def test_the_slip_of_a_piece_shows_it_dashed_with_its_sizes(set_out_of: Callable[[str], SetOut]) -> None:
    sheet = piece_sheet(set_out_of(room(BOX)).pieces[0])
    assert any("housing 200 wide, 35 deep" in m.text for m in sheet.marks if isinstance(m, Text))
    for view, levels in zip(sheet.views[:2], ({2040, 2070}, {0, -35}), strict=True):
        dashed = [m for m in view.drawing.marks if isinstance(m, Path) and m.layer is Layer.HIDDEN]
        assert {round(p[0]) for m in dashed for s in m.segments for p in (s.start, s.end)} == {695, 895}
        assert {round(p[1]) for m in dashed for s in m.segments for p in (s.start, s.end)} == levels


def test_a_housing_is_cut_across_inside_it_at_both_ends(set_out_of: Callable[[str], SetOut]) -> None:
    """Both sections show what is cut away: 190 + 2 * 5 of clearance is too long for one template, so there are two."""
    left, right = hollow_templates(set_out_of(room(BOX)))
    for template in (left, right):
        loops = [m for m in template.drawing.marks if isinstance(m, Path) and m.layer is Layer.CUT and m.closed]
        (away,) = [tuple(s.start for s in loop.segments) for loop in loops]
        assert area(away) == pytest.approx((30 + 5) * (20 + 2 * 5), rel=1e-3)
