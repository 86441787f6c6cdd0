"""Trims along curved walls: segments against the closed forms of the circle, bent pieces at their corners."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from curved_rooms import CURVE, curved_room, sweep_of, trim
from trimwright.errors import DoesNotFit
from trimwright.frame import Bend
from trimwright.room import segments_within
from trimwright.setout.curved.bends import end_station
from trimwright.setout.curved.facets import facet_points, stands_off
from trimwright.setout.curved.unroll import unrolled
from trimwright.setout.piece import Joint, Piece, SetOut, Side

RADIUS, CHORD = 2400.0, 3000.0
SWEEP = sweep_of(RADIUS, CHORD)

WIDE = 9000.0
"""Radius of a wall whose corners, where it bows in, are still nearly square."""

SetOutOf = Callable[[str], SetOut]


def on_curve(done: SetOut) -> list[Piece]:
    wall = next(w for w in done.room.walls if w.name == CURVE)
    return [p for p in done.pieces if p.wall == wall.index and not p.is_return]


def met(done: SetOut, piece: Piece, side: Side) -> float:
    """How far back and front of an end are from those of its mate's, mm."""
    end = piece.end(side)
    assert end.mate is not None
    mate, other = done.piece(end.mate), Side.LEFT if side is Side.RIGHT else Side.RIGHT
    edges = piece.trim.edges
    return max(
        math.dist(piece.frame.plan(end.at(o), o), mate.frame.plan(mate.end(other).at(o), o))
        for o in (edges.back, edges.front)
    )


@pytest.mark.parametrize("sagitta", [1.0, 3.0, 10.0])
def test_segments_are_equal_chords_within_the_sagitta(set_out_of: SetOutOf, sagitta: float) -> None:
    """Over n equal parts of a sweep a: chord 2 r sin(a / 2n), standing off r (1 - cos(a / 2n)), n the least."""
    done = set_out_of(curved_room(trim(), more=f"sagitta = {sagitta}"))
    pieces = on_curve(done)
    count = len(pieces)
    assert RADIUS * (1 - math.cos(SWEEP / (2 * count))) <= sagitta < RADIUS * (1 - math.cos(SWEEP / (2 * count - 2)))
    for piece in pieces:
        assert piece.back_length == pytest.approx(2 * RADIUS * math.sin(SWEEP / (2 * count)), abs=0.01)
        wall = done.room.walls[piece.wall].frame
        ends = [wall.locate(piece.frame.plan(s))[1] for s in (0.0, piece.back_length)]
        assert ends == pytest.approx([0, 0], abs=1e-6)
        middle = wall.locate(piece.frame.plan(piece.back_length / 2))[1]
        assert middle == pytest.approx(RADIUS * (1 - math.cos(SWEEP / (2 * count))), abs=0.01)
    note = next(n for n in done.notes if CURVE in n)
    assert f"{count} straight segments" in note
    assert f"by up to {RADIUS * (1 - math.cos(SWEEP / (2 * count))):.1f}" in note


def test_before_a_wall_that_bows_in_segments_touch_it_with_their_middles(set_out_of: SetOutOf) -> None:
    """Tangents: 2 r tan(a / 2m) long, the first and last half that, their joints r (1 / cos(a / 2m) - 1) off."""
    sweep = sweep_of(WIDE, CHORD)
    pieces = on_curve(set_out_of(curved_room(trim(), radius=WIDE, bow="in")))
    parts = len(pieces) - 1
    whole = 2 * WIDE * math.tan(sweep / (2 * parts))
    assert [p.back_length for p in pieces] == pytest.approx([whole / 2, *[whole] * (parts - 1), whole / 2], abs=0.01)
    off = WIDE * (1 / math.cos(sweep / (2 * parts)) - 1)
    assert 0 < off <= 3.0 < WIDE * (1 / math.cos(sweep / (2 * parts - 2)) - 1)


def test_a_segment_too_short_for_its_corner(set_out_of: SetOutOf) -> None:
    """Where a tight curve bows in, its corners are sharp and its first segment is half of one: the remedy is named."""
    with pytest.raises(DoesNotFit, match=r"let segments stand off the wall more \(sagitta 3\)"):
        set_out_of(curved_room(trim(), bow="in"))
    assert on_curve(set_out_of(curved_room(trim(), bow="in", more="sagitta = 20")))


@pytest.mark.parametrize("bow", ["out", "in"])
def test_seams_are_mitred_by_half_the_turn_whatever_is_asked(set_out_of: SetOutOf, bow: str) -> None:
    for joints in ('internal = "cope"', 'internal = "square", external = "square"'):
        pieces = on_curve(set_out_of(curved_room(trim(joints=joints), radius=WIDE, bow=bow)))
        turn = sweep_of(WIDE, CHORD) / (len(pieces) if bow == "out" else len(pieces) - 1)
        for piece, following in pairwise(pieces):
            assert piece.right.joint is following.left.joint is Joint.MITRE
            assert piece.right.seam
            assert following.left.seam
            assert piece.right.mate == following.id
            assert following.left.mate == piece.id
            wanted = 180 - math.degrees(turn) * (1 if bow == "out" else -1)
            assert piece.right.corner == pytest.approx(wanted, abs=1e-3)
            assert abs(piece.right.slope) == pytest.approx(math.tan(turn / 2), abs=1e-6)


@settings(max_examples=30, deadline=None)
@given(
    radius=st.floats(700, 15_000),
    part=st.floats(0.05, 0.98),
    inward=st.booleans(),
    sagitta=st.floats(0.2, 20),
    low=st.floats(0, 0.45),
    high=st.floats(0.55, 1),
)
def test_segments_never_enter_the_wall_nor_stand_off_too_far(
    radius: float, part: float, inward: bool, sagitta: float, low: float, high: float
) -> None:
    bend = Bend.between((0.0, 0.0), (2 * radius * part, 0.0), radius, inward)
    length = 2 * math.asin(part) * radius
    points = facet_points(bend, low * length, high * length, sagitta)
    faces = list(pairwise(points))
    assert stands_off(bend, faces) <= sagitta + 1e-6
    assert math.dist(points[0], bend.plan(low * length)) < 1e-6
    assert math.dist(points[-1], bend.plan(high * length)) < 1e-6
    for (x0, y0), (x1, y1) in faces:
        for k in range(11):
            assert bend.locate((x0 + (x1 - x0) * k / 10, y0 + (y1 - y0) * k / 10))[1] > -1e-6


@pytest.mark.parametrize("bow", ["out", "in"])
@pytest.mark.parametrize("curve", ["segments", "bent"])
def test_all_joints_of_a_curved_room_meet(set_out_of: SetOutOf, bow: str, curve: str) -> None:
    extra = f'curve = "{curve}"\nmaterial = "hardwood"\nsize = {{ drop = 45, projection = 40 }}'
    done = set_out_of(curved_room(trim(extra), bow=bow))
    for piece in done.pieces:
        for side in Side:
            assert met(done, piece, side) < 1e-6, (piece.id, side)


def test_a_bent_piece_is_an_arc_at_the_wall_and_at_its_front(set_out_of: SetOutOf) -> None:
    """Square ends: an arc of the wall's own length, at the front shorter in the ratio of the radii."""
    joints = 'internal = "mitre", end = "square"'
    text = curved_room(trim(f'curve = "bent"\nmaterial = "pu foam"\nwalls = ["{CURVE}"]', joints=joints), bow="in")
    done = set_out_of(text)
    (piece,) = on_curve(done)
    edges = piece.trim.edges
    assert piece.bend is not None
    assert piece.bend.radius_at(edges.front) == RADIUS + edges.front
    assert piece.front_length / piece.back_length == pytest.approx((RADIUS + edges.front) / RADIUS)
    # Its corners are sharper than square: each end is cut square where its front meets the other wall.
    for side, wall in ((Side.LEFT, 0), (Side.RIGHT, 2)):
        frame = done.room.walls[wall].frame
        outs = (edges.back, edges.front)
        clear = [frame.locate(piece.frame.plan(piece.end(side).at(out), out))[1] for out in outs]
        assert min(clear) == pytest.approx(0, abs=1e-6)


def test_a_mitre_of_arc_and_straight_halves_nothing_but_meets(set_out_of: SetOutOf) -> None:
    """The plane runs through the crossings of circle and line: (x - cx)^2 + y^2 = R^2, solved here by hand."""
    done = set_out_of(curved_room(trim('curve = "bent"\nmaterial = "pu foam"')))
    piece = on_curve(done)[0]
    bend, front = piece.bend, piece.trim.edges.front
    assert bend is not None
    # The first wall runs along the x axis; its trim's front is the line y = -front.
    reach = math.sqrt((RADIUS - front) ** 2 - (-front - bend.centre[1]) ** 2)
    x = bend.centre[0] + reach
    mitred = done.piece(str(piece.left.mate))
    assert mitred.right.at(front) == pytest.approx(x, abs=1e-6)
    assert piece.frame.plan(piece.left.at(front), front) == pytest.approx((x, -front), abs=1e-6)


def test_the_end_plane_of_a_bent_piece_is_plane(set_out_of: SetOutOf) -> None:
    done = set_out_of(curved_room(trim('curve = "bent"\nmaterial = "pu foam"')))
    piece = on_curve(done)[0]
    outs = [piece.trim.edges.front * k / 6 for k in range(7)]
    points = [piece.frame.plan(s, o) for s, o in zip(end_station(piece, Side.LEFT, outs), outs, strict=True)]
    (ax, ay), (bx, by) = points[0], points[-1]
    for x, y in points:
        assert (bx - ax) * (y - ay) - (by - ay) * (x - ax) == pytest.approx(0, abs=1e-5)


def test_an_opening_over_several_segments(set_out_of: SetOutOf) -> None:
    """Each stretch beside it is divided by itself; its end, square to a chord, clears the casing with its front."""
    window = f'[[opening]]\nwall = "{CURVE}"\nkind = "window"\nfrom_left = 700\nwidth = 1800\nsill = 600\nhead = 2100\n'
    rail = trim('material = "mdf"', "rail-plain", 'back = "wall"\nbottom = 1000', "rail", 'end = "square"')
    done = set_out_of(curved_room(window, rail))
    pieces = [p for p in unrolled(done).pieces if p.wall == 1]
    front = pieces[0].trim.edges.front
    ends = [(p.left.at(front), p.right.at(front)) for p in pieces]
    free = [k for k, p in enumerate(pieces) if p.right.mate is None]
    assert ends[free[0]][1] == pytest.approx(700, abs=1e-6)
    assert ends[free[0] + 1][0] == pytest.approx(2500, abs=1e-6)
    for (_, a), (b, _) in pairwise(ends):
        assert a == pytest.approx(b, abs=1e-6) or (a == pytest.approx(700) and b == pytest.approx(2500))


def test_unrolled_segments_lie_end_to_end_along_the_face(set_out_of: SetOutOf) -> None:
    done = set_out_of(curved_room(trim()))
    flat = [p for p in unrolled(done).pieces if p.wall == 1]
    assert flat[0].left.at(0) == pytest.approx(0, abs=1e-6)
    assert flat[-1].right.at(0) == pytest.approx(RADIUS * SWEEP, abs=0.01)
    for a, b in pairwise(flat):
        assert a.right.at(0) == pytest.approx(b.left.at(0), abs=1e-6)
        # A seam is radial: unrolled it stands upright.
        assert a.right.slope == pytest.approx(0, abs=1e-9)


def test_segments_follow_a_ceiling_out_of_level(set_out_of: SetOutOf) -> None:
    text = curved_room(trim('follow = "ceiling"')).replace("ceiling = 2500", "ceiling = [2500, 2500, 2506, 2506]")
    pieces = on_curve(set_out_of(text))
    top = pieces[0].trim.edges.top
    for k, piece in enumerate(pieces):
        rise = [piece.height(s, top) for s in (0.0, piece.back_length)]
        assert rise == pytest.approx([2500 + 6 * k / len(pieces), 2500 + 6 * (k + 1) / len(pieces)], abs=0.02)


BENT = 'curve = "bent"\n'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (curved_room(trim(BENT + 'material = "gypsum plaster"')), "gypsum plaster is not bent"),
        (
            curved_room(trim(BENT + 'material = "hardwood"')),
            "bends to a radius of 4000 at the least, and 2300 is asked",
        ),
        (
            curved_room(trim(BENT + 'material = "pu foam"\nfollow = "ceiling"')).replace(
                "ceiling = 2500", "ceiling = [2500, 2500, 2506, 2506]"
            ),
            "it would have to twist",
        ),
    ],
)
def test_what_cannot_be_bent_is_refused_with_the_choices(set_out_of: SetOutOf, text: str, said: str) -> None:
    with pytest.raises(DoesNotFit, match=said) as caught:
        set_out_of(text)
    assert 'curve = "segments"' in str(caught.value)


def test_a_bent_piece_longer_than_stock_is_scarfed_along_the_arc(set_out_of: SetOutOf) -> None:
    done = set_out_of(curved_room(trim(BENT + 'material = "pu foam"\nstock = [{ length = 2000 }]')))
    first, second = on_curve(done)
    assert first.right.joint is second.left.joint is Joint.SCARF
    assert met(done, first, Side.RIGHT) < 1e-9
    assert max(first.length, second.length) <= 2000


@given(radius=st.floats(500, 20_000), part=st.floats(0.05, 0.99), sagitta=st.floats(0.01, 50))
def test_the_least_number_of_chords(radius: float, part: float, sagitta: float) -> None:
    bend = Bend.between((0.0, 0.0), (2 * radius * part, 0.0), radius, inward=False)
    sweep = 2 * math.asin(part)
    count = segments_within(bend, sweep * radius, sagitta)
    assert radius * (1 - math.cos(sweep / (2 * count))) <= sagitta * (1 + 1e-6)
    if count > 1:
        assert radius * (1 - math.cos(sweep / (2 * (count - 1)))) > sagitta * (1 - 1e-6)


@pytest.mark.parametrize("curve", ["segments", "bent"])
@pytest.mark.parametrize("off", [0.0, 0.3, -0.3])
def test_a_wall_may_run_smoothly_into_a_curve_and_that_into_the_next(
    set_out_of: SetOutOf, curve: str, off: float
) -> None:
    """Tangent lines and arcs (corners of 180, or nearly): the joints are square and meet."""
    half = math.degrees(SWEEP) / 2
    text = 'format = 1\n[room]\nname = "S"\nceiling = 2500\nclosed = false\n'
    text += f'[[wall]]\nname = "straight"\nlength = 2000\ninternal = {180 - half + off}\n'
    text += f'[[wall]]\nname = "out"\nlength = {CHORD}\nradius = {RADIUS}\nbow = "out"\ninternal = 180\n'
    text += f'[[wall]]\nname = "in"\nlength = {CHORD}\nradius = {RADIUS}\nbow = "in"\n'
    done = set_out_of(text + trim(f'curve = "{curve}"\nmaterial = "pu foam"'))
    assert done.room.corners[1] is not None
    assert done.room.corners[1].angle == pytest.approx(180 + off, abs=1e-6)
    for piece in done.pieces:
        for side in Side:
            if piece.end(side).mate is not None:
                assert met(done, piece, side) < 1e-6, (piece.id, side)
