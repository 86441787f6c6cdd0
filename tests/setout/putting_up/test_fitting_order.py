"""Every piece can be brought to its place: its way is gone along with the bodies themselves, past all that are up."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold, Mesh64
from shapely import LineString, Polygon, affinity, box

from trimwright.errors import TrimwrightError
from trimwright.mesh.piece import piece_meshes
from trimwright.mesh.shape import Mesh
from trimwright.setout.piece import Joint, SetOut, Side
from trimwright.setout.plan_shapes import bite, hull, shared, swept
from trimwright.setout.putting_up.approach import Approach, WayIn
from trimwright.setout.putting_up.standing import HAND, ROUGH, YIELDS, Standing, standing
from trimwright.setout.putting_up.turned import swung_about
from trimwright.setout.putting_up.ways_in import way_in

MOVED = (Approach.STRAIGHT, Approach.SLANTING, Approach.BELOW, Approach.ABOVE)

STEPS = (0.02, 0.1, 0.3, 0.6, 1.0)


def manifold(mesh: Mesh) -> Manifold:
    return Manifold(Mesh64(np.ascontiguousarray(mesh.vertices), mesh.faces.astype(np.uint64)))


def thickness(body: Manifold) -> float:
    """Of what two bodies share: that of a slab with its volume and surface."""
    return 2 * body.volume() / body.surface_area() if body.volume() > 0 else 0.0


def check_ways(done: SetOut) -> None:
    """Along each way, in steps, no piece comes more than the play of a joint into one that is up."""
    bodies = {name: manifold(mesh) for name, mesh in piece_meshes(done, 0.1).items()}
    up: list[str] = []
    for name in done.order:
        piece = done.piece(name)
        own = standing(piece, done.room)
        way = way_in(own, [standing(done.piece(other), done.room) for other in up], done.room)
        assert way is not None, name
        if way.approach in MOVED and not way.turn:
            for part in STEPS:
                far = part * (own.depth + HAND)
                steps = [(way.out[0] * far, way.out[1] * far, way.lift)]
                steps += [(0.0, 0.0, way.lift * part)] if way.lift else []
                for step in steps:
                    moved = bodies[name].translate(step)
                    met = [thickness(moved ^ bodies[other]) for other in up]
                    assert max(met, default=0.0) < 0.3, (name, way, step)
        up.append(name)


def places(own: Standing, way: WayIn) -> Iterator[Polygon]:
    """Plans of a piece on its way, worked out by shapely; none for what is bent or turned upright on it."""
    for shape in map(Polygon, own.parts):
        if way.turn and way.approach is not Approach.TILTED:
            pivot = swung_about(own, Side.LEFT if way.turn < 0 else Side.RIGHT)
            yield from (affinity.rotate(shape, way.turn * part, origin=pivot) for part in STEPS)
        elif way.approach in (*MOVED, Approach.ENDWAYS):
            far = own.piece.length + HAND if way.approach is Approach.ENDWAYS else own.depth + HAND
            yield from (affinity.translate(shape, way.out[0] * far * k, way.out[1] * far * k) for k in STEPS)


def check_walls(done: SetOut) -> None:
    """On its way no piece goes deeper into a wall than walls yield; one without a way is named."""
    corners = done.room.outline(0.01)
    walls = LineString([*corners, corners[0]] if done.room.closed else corners)
    up: list[Standing] = []
    for name in done.order:
        own = standing(done.piece(name), done.room)
        way = way_in(own, up, done.room)
        if way is None:
            (note,) = [note for note in done.notes if "no way in" in note]
            assert name in note.partition(" find")[0].split(", ")
        else:
            for place in places(own, way):
                common = place.buffer(-YIELDS - ROUGH * (own.piece.bend is not None), join_style="mitre") & walls
                assert common.length < 0.5, (name, way, common.length)
        up.append(own)


def test_examples_can_be_fitted(example: SetOut) -> None:
    check_ways(example)
    check_walls(example)
    assert sorted(example.order) == sorted(piece.id for piece in example.pieces)


def test_what_is_coped_over_is_up_first(example: SetOut) -> None:
    """Common practice, no source: the mate first, then the cope; a return after the piece that it ends."""
    place = {name: k for k, name in enumerate(example.order)}
    for piece in example.pieces:
        for end in (piece.left, piece.right):
            if end.joint is Joint.COPE or (piece.is_return and end.mate):
                assert place[end.mate or ""] < place[piece.id]


def test_what_lies_behind_goes_up_first(set_out_of: Callable[[str], SetOut]) -> None:
    """A batten before a rail would bar it, though battens go up first where they can."""
    text = alcove(profile="rail-plain", drop=60, projection=20, walls='"all"') + (
        '[[trim]]\nname = "strip"\nprofile = "batten"\nsize = { drop = 20, projection = 10 }\nback = "rail.front"\n'
        'bottom = "rail.bottom"\n'
    )
    done = set_out_of(text)
    assert [done.piece(name).trim.name for name in done.order] == ["rail"] * 3 + ["strip"] * 3
    check_ways(done)


def test_battens_then_channels_then_downwards(example: SetOut) -> None:
    kinds = [example.piece(name).trim for name in example.order]
    ranks = [{"batten": 0, "channel": 1}.get(t.section.kind, 2) for t in kinds]
    assert ranks == sorted(ranks)
    tops = [t.edges.top for t, rank in zip(kinds, ranks, strict=True) if rank == 2]
    assert tops == sorted(tops, reverse=True)


ROOM = """
format = 1
[room]
name = "Quad"
ceiling = 2400
[[wall]]
name = "a"
length = {0}
[[wall]]
name = "b"
length = {1}
[[wall]]
name = "c"
length = {2}
[[wall]]
name = "d"
length = {3}
[[diagonal]]
corners = [1, 3]
length = {4}
[[trim]]
name = "cornice"
profile = "{5}"
back = "wall"
top = "ceiling"
material = "{6}"
joints = {{ internal = "{7}" }}
stock = [{{ length = 2400 }}]
"""

side = st.integers(1500, 5000)


@settings(max_examples=12)
@given(
    side,
    side,
    st.floats(-60, 60),
    st.floats(-60, 60),
    st.sampled_from(["cove", "rail-ogee"]),
    st.sampled_from(["cope", "mitre"]),
)
def test_rooms_out_of_square_can_be_fitted(
    set_out_of: Callable[[str], SetOut], a: int, b: int, skew: float, slant: float, profile: str, joint: str
) -> None:
    """Four walls, corners up to some degrees off: whichever wall the round begins at, there is one that closes it."""
    corners = [(0.0, 0.0), (float(a), 0.0), (a + skew, -float(b)), (slant, -float(b))]
    walls = [math.dist(p, q) for p, q in zip(corners, [*corners[1:], corners[0]], strict=True)]
    text = ROOM.format(*walls, math.dist(corners[0], corners[2]), profile, "softwood", joint)
    try:
        done = set_out_of(text)
    except TrimwrightError:
        return
    check_ways(done)
    check_walls(done)


ALCOVE = """
format = 1
[room]
name = "Alcove"
ceiling = 2400
closed = false
[[wall]]
name = "left cheek"
length = {cheek}
internal = {left}
[[wall]]
name = "back"
length = {back}
internal = {right}
[[wall]]
name = "right cheek"
length = {cheek}
[[trim]]
name = "rail"
profile = "{profile}"
size = {{ drop = {drop}, projection = {projection} }}
walls = {walls}
back = "wall"
bottom = 2000
material = "{material}"
joints = {{ internal = "{joint}", end = "square" }}
"""


def alcove(
    left: float = 90.0, right: float = 90.0, back: float = 1000.0, cheek: float = 600.0, walls: str = '["back"]',
    profile: str = "batten", drop: float = 40.0, projection: float = 20.0, material: str = "softwood",
    joint: str = "mitre",
) -> str:  # fmt: skip
    """A rail in a bay of three walls; corners below 90 let the cheeks lean in over its back wall."""
    return ALCOVE.format(**locals())


def way_of(done: SetOut, number: int = 0) -> WayIn | None:
    return way_in(standing(done.pieces[number], done.room), [], done.room)


def test_between_true_walls_it_comes_straight(set_out_of: Callable[[str], SetOut]) -> None:
    """Corners of 90, and walls that open towards the room; and such as lean in by less than they yield: 0.7."""
    for corner in (90.0, 95.0, 89.5):
        way = way_of(set_out_of(alcove(corner, corner)))
        assert way is not None
        assert way.approach is Approach.STRAIGHT


def test_where_one_wall_leans_in_it_comes_along_that_wall(set_out_of: Callable[[str], SetOut]) -> None:
    """80 on the left and 100 on the right: a parallelogram, along whose sides it slides."""
    done = set_out_of(alcove(80, 100))
    own, way = standing(done.pieces[0], done.room), way_of(done)
    assert way is not None
    assert way.approach is Approach.SLANTING
    slope = math.cos(math.radians(80))
    assert way.out[0] * own.along[0] + way.out[1] * own.along[1] == pytest.approx(slope)


def test_walls_that_lean_in_a_little_let_it_swing(set_out_of: Callable[[str], SetOut]) -> None:
    """At 88.5 both, with k = cot 88.5, 80 out it is 2.1 too long at each end; swung in, L k² / 2 = 0.34 at the most."""
    way = way_of(set_out_of(alcove(88.5, 88.5)))
    assert way is not None
    assert way.approach is Approach.SWUNG
    assert 1000 * (1 / math.tan(math.radians(88.5))) ** 2 / 2 < YIELDS < 80 / math.tan(math.radians(88.5))


def test_a_dovetail_is_sprung_or_tilted(set_out_of: Callable[[str], SetOut]) -> None:
    """By k = cot 85 at each end too long 80 out, s = 14 in all: a bow of sqrt(3 L s / 8) = 72.4 strains a strip of 20
    by 4 b f / L² = 0.0058, too much; held at t with L cos t + H sin t <= L - s it passes, over its diagonal."""
    done = set_out_of(alcove(85, 85, joint="square"))
    own, way = standing(done.pieces[0], done.room), way_of(done)
    assert way is not None
    assert way.approach is Approach.TILTED
    low, high = own.piece.extent
    between = 1000 - 2 * (20 + 20 + HAND) / math.tan(math.radians(85))
    for degrees, fits in ((way.turn, True), (way.turn - 1, False)):
        t = math.radians(degrees)
        assert ((high - low) * math.cos(t) + 40 * math.sin(t) <= between + 1e-6) is fits
    bowed = set_out_of(alcove(85, 85, projection=6, material="mdf"))
    sprung = way_of(bowed)
    assert sprung is not None
    assert sprung.approach is Approach.SPRUNG
    short = 2 * (6 + HAND) / math.tan(math.radians(85))
    assert sprung.bow == pytest.approx(math.sqrt(3 * 1000 * short / 8), rel=0.02)


def test_a_dovetail_of_plaster_has_no_way_and_is_named(set_out_of: Callable[[str], SetOut]) -> None:
    """Its diagonal, hypot(1000, 150) = 1011.2, is over by more than walls yield, and plaster does not bow."""
    done = set_out_of(alcove(80, 80, drop=150, projection=40, material="gypsum plaster"))
    assert way_of(done) is None
    assert any(note.startswith("R1 finds no way in") for note in done.notes)


def test_before_a_wall_that_stands_too_near_it_is_slid_in_endways(set_out_of: Callable[[str], SetOut]) -> None:
    """A slot 90 wide: a rail of 20 on its cheek is not in hand before it has come out 80, and takes 20 more."""
    done = set_out_of(alcove(back=90, walls='["left cheek"]'))
    own, way = standing(done.pieces[0], done.room), way_of(done)
    assert way is not None
    assert way.approach in (Approach.ENDWAYS, Approach.SLANTING)
    assert way.out[0] * own.along[0] + way.out[1] * own.along[1] < -0.5
    wide = way_of(set_out_of(alcove(back=101, walls='["left cheek"]')))
    assert wide is not None
    assert wide.approach is Approach.STRAIGHT


corner = st.floats(70, 110)


@settings(max_examples=40)
@given(
    corner,
    corner,
    st.floats(60, 2500),
    st.floats(80, 900),
    st.sampled_from(['["back"]', '"all"', '["left cheek"]', '["back", "right cheek"]']),
    st.sampled_from(["cove", "batten"]),
    st.sampled_from(["softwood", "gypsum plaster"]),
    st.sampled_from(["cope", "mitre", "square"]),
)
def test_no_way_leads_through_a_wall(
    set_out_of: Callable[[str], SetOut], left: float, right: float, back: float, cheek: float, walls: str,
    profile: str, material: str, joint: str,
) -> None:  # fmt: skip
    shape = {"drop": 60.0, "projection": 60.0}
    text = alcove(left, right, back, cheek, walls, profile, material=material, joint=joint, **shape)
    try:
        done = set_out_of(text)
    except TrimwrightError:
        return
    check_walls(done)


point = st.tuples(st.integers(-50, 50), st.integers(-50, 50)).map(lambda p: (float(p[0]), float(p[1])))


@given(st.lists(point, min_size=3, max_size=8), st.integers(-40, 40), st.integers(5, 60), point)
def test_plan_shapes_against_shapely(
    points: list[tuple[float, float]], x: int, size: int, by: tuple[float, float]
) -> None:
    outline = hull(points)
    if len(outline) < 3 or Polygon(outline).area < 1:
        return
    square = [(float(x), 0.0), (float(x + size), 0.0), (float(x + size), float(size)), (float(x), float(size))]
    assert Polygon(outline).area == pytest.approx(Polygon(points).convex_hull.area if len(points) > 2 else 0)
    both = Polygon(outline).intersection(box(x, 0, x + size, size))
    common = shared(square, outline)
    assert (Polygon(common).area if len(common) > 2 else 0.0) == pytest.approx(both.area, abs=1e-6)
    assert (bite(outline, square) > 1e-9) == (both.area > 1e-9)
    moved = Polygon([(px + by[0], py + by[1]) for px, py in outline])
    assert Polygon(swept(outline, by)).area == pytest.approx(Polygon(outline).union(moved).convex_hull.area)
