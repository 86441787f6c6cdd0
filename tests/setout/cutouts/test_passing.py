"""What becomes of a trim at an upright pipe, by what is left of it; volumes against closed forms."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from box_rooms import four_walls
from trimwright.mesh.piece import piece_meshes
from trimwright.setout.piece import Joint, SetOut
from trimwright.setout.putting_up.approach import Approach
from trimwright.setout.putting_up.standing import PLAY, standing
from trimwright.setout.putting_up.tucked import tucked
from trimwright.setout.putting_up.ways_in import way_in
from trimwright.setout.volume import swept_volume
from trimwright.solid.build import room_solids
from trimwright.solid.joints import joint_faults
from trimwright.tolerance import CHORD
from trimwright.work.steps import no_way_in

WALLS = four_walls()


def room(*pipes: str, projection: float = 90, walls: str = '["north"]', joints: str = "", back: str = '"wall"') -> str:
    trim = (
        f'[[trim]]\nname = "board"\nprofile = "batten"\nsize = {{ drop = 50, projection = {projection} }}\n'
        f"back = {back}\nbottom = 2000\nwalls = {walls}\n{joints}"
    )
    return f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{WALLS}{"".join(pipes)}{trim}'


def pipe(
    out: float, more: str = "", left: float = 1000, wall: str = "north", name: str = "riser", diameter: float = 22
) -> str:
    """22 thick, which with 3 round it asks for a hole of 28."""
    place = f"from_left = {left}\nout = {out}\ndiameter = {diameter}"
    return f'[[pipe]]\nwall = "{wall}"\nname = "{name}"\n{place}\n{more}\n'


def cut_away(done: SetOut) -> tuple[float, float]:
    """Volume that all notches take: of the meshes, and of the solids; joints are checked by the kernel."""
    solids, meshes = room_solids(done), piece_meshes(done)
    assert not joint_faults(done, solids)
    whole = sum(swept_volume(piece) for piece in done.pieces)
    return whole - sum(m.volume for m in meshes.values()), whole - sum(s.Volume() for s in solids.values())


CIRCLE = math.pi * 14 * 14


@pytest.mark.parametrize(
    ("out", "projection", "opens", "area"),
    [
        (40, 90, "back", 28 * 40 + CIRCLE / 2),  # web 90 - 54
        (40, 61, None, 28 * 40 + CIRCLE / 2),  # web 7: too thin for a slot, enough for a joint that goes straight in
        (40, 56, None, 28 * 16 + CIRCLE / 2),  # web 2 in front, 26 behind: joined behind the pipe
    ],
)
def test_what_is_cut_out(
    set_out_of: Callable[[str], SetOut], out: float, projection: float, opens: str | None, area: float
) -> None:
    """A U is a half circle and w a beyond it; a hole a circle; a joint has half of each in both pieces."""
    done = set_out_of(room(pipe(out), projection=projection))
    assert len(done.pieces) == (2 if opens is None else 1)
    if opens is None:
        left, right = done.pieces
        assert (left.right.mate, right.left.mate, left.right.joint) == (right.id, left.id, Joint.SQUARE)
        assert left.right.station == right.left.station == 1000
    else:
        assert [n.opens for n in done.pieces[0].notches] == [opens]
    mesh, solid = cut_away(done)
    assert solid == pytest.approx(area * 50, rel=1e-9)
    assert mesh == pytest.approx(area * 50, rel=1e-3)
    assert not no_way_in(done)


def test_a_deep_slot_becomes_a_hole_with_a_plug(set_out_of: Callable[[str], SetOut]) -> None:
    """8 thick, 75 out: 68 behind the hole of 14 are worth a plug; what is gone in the end is the circle alone."""
    done = set_out_of(room(pipe(75).replace("= 22", "= 8"), projection=100))
    (notch,) = done.pieces[0].notches
    assert (notch.opens, notch.width, notch.depth) == ("hole", 14, 75 + 7)
    mesh, solid = cut_away(done)
    assert solid == pytest.approx(math.pi * 7 * 7 * 50, rel=1e-9)
    assert mesh == pytest.approx(math.pi * 7 * 7 * 50, rel=2e-3)
    assert not no_way_in(done)


@pytest.mark.parametrize(
    ("asked", "found", "pieces"),
    [("hole", "hole", 1), ("back", "back", 1), ("joint", "back", 2), ("stop", None, 2), ("front", "back", 1)],
)
def test_what_a_pipe_asks_for_is_done_where_the_section_bears_it(
    set_out_of: Callable[[str], SetOut], asked: str, found: str | None, pieces: int
) -> None:
    """A slot open to the front cannot be brought over a pipe from floor to ceiling; that is said."""
    done = set_out_of(room(pipe(40, f'notch = "{asked}"')))
    assert len(done.pieces) == pieces
    assert {n.opens for p in done.pieces for n in p.notches} == ({found} if found else set())
    assert any("'front' would leave too little" in note for note in done.notes) is (asked == "front")
    if asked == "stop":
        assert [e.at(0) for e in (done.pieces[0].right, done.pieces[1].left)] == [986, 1014]


def test_between_two_pipes_that_both_cut_a_trim_no_stub_is_left(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(room(pipe(40), pipe(40, left=1080, name="return"), projection=56))
    assert [(p.left.station, p.right.station) for p in done.pieces] == [(0, 986), (1094, 4000)]
    apart = set_out_of(room(pipe(40), pipe(40, left=1200, name="return"), projection=61))
    assert [(p.left.station, p.right.station) for p in apart.pieces] == [(0, 1000), (1000, 1200), (1200, 4000)]


def test_a_slot_that_only_nibbles_at_the_front_is_as_wide_as_it_is_cut(set_out_of: Callable[[str], SetOut]) -> None:
    """A circle of radius 14 is 2 sqrt(10 * 18) wide at a depth of 10; on the mesh it is as wide, but for chords."""
    done = set_out_of(room(pipe(60, "to = 2030"), projection=56))
    (notch,) = done.pieces[0].notches
    assert (notch.opens, notch.depth, notch.width) == ("front", 10, pytest.approx(2 * math.sqrt(180)))
    mesh = piece_meshes(done)[done.pieces[0].id].vertices
    stations = [done.pieces[0].frame.locate((x, y)) for x, y, _ in mesh.tolist()]
    rim = [s for s, out in stations if abs(out - 56) < 1e-6 and 900 < s < 1100]
    assert max(rim) - min(rim) == pytest.approx(notch.width, abs=4 * CHORD)


DOOR = '[[opening]]\nwall = "north"\nkind = "door"\nfrom_left = 2000\nwidth = 800\nhead = 2060\narchitrave = 70\n'


@pytest.mark.parametrize(
    ("left", "low", "high"), [(1905, 1905 - 14, 2870), (2890, 1930, 2890 + 14), (1925, 1911, 2870)]
)
def test_between_a_pipe_and_a_casing_no_stub_is_left(
    set_out_of: Callable[[str], SetOut], left: float, low: float, high: float
) -> None:
    """The casing stands from 1930 to 2870; what would be left beside it is said."""
    done = set_out_of(room(pipe(40, left=left), DOOR, projection=56))
    ends = [(p.left.station, p.right.station) for p in done.pieces if not p.is_return]
    assert ends == [(0, low), (high, 4000)]
    beyond = 1930 - left if left < 2000 else left - 2870
    assert (
        f"board on north: stops square at pipe riser, since no more than {beyond} would be left beyond it" in done.notes
    )
    far = set_out_of(room(pipe(40, left=1700), DOOR, projection=56))
    assert [p.right.station for p in far.pieces if not p.is_return] == [1700, 1930, 4000]


def test_why_pieces_stop_at_a_pipe_is_said_and_nothing_else(set_out_of: Callable[[str], SetOut]) -> None:
    """Three pipes that all ask for a joint behind them: the middle one cannot have it."""
    pipes = [pipe(40, 'notch = "joint"', left=1000 * k, name=f"p{k}") for k in (1, 2, 3)]
    notes = set_out_of(room(*pipes, projection=56)).notes
    assert [note for note in notes if " at pipe" in note or " of pipe" in note] == [
        "board on north: joined at pipe p1 as asked",
        "board on north: stops square each side of pipe p2, since no piece can be brought in behind two pipes",
        "board on north: joined at pipe p3 as asked",
    ]
    thin = set_out_of(room(pipe(40, 'notch = "hole"'), projection=56)).notes
    assert [note for note in thin if "riser" in note] == [
        "board on north: joined at pipe riser, since 'hole' would leave too little"
    ]


MITRED = 'joints = { internal = "mitre" }\n'


@pytest.mark.parametrize(("left", "out"), [(48, 50), (52, 50), (50, 50)])
def test_a_pipe_in_a_mitre_is_half_in_each_piece(set_out_of: Callable[[str], SetOut], left: float, out: float) -> None:
    """It would leave a web of 90 - 64 in its own wall's piece; at 95 from it in the other's, less than nothing."""
    done = set_out_of(room(pipe(out, left=left, wall="east"), walls='["north", "east"]', joints=MITRED))
    assert len(done.pieces) == 2
    assert [len(p.notches) for p in done.pieces] == [1, 1]
    cut_away(done)


@settings(max_examples=30)
@given(
    st.integers(2, 120),
    st.integers(2, 110),
    st.sampled_from(["mitre", "cope"]),
    st.sampled_from([22, 50, 90]),
    st.sampled_from(["", "joint", "stop"]),
)
@example(57, 2, "mitre", 50, "")
@example(38, 50, "cope", 50, "stop")
@example(100, 18, "cope", 90, "")
@example(48, 33, "cope", 22, "stop")
def test_a_pipe_anywhere_near_a_corner_is_clear_of_every_piece(
    set_out_of: Callable[[str], SetOut], past: int, off: int, joint: str, diameter: int, asked: str
) -> None:
    """Wherever it stands, the pieces are set out, are sound, and keep 3 from it: what its hole has in common with any
    of them is nothing."""
    from manifold3d import Manifold, Mesh64

    joints = f'joints = {{ internal = "{joint}" }}\n'
    left, out = past + diameter / 2, off + diameter / 2
    riser = pipe(out, f'notch = "{asked}"' if asked else "", left=left, wall="east", diameter=diameter)
    done = set_out_of(room(riser, walls='["north", "east"]', joints=joints))
    (pipe_found,) = done.room.pipes
    x, y = done.room.walls[pipe_found.wall].frame.plan(*pipe_found.start[:2])
    hole = Manifold.cylinder(2500, diameter / 2 + 3 - 0.05, circular_segments=64).translate((x, y, 0))
    for mesh in piece_meshes(done).values():
        body = Manifold(Mesh64(mesh.vertices.copy(), mesh.faces.astype("uint64")))
        assert (body ^ hole).volume() < 1.0, (left, out)


RAIL = (
    '[[trim]]\nname = "rail"\nprofile = "batten"\nsize = { drop = 50, projection = 30 }\nback = "wall"\nbottom = 2000\n'
    'joints = { internal = "cope" }\nmaterial = "softwood"\n'
)


@pytest.mark.parametrize(("left", "count"), [(400, 1), (1500, 1), (3000, 2)])
def test_what_is_joined_behind_a_pipe_can_be_brought_in(
    set_out_of: Callable[[str], SetOut], left: int, count: int
) -> None:
    """38 out, 22 thick: 27 are free behind it, and 24 of the rail go there; the far ends are coped or stand in corners.

    A piece 500 long between two such pipes could not get in behind both: it stops at one.
    """
    pipes = [pipe(38, left=left)] + [pipe(38, left=left + 500, name="return")] * (count - 1)
    done = set_out_of(f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{WALLS}{"".join(pipes)}{RAIL}')
    on_north = [p for p in done.pieces if p.wall == 0]
    assert len(on_north) == count + 1
    assert on_north[0].right.mate == on_north[1].id
    assert [n.opens for n in on_north[0].notches] == ["front"]
    if count == 2:
        assert on_north[1].right.mate is None
        assert (on_north[1].right.station, on_north[2].left.station) == (3486, 3514)
    assert not no_way_in(done)
    cut_away(done)


def test_a_piece_behind_a_pipe_is_swung_home(set_out_of: Callable[[str], SetOut]) -> None:
    """Seen in plan: a rail 1000 long, its right end behind a pipe and its left in a corner. As it stands at a it can be
    drawn back by L/cos a - L along itself; the front of its finger, 38 - 14 out, is by that much less 24 sin a before
    the pipe's middle, and clears its side, 11, where L (1 - cos a) - 24 sin a = 11. What a joint gives helps twice.
    """
    done = set_out_of(room(pipe(38), projection=30, walls='["north"]'))
    own = standing(done.pieces[0], done.room)
    way = way_in(own, [], done.room)
    assert way is not None
    assert "its right end tucked in behind riser, its other end swung home from" in way.words
    found = tucked(own, [], done.room, PLAY)
    assert found is not None
    angle = math.atan(24 / (1000 - PLAY)) + math.acos((1000 - 11 + PLAY) / math.hypot(1000 - PLAY, 24))
    assert found.swung == pytest.approx(1000 * math.sin(angle), rel=0.002)


@pytest.mark.parametrize("joints", ["cope", "mitre", "square"])
@pytest.mark.parametrize("left", [200, 600, 2000, 3800])
def test_a_joint_behind_a_pipe_that_stands_clear(set_out_of: Callable[[str], SetOut], left: int, joints: str) -> None:
    """40 out, 22 thick: 29 - 20 clear before the rail. Between two corners no length gets in behind it; two do."""
    rail = RAIL.replace("projection = 30", "projection = 20").replace('"cope"', f'"{joints}"')
    whole, joined = (
        set_out_of(f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{WALLS}{pipe(40, notch, left=left)}{rail}')
        for notch in ("", 'notch = "joint"')
    )
    if left in (600, 2000):
        assert no_way_in(whole) == ("R1",)
        assert whole.notes[0].endswith(', as notch = "joint" on pipe riser does behind it')
    first, second = (p for p in joined.pieces if p.wall == 0)
    assert (first.right.station, second.left.station) == pytest.approx((left, left))
    assert (first.right.mate, second.left.mate) == (second.id, first.id)
    assert not first.notches + second.notches
    assert joined.notes == ("rail on north: joined behind pipe riser as asked",)
    assert not no_way_in(joined)
    cut_away(joined)


@pytest.mark.parametrize(
    ("pipes", "why"),
    [
        (((80, "riser"),), "too little would be left between it and the next joint or end"),
        (((2000, "flow"), (2060, "riser")), "too little would be left between it and the next joint or end"),
        (((1000, "flow"), (2000, "riser")), "no piece can be brought in behind two pipes"),
    ],
)
def test_why_there_is_no_joint_behind_a_pipe_is_said(
    set_out_of: Callable[[str], SetOut], pipes: tuple[tuple[int, str], ...], why: str
) -> None:
    asked = [pipe(40, 'notch = "joint"', left=left, name=name) for left, name in pipes]
    done = set_out_of(room(*asked, projection=20))
    assert f"board on north: not joined behind pipe riser as asked, since {why}" in done.notes
    assert len(done.pieces) == len(pipes)
    # Before the front of a trim a joint behind a pipe that is out of the way is no help.
    assert len(set_out_of(room(pipe(20 + 20 + 60 + 14, 'notch = "joint"'), projection=20)).pieces) == 1


def test_a_joint_is_advised_where_it_can_be(set_out_of: Callable[[str], SetOut]) -> None:
    """Not at the pipe that it is joined at already, nor near an end; at the one that stands clear before it."""
    rail = RAIL.replace("projection = 30", "projection = 20").replace('"cope"', '"mitre"')
    pipes = pipe(18, left=2000, name="in it") + pipe(40, left=3000, name="before it") + pipe(40, left=3950, name="near")
    done = set_out_of(f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{WALLS}{pipes}{rail}')
    assert no_way_in(done)
    (advice,) = (note for note in done.notes if "no way in" in note)
    assert advice.endswith('or divide the length, as notch = "joint" on pipe before it does behind it')


def test_with_its_end_behind_a_pipe_a_piece_is_not_in_hand(set_out_of: Callable[[str], SetOut]) -> None:
    """Turned a little about its end there it still has the pipe before it: it has to be drawn away from behind it."""
    done = set_out_of(room(pipe(40, left=60), projection=20, walls='["north"]', joints='joints = { end = "square" }'))
    way = way_in(standing(done.pieces[0], done.room), [], done.room)
    assert way is not None
    assert way.approach is Approach.BEHIND


@pytest.mark.parametrize(
    ("lower", "held"),
    [
        (None, "low"),
        ((1700, 1740), "high"),  # in the way of the end that is held low
        ((700, 740), "low"),  # below it
    ],
)
def test_held_low_it_does_not_pass_through_what_is_up(
    set_out_of: Callable[[str], SetOut], lower: tuple[int, int] | None, held: str
) -> None:
    """2000 long and 50 high, drawn 60 + 11 out from behind a pipe: cos a = 1929/2000 - H sin a / 2000, 17 degrees, 585
    low."""
    board = room(pipe(40, left=60), projection=20, walls='["north"]').replace("4000", "2000")
    under = ""
    if lower:
        bottom, top = lower
        under = (
            f'[[trim]]\nname = "under"\nprofile = "batten"\nsize = {{ drop = {top - bottom}, projection = 20 }}\n'
            f'back = "wall"\nbottom = {bottom}\nwalls = ["north"]\n'
        )
    high = board.replace("2500", "3000")
    done = set_out_of(high + under)
    up = [standing(p, done.room) for p in done.pieces if p.trim.name == "under"]
    (piece,) = (p for p in done.pieces if p.trim.name == "board")
    way = way_in(standing(piece, done.room), up, done.room)
    assert way is not None
    assert way.words.startswith("its left end slid in behind riser, its right end held ")
    assert way.words.split()[-4] == f"{held},"
    assert float(way.words.split()[-5]) == pytest.approx(2000 * math.sin(math.radians(way.turn)), abs=10)
    assert 2000 * math.cos(math.radians(way.turn)) + 50 * math.sin(math.radians(way.turn)) <= 2000 - 71
    # Under a ceiling with no room above, and something in the way below, there is none.
    if held == "high":
        shut = set_out_of(high.replace("3000", "2100") + under)
        up = [standing(p, shut.room) for p in shut.pieces if p.trim.name == "under"]
        (piece,) = (p for p in shut.pieces if p.trim.name == "board")
        assert way_in(standing(piece, shut.room), up, shut.room) is None


BREAST = (
    ("north", 900, "internal = 90"),
    ("left cheek", 350, "external = 90"),
    ("breast", 1200, "external = 90"),
    ("right cheek", 350, "internal = 90"),
    ("alcove", 900, "internal = 90"),
    ("east", 2400, "internal = 90"),
    ("south", 3000, "internal = 90"),
    ("west", 2400, "internal = 90"),
)


def test_behind_pipes_in_the_corners_of_a_chimney_breast(set_out_of: Callable[[str], SetOut]) -> None:
    """A piece held at the angle a takes L cos a + H sin a, and less than L by the way it is drawn out behind a pipe.

    Were the wall beside the cheek begun later, its piece would have to hang plumb there; a stub at an arris is slid on
    from beyond it.
    """
    walls = "".join(f'[[wall]]\nname = "{name}"\nlength = {length}\n{corner}\n' for name, length, corner in BREAST)
    inner = '[[pipe]]\nwall = "north"\nname = "inner"\nfrom_left = 870\nout = 30\ndiameter = 28\n'
    riser = '[[pipe]]\nwall = "breast"\nname = "riser"\nfrom_left = 20\nout = 25\ndiameter = 22\n'
    rail = '[[trim]]\nname = "rail"\nprofile = "rail-torus"\nback = "wall"\ntop = 2000\n'
    done = set_out_of(f'format = 1\n[room]\nname = "Den"\nceiling = 2400\n{walls}{inner}{riser}{rail}')
    ways = {}
    for k, name in enumerate(done.order):
        up = [standing(done.piece(other), done.room) for other in done.order[:k]]
        ways[name] = way_in(standing(done.piece(name), done.room), up, done.room)
    assert not no_way_in(done)
    assert all(way is not None and abs(way.turn) <= 60 for way in ways.values())
    words = {name: way.words for name, way in ways.items() if way is not None}
    assert words["R3"] == "its right end tucked in behind riser"
    cheek = ways["R2"]
    assert cheek is not None
    assert words["R2"].startswith("its left end slid in behind inner")
    length, drawn, angle = 370, 30 + 14, math.radians(cheek.turn)
    assert length * math.cos(angle) + 60 * math.sin(angle) <= length - drawn
