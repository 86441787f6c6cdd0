from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import label
from shapely import Polygon

from trimwright.measuring.notes import CornerNote, Notes, OpeningNote, WallNote
from trimwright.measuring.plan_text import ASCII, LINES, plan_text
from trimwright.survey.closing import walk

OUT = CornerNote(True, 90)
RECTANGLE = Notes(walls=(WallNote(4000), WallNote(3000)) * 2)
ELL = Notes(
    walls=(WallNote(4000), WallNote(3000), WallNote(1500), WallNote(1200, OUT), WallNote(2500), WallNote(1800)),
)
BAY = Notes(
    walls=(
        *(WallNote(3600), WallNote(2700), WallNote(600, CornerNote(True, 135))),
        *(WallNote(778, CornerNote(False, 135)), WallNote(1300, CornerNote(False, 135))),
        *(WallNote(778, CornerNote(True, 135)), WallNote(600), WallNote(2700)),
    )
)


def grid(text: str) -> list[str]:
    lines = text.splitlines()
    width = max(len(line) for line in lines)
    return [line.ljust(width) for line in lines]


def test_a_rectangle_keeps_its_proportions() -> None:
    lines = grid(plan_text(RECTANGLE, 60, 15))
    # 14 steps down stand for 3000 mm, a column for half as much as a row.
    assert len(lines) == 15
    assert len(lines[0]) - 1 == round(4000 / (3000 / 14 / 2))
    assert (lines[0][0], lines[0][-1], lines[-1][0], lines[-1][-1]) == ("●", "┐", "└", "┘")


@pytest.mark.parametrize("size", [(60, 18), (44, 16), (72, 40)])
@pytest.mark.parametrize("room", [RECTANGLE, ELL, BAY], ids=["rectangle", "ell", "bay"])
def test_the_walls_close_round_an_area_as_large_as_the_room(room: Notes, size: tuple[int, int]) -> None:
    lines = grid(plan_text(room, *size))
    room_cells = np.pad(np.array([[c == " " for c in line] for line in lines]), 3, constant_values=True)
    # A number in a wall has a blank on each side of it: those belong to the wall.
    for row, line in enumerate(lines, 3):
        for column, char in enumerate(line, 3):
            if char.isdigit():
                room_cells[row, column - 1 : column + 2] = False
    regions, count = label(room_cells)
    outside = regions[0, 0]
    inside = {int(r) for r in np.unique(regions)} - {0, int(outside)}
    assert count == 2, "the room's inside and what lies round it"
    points = walk(room.lengths, room.angles)[:-1]
    xs, ys = zip(*points, strict=True)
    scale = max((max(xs) - min(xs)) / (size[0] - 1), (max(ys) - min(ys)) / (2 * (size[1] - 1)))
    drawn = sum(int((regions == r).sum()) for r in inside) * 2 * scale**2
    shape = Polygon(points)
    # Half a cell is lost along each wall, a cell being 2 by 1 in scale.
    assert drawn == pytest.approx(shape.area, abs=1.6 * scale * shape.length + 8 * scale**2)


@pytest.mark.parametrize("strokes", [LINES, ASCII], ids=["lines", "ascii"])
def test_every_wall_has_its_number_once(strokes: object) -> None:
    text = plan_text(BAY, 60, 18, strokes if strokes is ASCII else LINES)
    assert sorted(c for c in text if c.isdigit()) == list("12345678")
    assert strokes is LINES or text.isascii()


def test_dots_lead_from_the_last_corner_to_the_first() -> None:
    growing = Notes(walls=ELL.walls[:4])
    assert "·" in plan_text(growing)
    assert "·" not in plan_text(ELL)
    assert "·" not in plan_text(Notes(walls=ELL.walls[:4], closed=False))


def test_a_lean_of_a_degree_makes_no_step() -> None:
    leaning = Notes(walls=(WallNote(4000, CornerNote(False, 89)), WallNote(3000), WallNote(3950)))
    right = grid(plan_text(leaning, 60, 15))
    assert {line[-1] for line in right[1:-1]} <= {"│", "2"}


@pytest.mark.parametrize("inward", [True, False])
def test_a_curved_wall_bows_by_its_rise(inward: bool) -> None:
    # Rise of an arc over its chord: r - sqrt(r² - c²/4); here 2500 - 2000 = 500 over a wall of 3000.
    bowed = WallNote(3000, radius=2500, inward=inward)
    lines = grid(plan_text(Notes(walls=(WallNote(4000), bowed, WallNote(4000), WallNote(3000))), 61, 40))
    corner, middle = max(k for k, c in enumerate(lines[0]) if c != " "), len(lines) // 2
    reach = max(k for k, c in enumerate(lines[middle]) if c != " ")
    column = (4000 if inward else 4500) / (len(lines[0]) - 1)
    assert (reach - corner) * column == pytest.approx(-500 if inward else 500, abs=1.5 * column)


def test_openings_stand_where_they_are() -> None:
    door = OpeningNote(wall=0, kind="door", from_left=2500, width=1000, head=2000)
    window = OpeningNote(wall=1, kind="window", from_left=1000, width=1000, sill=800, head=2000)
    lines = grid(plan_text(Notes(walls=RECTANGLE.walls, openings=(door, window)), 60, 16))
    top = lines[0].replace("1", "─")
    first, last = top.index("╌"), top.rindex("╌")
    whole = len(top) - 1
    assert (first / whole, last / whole) == (pytest.approx(0.625, abs=0.05), pytest.approx(0.875, abs=0.05))
    rows = [k for k, line in enumerate(lines) if line[-1] in "║2"]
    assert (rows[0] / 15, rows[-1] / 15) == (pytest.approx(1 / 3, abs=0.05), pytest.approx(2 / 3, abs=0.05))


def test_nothing_is_drawn_of_nothing() -> None:
    assert plan_text(Notes()) == ""
