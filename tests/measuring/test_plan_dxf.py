"""Outlines of drawings made with ezdxf, some of them turned, mirrored or in other units, as walls."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from ezdxf.enums import InsertUnits
from shapely import Point, Polygon
from shapely.affinity import rotate, translate

from trimwright.errors import RoomFileError
from trimwright.measuring.notes import Notes, WallNote, room_of
from trimwright.measuring.outline import Outline, Side, drawn_walls
from trimwright.measuring.plan_dxf import read_plan
from trimwright.survey.closing import closing_gap, walk
from trimwright.units import length

Points = Sequence[tuple[float, float]]

ELL: Points = [(0, 0), (2500, 0), (2500, -1200), (4000, -1200), (4000, 1800), (0, 1800)]
"""Anticlockwise, in mm; clockwise from its upper left corner its walls are 4000, 3000, 1500, 1200, 2500, 1800."""

ELL_WALLS = [4000, 3000, 1500, 1200, 2500, 1800]

Draw = Callable[[Any], None]


@pytest.fixture
def drawing(tmp_path: Path) -> Callable[..., Path]:
    """Writes a drawing made by a function of its model space."""

    def write(draw: Draw, unit: int = InsertUnits.Millimeters) -> Path:
        document = ezdxf.new("R2010")
        document.header["$INSUNITS"] = int(unit)
        draw(document.modelspace())
        path = tmp_path / "plan.dxf"
        document.saveas(path)
        return path

    return write


def outline(points: Points, **more: Any) -> Draw:
    return lambda space: space.add_lwpolyline(points, close=True, **more)


def walls_of(path: Path, layer: str | None = None) -> tuple[WallNote, ...]:
    plan = read_plan(path, layer)
    assert plan.scale is not None
    return drawn_walls(plan.outlines[0], plan.scale)


def lengths(walls: Sequence[WallNote]) -> list[float]:
    return [length(wall.length) for wall in walls]


def externals(walls: Sequence[WallNote]) -> list[int]:
    return [k + 1 for k, wall in enumerate(walls) if wall.corner and wall.corner.external]


def test_an_outline_becomes_walls_clockwise_from_the_upper_left(drawing: Callable[..., Path]) -> None:
    walls = walls_of(drawing(outline(ELL)))
    assert lengths(walls) == ELL_WALLS
    assert externals(walls) == [4]
    assert {wall.corner.angle for wall in walls if wall.corner} == {90}


@pytest.mark.parametrize("start", range(6))
@pytest.mark.parametrize("clockwise", [True, False])
def test_neither_direction_nor_start_matter(drawing: Callable[..., Path], start: int, clockwise: bool) -> None:
    points = [*ELL[start:], *ELL[:start]]
    assert lengths(walls_of(drawing(outline(points[::-1] if clockwise else points)))) == ELL_WALLS


@pytest.mark.parametrize(
    ("unit", "mm"),
    [  # Group code $INSUNITS of the DXF reference: 1 inches, 2 feet, 4 mm, 5 cm, 6 m, 14 dm.
        (1, 25.4),
        (2, 304.8),
        (4, 1),
        (5, 10),
        (6, 1000),
        (14, 100),
    ],
)
def test_units_are_those_of_the_drawing(drawing: Callable[..., Path], unit: int, mm: float) -> None:
    points = [(x / mm, y / mm) for x, y in ELL]
    assert lengths(walls_of(drawing(outline(points), InsertUnits(unit)))) == pytest.approx(ELL_WALLS, abs=0.05)


@pytest.mark.parametrize("code", [0, -1, 99])
def test_a_drawing_without_a_unit_says_so(drawing: Callable[..., Path], code: int) -> None:
    assert read_plan(drawing(outline(ELL), code)).scale is None


def old_style(space: Any) -> None:
    space.add_polyline2d(ELL, close=True)


def in_space(space: Any) -> None:
    space.add_polyline3d([(x, y, 100) for x, y in ELL], close=True)


def back_to_its_start(space: Any) -> None:
    space.add_lwpolyline([*ELL, ELL[0]])


def mirrored(space: Any) -> None:
    # Drawn on a plane that looks down: x of the object is -x of the drawing.
    space.add_lwpolyline([(-x, y) for x, y in ELL], close=True, dxfattribs={"extrusion": (0, 0, -1)})


@pytest.mark.parametrize("draw", [old_style, in_space, back_to_its_start, mirrored])
def test_every_kind_of_closed_polyline_is_read(drawing: Callable[..., Path], draw: Draw) -> None:
    walls = walls_of(drawing(draw))
    assert lengths(walls) == ELL_WALLS
    assert externals(walls) == [4]


def test_points_within_a_straight_wall_and_doubled_ones_are_left_out(drawing: Callable[..., Path]) -> None:
    points = [ELL[0], (1000, 0.2), (1000, 0.2), (1800, 0), *ELL[1:], ELL[-1], (0, 900)]
    assert lengths(walls_of(drawing(outline(points)))) == ELL_WALLS


def test_the_largest_outline_comes_first_and_a_layer_chooses(drawing: Callable[..., Path]) -> None:
    def draw(space: Any) -> None:
        space.add_lwpolyline([(0, 0), (1, 0), (1, 1)], close=True, dxfattribs={"layer": "Detail"})
        space.add_lwpolyline(ELL, close=True, dxfattribs={"layer": "Rooms"})
        space.add_lwpolyline([(0, 0), (9000, 0)])
        space.add_line((0, 0), (9000, 9000))

    path = drawing(draw)
    assert [o.layer for o in read_plan(path).outlines] == ["Rooms", "Detail"]
    assert [o.layer for o in read_plan(path, "detail").outlines] == ["Detail"]
    with pytest.raises(RoomFileError, match="no closed polyline on layer 'Walls'; there are some on Detail, Rooms"):
        read_plan(path, "Walls")


@pytest.mark.parametrize("clockwise", [True, False])
@pytest.mark.parametrize("seen_from_below", [True, False])
@pytest.mark.parametrize("inward", [True, False])
def test_an_arc_is_a_curved_wall(
    drawing: Callable[..., Path], clockwise: bool, seen_from_below: bool, inward: bool
) -> None:
    """The right-hand wall, 3000 long, as an arc that rises 200: r = (c²/4 + s²) / 2 s, bulge = 2 s / c."""
    rise, chord = 200.0, 3000.0
    # Walked anticlockwise the room lies on the left: an arc that runs anticlockwise too bows out of it.
    bulge = (-1 if inward else 1) * 2 * rise / chord
    bowed = [(x, y, bulge if (x, y) == (4000, -1200) else 0.0) for x, y in ELL]
    if clockwise:
        bowed = [(x, y, -bulge if (x, y) == (4000, 1800) else 0.0) for x, y in reversed(ELL)]
    more: dict[str, Any] = {}
    if seen_from_below:
        bowed = [(-x, y, -b) for x, y, b in bowed]
        more = {"dxfattribs": {"extrusion": (0, 0, -1)}}
    walls = walls_of(drawing(lambda space: space.add_lwpolyline(bowed, format="xyb", close=True, **more)))
    assert lengths(walls) == ELL_WALLS
    assert [w.radius for w in walls] == [
        pytest.approx((chord**2 / 4 + rise**2) / (2 * rise), abs=0.05) if k == 1 else None for k in range(6)
    ]
    assert walls[1].inward == inward
    room, _ = room_of(Notes(walls=walls, ceiling=2400))
    middle = Point(room.walls[1].frame.plan(room.walls[1].length / 2))
    assert Polygon(room.plan).contains(middle) == inward


def test_ezdxf_bows_the_same_way(drawing: Callable[..., Path]) -> None:
    """The middle of the arc as ezdxf has it lies outside the room's corners exactly if we say so."""
    path = drawing(lambda space: space.add_lwpolyline([(0, 0, 0.1), (4000, 0), (4000, 3000)], format="xyb", close=True))
    arc = next(e for e in ezdxf.readfile(path).modelspace()[0].virtual_entities() if e.dxftype() == "ARC")
    assert arc.construction_tool().end_angle - arc.construction_tool().start_angle > 0
    low = arc.dxf.center.y - arc.dxf.radius
    bowed = [w for w in walls_of(path) if w.radius is not None]
    assert [w.inward for w in bowed] == [low >= 0]
    assert [w.radius for w in bowed] == [pytest.approx(arc.dxf.radius, abs=0.05)]


def test_an_arc_too_flat_to_see_is_straight(drawing: Callable[..., Path]) -> None:
    flat = [(x, y, 0.0001) for x, y in ELL]
    path = drawing(lambda space: space.add_lwpolyline(flat, format="xyb", close=True))
    assert [w.radius for w in walls_of(path)] == [None] * 6


def test_sizes_no_room_has_point_to_the_unit(drawing: Callable[..., Path]) -> None:
    with pytest.raises(RoomFileError, match=r"102 m by 76\.2 m.*--unit"):
        walls_of(drawing(outline(ELL), InsertUnits.Inches))


@pytest.mark.parametrize(
    ("text", "told"), [("", "not a readable DXF"), ("0\nSECTION\n", "not a readable DXF"), (None, "no such file")]
)
def test_what_is_no_drawing_is_refused(tmp_path: Path, text: str | None, told: str) -> None:
    path = tmp_path / "plan.dxf"
    if text is not None:
        path.write_text(text)
    with pytest.raises(RoomFileError, match=told):
        read_plan(path)


def test_lines_are_no_outline(drawing: Callable[..., Path]) -> None:
    with pytest.raises(RoomFileError, match="no closed polyline"):
        read_plan(drawing(lambda space: space.add_line((0, 0), (4000, 0))))


@pytest.mark.parametrize("seed", range(40))
def test_any_room_anywhere_keeps_its_shape(seed: int) -> None:
    """A star-shaped room of random corners, turned and moved: its walls close and enclose its area (shapely)."""
    dice = random.Random(seed)
    turns = sorted(dice.uniform(0, 2 * math.pi) for _ in range(dice.randint(5, 12)))
    if max(b - a for a, b in zip(turns, [*turns[1:], turns[0] + 2 * math.pi], strict=True)) > 3:
        turns = [k * math.pi / 3 for k in range(6)]
    points = [(r * math.cos(t), r * math.sin(t)) for t in turns for r in [dice.uniform(2000, 5000)]]
    shape = translate(rotate(Polygon(points), dice.uniform(0, 360)), 3.4e6, 5.8e6)
    walls = drawn_walls(Outline("0", tuple(Side(p) for p in shape.exterior.coords[:-1])), 1.0)
    notes = Notes(walls=walls, ceiling=2400)
    assert closing_gap(notes.lengths, notes.angles).size <= 1.0
    redrawn = Polygon(walk(notes.lengths, notes.angles)[:-1])
    assert redrawn.area == pytest.approx(shape.area, abs=shape.length)
    assert not redrawn.exterior.is_ccw
    decimals = {len(str(w.corner.angle).partition(".")[2]) for w in walls if w.corner}
    assert max(decimals) <= 3


def test_a_turned_room_is_the_same_room() -> None:
    turned = rotate(Polygon(ELL), -20)
    walls = drawn_walls(Outline("0", tuple(Side(p) for p in turned.exterior.coords[:-1])), 1.0)
    assert lengths(walls) == ELL_WALLS
    room, survey = room_of(Notes(walls=walls, ceiling=2400))
    assert room.walls[0].end == pytest.approx((4000, 0), abs=0.1)
    assert not survey.suspects
