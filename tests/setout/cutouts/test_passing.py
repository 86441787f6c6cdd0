"""What becomes of a trim at an upright pipe, by what is left of it; volumes against closed forms."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from trimwright.mesh.piece import piece_meshes
from trimwright.setout.piece import Joint, SetOut
from trimwright.setout.putting_up.standing import standing
from trimwright.setout.putting_up.ways_in import way_in
from trimwright.setout.volume import swept_volume
from trimwright.solid.build import room_solids
from trimwright.solid.joints import joint_faults
from trimwright.tolerance import CHORD
from trimwright.work.steps import no_way_in

WALLS = "".join(
    f'[[wall]]\nname = "{name}"\nlength = {length}\ninternal = 90\n'
    for name, length in (("north", 4000), ("east", 3000), ("south", 4000), ("west", 3000))
)


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
    """Seen in plan: a rail 1000 long, its right end behind a pipe and its left in a corner. Drawn back by L/cos a - L
    as it stands at a, its finger is past the pipe's side, 14, where cos a = 1000/1014, when its far end is 168 out."""
    done = set_out_of(room(pipe(38), projection=30, walls='["north"]'))
    way = way_in(standing(done.pieces[0], done.room), [], done.room)
    assert way is not None
    assert "its right end tucked in behind riser, its other end swung home from" in way.words
    swung = float(way.words.rpartition("from ")[2].split()[0])
    assert swung == pytest.approx(1000 * math.sin(math.acos(1000 / 1014)), rel=0.25)


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
