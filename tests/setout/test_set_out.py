from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from trimwright.errors import DoesNotFit
from trimwright.project.project import Project
from trimwright.setout.footprint import footprint
from trimwright.setout.piece import Joint, Piece, SetOut, Side

WALLS = '[[wall]]\nname = "north"\nlength = {w}\n[[wall]]\nname = "east"\nlength = {d}\n' + (
    '[[wall]]\nname = "south"\nlength = {w}\n[[wall]]\nname = "west"\nlength = {d}\n'
)
HEAD = 'format = 1\n[room]\nname = "Den"\nceiling = 2400\n'
DOOR = '[[opening]]\nwall = "south"\nkind = "door"\nfrom_left = 500\nwidth = 838\nhead = 2032\narchitrave = 70\n'


def trim(
    extra: str = "", profile: str = "rail-plain", place: str = 'back = "wall"\nbottom = 2150', name: str = "rail"
) -> str:
    return f'[[trim]]\nname = "{name}"\nprofile = "{profile}"\n{place}\n{extra}\n'


def room(*tables: str, w: float = 4000, d: float = 3000) -> str:
    return HEAD + WALLS.format(w=w, d=d) + "".join(tables)


def by_wall(done: SetOut, name: str) -> list[Piece]:
    return [p for p in done.pieces if done.room.walls[p.wall].name == name]


def test_copes_go_round_from_the_wall_opposite_the_door(set_out_of: Callable[[str], SetOut]) -> None:
    """Common practice: first square to square opposite the door, each next coped to the last, the closing one twice."""
    done = set_out_of(room(DOOR, trim('joints = { internal = "cope" }')))
    first, second, closing, fourth = (done.piece(i) for i in ("R1", "R2", "R4", "R3"))
    assert done.order == ("R1", "R2", "R3", "R4")
    assert (first.left.joint, first.right.joint) == (Joint.SQUARE, Joint.SQUARE)
    assert (second.left.joint, second.right.joint) == (Joint.COPE, Joint.SQUARE)
    assert (fourth.left.joint, fourth.right.joint) == (Joint.COPE, Joint.SQUARE)
    assert (closing.left.joint, closing.right.joint) == (Joint.COPE, Joint.COPE)


def test_every_cope_is_fitted_after_its_mate(example: SetOut) -> None:
    for piece in example.pieces:
        for end in (piece.left, piece.right):
            if end.joint is Joint.COPE:
                assert end.mate is not None
                assert example.order.index(end.mate) < example.order.index(piece.id)


def test_order_names_every_piece_once(example: SetOut) -> None:
    assert sorted(example.order) == sorted(p.id for p in example.pieces)
    assert len({p.id for p in example.pieces}) == len(example.pieces)


def test_mates_name_each_other(example: SetOut) -> None:
    for piece in example.pieces:
        for side, end in ((Side.LEFT, piece.left), (Side.RIGHT, piece.right)):
            if end.mate is not None:
                mate = example.piece(end.mate)
                other = Side.RIGHT if side is Side.LEFT else Side.LEFT
                assert mate.end(other).mate == piece.id
                assert mate.trim.name == piece.trim.name


def test_mitred_mates_share_their_plane(example: SetOut) -> None:
    """The plan points of both at the back and at the front are the same two points."""
    for piece in example.pieces:
        if piece.right.joint in (Joint.MITRE, Joint.RETURN, Joint.SCARF) and piece.right.mate:
            mate = example.piece(piece.right.mate)
            _, back_right, front_right, _ = footprint(piece)
            back_left, _, _, front_left = footprint(mate)
            assert math.dist(back_right, back_left) < 1e-6
            assert math.dist(front_right, front_left) < 1e-6


def test_ids_run_clockwise(example: SetOut) -> None:
    for placed in example.trims:
        pieces = example.of_trim(placed)
        assert [p.id for p in pieces] == [f"{placed.letter}{n}" for n in range(1, len(pieces) + 1)]
        assert [p.wall for p in pieces] == sorted(p.wall for p in pieces)


def test_a_rail_stops_at_a_casing_with_returns(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(room(DOOR, trim('joints = { end = "return" }', place='back = "wall"\nbottom = 1500')))
    south = by_wall(done, "south")
    assert [p.is_return for p in south] == [False, True, True, False]
    left, right = south[0], south[3]
    # The face of the return shows where the casing begins: 500 - 70, and 500 + 838 + 70 on the other side.
    front = left.trim.edges.front
    assert left.right.at(front) == pytest.approx(430)
    assert right.left.at(front) == pytest.approx(1408)
    assert left.right.at(0) == pytest.approx(430 - front)
    # Each return reaches the wall: its square end lies on the wall face.
    for piece, side in ((south[1], Side.RIGHT), (south[2], Side.LEFT)):
        wall = done.room.walls[2].frame
        end = piece.frame.plan(piece.end(side).at(0), 0.0)
        assert wall.locate(end)[1] == pytest.approx(0, abs=1e-9)
        assert piece.front_length == pytest.approx(front)


def test_a_rail_on_top_of_the_casing_goes_on(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(room(DOOR, trim(place='back = "wall"\nbottom = 2102')))
    assert len(by_wall(done, "south")) == 1


def test_placement_by_reference(set_out_of: Callable[[str], SetOut]) -> None:
    batten = trim("size = { drop = 45, projection = 22 }", "batten", 'back = "wall"\ntop = "ceiling"', "batten")
    channel = trim("", "channel-upright", 'back = "batten.front"\ntop = "batten.bottom - 2"', "channel")
    done = set_out_of(room(channel, batten))  # order in the file does not matter
    edges = {t.name: t.edges for t in done.trims}
    assert edges["batten"] == pytest.approx((0, 2355, 22, 2400))
    assert edges["channel"].back == pytest.approx(22)
    assert edges["channel"].top == pytest.approx(2353)


def test_long_walls_are_scarfed_by_the_rules(set_out_of: Callable[[str], SetOut]) -> None:
    stock = "stock = [{ length = 2400 }]"
    done = set_out_of(room(DOOR, trim(stock), w=6200))
    for name in ("north", "south"):
        pieces = by_wall(done, name)
        assert len(pieces) == 3
        assert all(p.length <= 2400 for p in pieces)
        for piece in pieces[:-1]:
            station = piece.right.at(sum(piece.trim.edges[0:3:2]) / 2)
            assert 300 <= station <= 5900
            if name == "south":
                assert abs(station - 919) >= 150


def test_joints_keep_clear_of_joints_in_the_batten_behind(set_out_of: Callable[[str], SetOut]) -> None:
    stock = "stock = [{ length = 3000 }]"
    batten = trim(stock, "batten", 'back = "wall"\ntop = "ceiling"', "batten")
    rail = trim(stock, place='back = "batten.front"\ntop = "ceiling"')
    done = set_out_of(room(batten, rail, w=5000))
    behind, front = (
        [p.right.at((p.trim.edges.back + p.trim.edges.front) / 2) for p in by_wall(done, "north") if p.trim.name == n][
            :-1
        ]
        for n in ("batten", "rail")
    )
    assert behind
    assert front
    assert all(abs(a - b) >= 300 - 1e-6 for a in behind for b in front)


def test_the_scarf_laps_away_from_the_door(set_out_of: Callable[[str], SetOut]) -> None:
    """Seen from the door (at the left of the south wall, so at the right of the north wall) no end grain shows."""
    done = set_out_of(room(DOOR, trim("stock = [{ length = 2400 }]")))
    left, right = by_wall(done, "north")
    # The door stands at station 4000 - 919 of the north wall, right of the joint: the right piece laps in front.
    assert right.left.slope < 0
    assert left.right.slope < 0


def test_pipes_are_passed_behind_slotted_or_joined_at(set_out_of: Callable[[str], SetOut]) -> None:
    """Space behind the pipe is out - radius - clearance = 40 - 11 - 3 = 26; a slot reaches 40 + 11 + 3 = 54 out."""
    pipe = '[[pipe]]\nwall = "north"\nname = "riser"\nfrom_left = 1000\nout = 40\ndiameter = 22\n'
    thin = set_out_of(room(pipe, trim("size = { projection = 20 }")))
    assert not any(p.notches for p in thin.pieces)
    wide = set_out_of(
        room(pipe, trim("size = { drop = 90, projection = 90 }", "cove", 'back = "wall"\ntop = "ceiling"'))
    )
    (notch,) = by_wall(wide, "north")[0].notches
    assert (notch.opens, notch.station, notch.width, notch.depth) == ("back", 1000, 28, 54)
    batten = trim("size = { drop = 45, projection = 36 }", "batten")
    front = set_out_of(room(pipe + "to = 2170\n", batten))
    (notch,) = by_wall(front, "north")[0].notches
    assert (notch.opens, notch.depth) == ("front", 36 - 26)
    # Past a pipe that goes on above and below it could not be threaded: it is joined there, behind the pipe.
    left, right = by_wall(set_out_of(room(pipe, batten)), "north")
    assert (left.right.at(0), right.left.at(0)) == (1000, 1000)
    assert (left.right.mate, right.left.mate) == (right.id, left.id)
    assert [n.opens for n in (*left.notches, *right.notches)] == ["front", "front"]
    cut = set_out_of(room(pipe, trim("size = { drop = 45, projection = 26 }", "batten", 'back = 24\ntop = "ceiling"')))
    left, right = by_wall(cut, "north")
    assert (left.right.at(0), right.left.at(0)) == (1000 - 14, 1000 + 14)
    assert any("stops square each side of pipe riser" in note for note in cut.notes)


def test_a_pipe_that_ends_below_a_trim_is_no_matter(set_out_of: Callable[[str], SetOut]) -> None:
    pipe = '[[pipe]]\nwall = "north"\nname = "riser"\nfrom_left = 1000\nout = 40\ndiameter = 22\nto = 900\n'
    done = set_out_of(
        room(pipe, trim("size = { drop = 90, projection = 90 }", "cove", 'back = "wall"\ntop = "ceiling"'))
    )
    assert not any(p.notches for p in done.pieces)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (room(trim("", "cove", 'back = "wall"\ntop = "ceiling"'), w=150, d=3000), r"no room|too short"),
        (room(trim('joints = { internal = "mitre" }', "cove", 'back = "wall"\ntop = "ceiling"'), w=150), "too short"),
        (room(trim(), trim(name="second")), "'rail' and 'second' overlap"),
        (room(trim(place='back = "wall"\nbottom = 2390')), "above the ceiling"),
    ],
)
def test_what_cannot_be_fitted_is_said(text: str, said: str, set_out_of: Callable[[str], SetOut]) -> None:
    with pytest.raises(DoesNotFit, match=said):
        set_out_of(text)


def test_letters_differ(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(room(trim(name="rail"), trim(name="runner", place='back = "wall"\nbottom = 1000')))
    assert [t.letter for t in done.trims] == ["R", "U"]


def test_turning_the_list_of_walls_keeps_every_length(
    project_of: Callable[[str], Project], set_out_of: Callable[[str], SetOut]
) -> None:
    """The same room begun at another wall: the same lengths, whatever the ids."""
    extra = trim('joints = { internal = "mitre" }')
    one = set_out_of(room(extra))
    turned = HEAD + WALLS.format(w=3000, d=4000) + extra
    two = set_out_of(turned)
    assert sorted(p.length for p in one.pieces) == pytest.approx(sorted(p.length for p in two.pieces))


def test_a_trim_in_front_of_another_stops_at_that_one(set_out_of: Callable[[str], SetOut]) -> None:
    """Its square end in a corner clears what lies on the next wall, its return turns back to what lies behind it."""
    done = set_out_of(
        """
        format = 1
        [room]
        name = "run"
        ceiling = 2400
        closed = false
        [[wall]]
        name = "a"
        length = 2000
        internal = 90
        [[wall]]
        name = "b"
        length = 1500
        [[trim]]
        name = "batten"
        profile = "batten"
        size = { drop = 70, projection = 22 }
        back = "wall"
        bottom = 2000
        [[trim]]
        name = "rail"
        profile = "rail-plain"
        size = { drop = 45, projection = 18 }
        back = "batten.front"
        bottom = "batten.bottom + 10"
        joints = { internal = "cope", end = "return" }
        """
    )
    left_return, first, second, right_return = done.of_trim(done.trims[1])
    assert (first.right.joint, first.right.station) == (Joint.SQUARE, 2000 - 22)
    assert second.left.joint is Joint.COPE
    for piece in (left_return, right_return):
        assert piece.is_return
        assert piece.length == pytest.approx(18)  # from its front, 22 + 18 out, back to the batten's at 22


def test_one_wall_alone_is_a_room(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(
        'format = 1\n[room]\nname = "wall"\nceiling = 2400\nclosed = false\n[[wall]]\nname = "a"\nlength = 2000\n'
        '[[trim]]\nname = "rail"\nprofile = "rail-plain"\nback = "wall"\nbottom = 2000\njoints = { end = "square" }\n'
    )
    assert [piece.length for piece in done.pieces] == [2000]


@pytest.mark.parametrize("longer", [-2, 0, 2])
def test_a_wall_left_out_as_it_was_read_is_left_out_whole(set_out_of: Callable[[str], SetOut], longer: int) -> None:
    """Opposite walls that disagree by 2 mm come out 1 mm off what was read of each."""
    lengths = {"north": 2700, "east": 2100, "south": 2700 + longer, "west": 2100}
    walls = "".join(f'[[wall]]\nname = "{name}"\nlength = {length}\n' for name, length in lengths.items())
    trim = '[[trim]]\nname = "cornice"\nprofile = "cove"\nback = "wall"\ntop = "ceiling"\n'
    left_out = 'leave_out = [{ wall = "north", from = 0, to = 2700 }]\n'
    done = set_out_of(f'format = 1\n[room]\nname = "Box"\nceiling = 2400\n{walls}{trim}{left_out}')
    assert [done.room.walls[piece.wall].name for piece in done.pieces] == ["east", "south", "west"]
