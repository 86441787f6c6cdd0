from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from trimwright.errors import DoesNotFit, RoomFileError
from trimwright.project.project import Project, read_project
from trimwright.setout.piece import SetOut

ROOM = """
format = 1
[room]
name = "Den"
ceiling = 2400
[[wall]]
name = "north"
length = 4000
[[wall]]
name = "east"
length = 3000
[[wall]]
name = "south"
length = 4000
[[wall]]
name = "west"
length = 3000
[[opening]]
wall = "south"
kind = "door"
from_left = 500
width = 838
head = 2032
[[pipe]]
wall = "north"
name = "riser"
from_left = 200
out = 40
diameter = 22
[[trim]]
name = "cornice"
profile = "cove"
back = "wall"
top = "ceiling"
"""


def changed(old: str, new: str) -> str:
    assert old in ROOM
    return ROOM.replace(old, new, 1)


def test_the_room_itself_is_right(project_of: Callable[[str], Project]) -> None:
    room = project_of(ROOM).room
    assert [w.name for w in room.walls] == ["north", "east", "south", "west"]
    # Seen from above, clockwise, the first wall along +x: the room lies below it.
    assert room.walls[1].end == pytest.approx((4000, -3000))
    assert all(c is not None and c.angle == pytest.approx(90) for c in room.corners)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("format = 1", "format = 2", "format = 1"),
        ("format = 1", "fromat = 1", "format = 1"),
        ("ceiling = 2400", "", r"\[room\]: ceiling is missing"),
        ("ceiling = 2400", "cieling = 2400", "did you mean 'ceiling'"),
        ("ceiling = 2400", "ceiling = [2400, 2400]", "one for each of the 4 corners"),
        ("length = 4000", "length = nan", r"\[\[wall\]\] 1 \(north\), length"),
        ("length = 4000", "length = -4000", "greater than or equal to 0.01"),
        ("length = 4000", "length = 4e9", "less than or equal to 100000"),
        ("length = 4000", "length = '4 furlongs'", "unknown unit 'furlongs'"),
        ("length = 4000", "length = 4000\ninternal = 20", "greater than or equal to 30"),
        ("length = 4000", "length = 4000\ninternal = 90\nexternal = 90", "give the corner once"),
        ("length = 4000", "length = 4600", r"does not close\. .*600 mm \(600\.0 mm to the right along wall 1"),
        ("length = 4000", "length = 4000\nexternal = 90", "corner 2 .* must be internal"),
        ('name = "east"', 'name = "north"', "already wall 1"),
        ('wall = "south"', 'wall = "sout"', "did you mean 'south'"),
        ("head = 2032", "head = 2500", "above the ceiling at 2400"),
        ("from_left = 500", "from_left = 3900", "along wall 'south', which is 4000.0 long"),
        ("from_left = 200", "from_left = 4200", "along wall 'north'"),
        ("out = 40", "out = 8", "would be in the wall"),
        ('profile = "cove"', 'profile = "coev"', "cove"),
        ('profile = "cove"', 'profile = "cove"\nsize = { drpo = 90 }', "drop"),
        ('profile = "cove"', 'profile = "cove"\nsize = { drop = 1000 }', "400"),
        ('back = "wall"', "", "exactly one of back and front"),
        ('back = "wall"', 'back = "wal"', "not a place for back"),
        ('back = "wall"', 'back = "batten.front"', "there is no trim 'batten'"),
        ('top = "ceiling"', 'top = "cornice.bottom"', "loop"),
        ('top = "ceiling"', 'top = "ceiling"\nmaterial = "softwod"', "did you mean 'softwood'"),
        ('top = "ceiling"', 'top = "ceiling"\nwalls = ["nort"]', "did you mean 'north'"),
        ('top = "ceiling"', 'top = "ceiling"\njoints = { internal = "scribe" }', "'cope', 'mitre' or 'square'"),
        ('top = "ceiling"', 'top = "ceiling + 10"', "above the ceiling"),
        ('back = "wall"', "back = -5", "inside the wall"),
        ("[[trim]]", "[[trim", "not valid TOML"),
    ],
)
def test_one_clear_message(old: str, new: str, said: str, set_out_of: Callable[[str], SetOut]) -> None:
    with pytest.raises((RoomFileError, DoesNotFit), match=said) as caught:
        set_out_of(changed(old, new))
    assert len(str(caught.value).splitlines()) <= 2


OFFCUT = '[[offcut]]\ntrim = "cornice"\nlength = 1000\n'


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("format = 1", "format = true", r"format: .* a whole number.* \(it is true\)"),
        ("format = 1", "format = 1.0", r"format: .* a whole number.* \(it is 1\.0\)"),
        ("ceiling = 2400", "ceiling = 2400\nclosed = 1", r"\[room\], closed: input should be true or false, without"),
        ("ceiling = 2400", 'ceiling = 2400\nclosed = "yes"', r"closed: input should be true or false, .*'yes'"),
        ("diameter = 22", 'diameter = 22\ncollar = "true"', r"\[\[pipe\]\] 1 \(riser\), collar: .* true or false"),
        ("diameter = 22", "diameter = 22\ntemperature = true", r"temperature: input should be a number \(it is true\)"),
        ("diameter = 22", "diameter = true", "true is not a length"),
        ("[[trim]]", OFFCUT + 'count = "3"\n[[trim]]', r"\[\[offcut\]\] 1, count: .* whole number.*\(it is '3'\)"),
        ("[[trim]]", OFFCUT + "count = true\n[[trim]]", r"\[\[offcut\]\] 1, count: .* whole number.*\(it is true\)"),
        ("[[trim]]", OFFCUT + "count = 3.0\n[[trim]]", r"\[\[offcut\]\] 1, count: .* whole number.*\(it is 3\.0\)"),
        ("[[trim]]", '[[diagonal]]\ncorners = ["1", 3]\nlength = 5000\n[[trim]]', "corners 1: .* whole number"),
        ('back = "wall"', "back = true", r"\[\[trim\]\] 1 \(cornice\), back: true is not a length"),
        ('back = "wall"', 'back = "wall"\nstock = [{ length = 3000, quantity = "2" }]', "stock 1, quantity: .* whole"),
        ('back = "wall"', 'back = "wall"\nstock = [{ length = 3000, price = true }]', "stock 1, price: .* a number"),
        ("[[trim]]", '[[fitting]]\nwall = "north"\nname = "box"\nlet_in = "cornice"\n[[trim]]', "or a list of trims"),
    ],
)
def test_a_number_is_no_text_and_no_truth(old: str, new: str, said: str, project_of: Callable[[str], Project]) -> None:
    with pytest.raises(RoomFileError, match=said):
        project_of(changed(old, new))


def test_a_message_names_the_file(tmp_path: Path) -> None:
    path = tmp_path / "den.toml"
    path.write_text(changed("length = 4000", "lenght = 4000"), encoding="utf-8")
    with pytest.raises(RoomFileError) as caught:
        read_project(path)
    assert all(line.startswith(f"{path}: [[wall]] 1 (north)") for line in str(caught.value).splitlines())


def test_several_faults_are_told_together(project_of: Callable[[str], Project]) -> None:
    text = changed("length = 4000", "length = 0").replace("width = 838", "width = -1")
    with pytest.raises(RoomFileError) as caught:
        project_of(text)
    assert "[[wall]] 1" in str(caught.value)
    assert "[[opening]] 1" in str(caught.value)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(RoomFileError, match="no such file"):
        read_project(tmp_path / "none.toml")
    binary = tmp_path / "binary.toml"
    binary.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(RoomFileError, match="UTF-8"):
        read_project(binary)
    large = tmp_path / "large.toml"
    large.write_text("#" * 1_000_001)
    with pytest.raises(RoomFileError, match="1 MB"):
        read_project(large)
    with pytest.raises(RoomFileError, match="cannot be read"):
        read_project(tmp_path)


def test_a_small_gap_is_adjusted_away(project_of: Callable[[str], Project]) -> None:
    """Four walls taken as square, the north 3 mm longer than the south: the corners give way, not the tape."""
    project = project_of(changed("length = 4000", "length = 4003"))
    walls = project.room.walls
    assert [w.length for w in walls] == pytest.approx([4003, 3000, 4000, 3000], abs=0.1)
    assert math.dist(walls[3].end, walls[0].start) < 1e-9
    # A trapezium: the two sides lean by asin(3 / 3000) between them, shared by four corners of equal weight.
    lean = math.degrees(math.asin(3 / 3000))
    assert [abs(a - 90) for a in project.survey.angles if a] == pytest.approx([lean / 2] * 4, abs=0.002)


def test_a_reading_that_contradicts_the_rest_is_named(set_out_of: Callable[[str], SetOut]) -> None:
    checks = "[[diagonal]]\ncorners = [1, 3]\nlength = 5048\n[[diagonal]]\ncorners = [2, 4]\nlength = 5000\n"
    with pytest.raises(RoomFileError, match=r"diagonal 1-3 is 48 mm longer .* the room closes to 0\.0 mm"):
        set_out_of(changed("[[opening]]", checks + "[[opening]]"))


def test_a_room_that_crosses_itself(project_of: Callable[[str], Project]) -> None:
    walls = [
        ("a", 3000, 90),
        ("b", 3000, 90),
        ("c", 1000, 270),
        ("d", 1000, 90),
        ("e", 5000, 90),
        ("f", 3000, 90),
        ("g", 7000, 90),
    ]
    tables = "".join(f'[[wall]]\nname = "{n}"\nlength = {length}\ninternal = {angle}\n' for n, length, angle in walls)
    text = f'format = 1\n[room]\nname = "x"\nceiling = 2400\nclosed = false\n{tables}' + ROOM[ROOM.index("[[trim]]") :]
    with pytest.raises(RoomFileError, match="cross"):
        project_of(text)


SLOPED = ROOM.replace("ceiling = 2400", "ceiling = [2400, 2400, 1500, 1500]")
"""The ceiling falls along the 3000 of east, from 2400 at the corners 1 and 2 to 1500 at 3 and 4."""


@pytest.mark.parametrize(
    ("wall", "head", "more", "refused"),
    [
        ("north", 2390, "", ""),
        ("south", 2032, "", "above the ceiling at 1500"),
        ("south", 1490, "", ""),
        ("east", 1990, "", ""),
        ("east", 2010, "", "above the ceiling at 1998.6"),  # at its right side, 2400 - 900 * 1338 / 3000
        ("east", 1990, "ceiling = [[900, 1980], [1400, 2100]]", "above the ceiling at 1980"),  # and over its middle
    ],
)
def test_an_opening_is_under_the_ceiling_of_its_own_place(
    project_of: Callable[[str], Project], wall: str, head: int, more: str, refused: str
) -> None:
    text = SLOPED.replace('wall = "south"', f'wall = "{wall}"').replace("head = 2032", f"head = {head}")
    text = text.replace('name = "east"', f'name = "east"\n{more}')
    if refused:
        with pytest.raises(RoomFileError, match=refused):
            project_of(text)
    else:
        assert project_of(text).room.openings[0].head == head


def test_an_upright_pipe_ends_at_the_ceiling_above_it(project_of: Callable[[str], Project]) -> None:
    """In the middle of the east wall that is half-way between 2400 and 1500."""
    text = SLOPED.replace('wall = "south"', 'wall = "north"').replace("from_left = 200", "from_left = 1500")
    text = text.replace('wall = "north"\nname = "riser"', 'wall = "east"\nname = "riser"')
    (pipe,) = project_of(text).room.pipes
    assert pipe.end[2] == pytest.approx(1950)


def test_an_open_run_has_free_ends(project_of: Callable[[str], Project]) -> None:
    room = project_of(changed("ceiling = 2400", "ceiling = 2400\nclosed = false")).room
    assert room.corner_left(0) is None
    assert room.corner_right(3) is None
    assert len(room.ceilings) == 5
