from __future__ import annotations

import pytest

from trimwright.errors import RoomFileError
from trimwright.measuring.notes import CornerNote, Notes, room_of
from trimwright.measuring.wall_list import listed_walls


def angles(text: str, unit: str = "mm") -> list[float | None]:
    return [wall.corner.in_room if wall.corner else None for wall in listed_walls(text, unit, True)]


def test_two_lengths_are_a_rectangle() -> None:
    assert [w.length for w in listed_walls("4620, 3580", "mm", True)] == [4620, 3580, 4620, 3580]
    assert [w.length for w in listed_walls("15' 2, 12ft", "in", True)] == ["15' 2in", "12ft"] * 2


def test_corners_as_said() -> None:
    assert angles("3600, 2700, 600 ext 135, 778 int 135, 1300 int 135, 778 ext 135, 600, 2700") == [
        *(None, None, 225, 135, 135, 225, None, None),
    ]


def test_the_one_external_corner_of_an_ell_is_found() -> None:
    # Six square corners add up to (6 - 2) * 180 = 720 = 5 * 90 + 270: one of them is external.
    assert angles("4000, 3000, 1500, 1200, 2500, 1800") == [None, None, None, 270, None, None]


def test_a_breast_and_a_recess_have_the_same_lengths() -> None:
    with pytest.raises(RoomFileError, match=r"close in 2 ways.* 3, 6 or 4, 5"):
        listed_walls("4620, 3584, 1496, 352, 1612, 352, 1512, 3584", "mm", True)


def test_an_open_run_ends_free() -> None:
    walls = listed_walls("640 int 91, 1475, 655", "mm", False)
    assert [w.corner for w in walls] == [CornerNote(False, 91), CornerNote(), None]
    room, _ = room_of(Notes(walls=walls, closed=False, ceiling=2400))
    assert room.corner_right(2) is None


def test_a_triangle_needs_no_corners() -> None:
    walls = listed_walls("3000, 4000, 5000", "mm", True)
    room, _ = room_of(Notes(walls=walls, ceiling=2400))
    # Pythagoras: the right angle lies between 3 and 4, at the right end of the first wall.
    corner = room.corner_right(0)
    assert corner is not None
    assert corner.angle == pytest.approx(90, abs=1e-6)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("4000, long", r"--walls, wall 2: 'long'"),
        ("4000,, 3000", r"--walls, wall 2"),
        ("4,62 m", r"--walls, wall 1.*less than 10 mm"),
        ("4000, 3000, 4000, 2000", r"--walls: the room does not close"),
        ("4000 int 90, 3000 int 90, 5000 int 90, 3000 int 90", r"does not close.*wall"),
        ("4000", r"three walls"),
    ],
)
def test_a_list_that_makes_no_room_is_explained(text: str, told: str) -> None:
    with pytest.raises(RoomFileError, match=told):
        listed_walls(text, "mm", True)
