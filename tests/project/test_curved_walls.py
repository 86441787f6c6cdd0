"""Curved walls in the room file: what is read, what is refused and with which words."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from curved_rooms import CURVE, curved_room, sweep_of, trim
from trimwright.errors import RoomFileError
from trimwright.project.measured import measured_room
from trimwright.project.models import RoomFile
from trimwright.project.project import Project

ProjectOf = Callable[[str], Project]

TRIM = trim('material = "softwood"')


@pytest.mark.parametrize("bow", ["out", "in"])
def test_the_room_closes_over_the_straight_line(project_of: ProjectOf, bow: str) -> None:
    room = project_of(curved_room(TRIM, radius=2400, chord=3000, bow=bow)).room
    wall = next(w for w in room.walls if w.name == CURVE)
    assert math.dist(wall.start, wall.end) == pytest.approx(3000)
    assert wall.length == pytest.approx(2400 * sweep_of(2400, 3000))
    # Walls run clockwise, the second one downwards; away from the room is to the right of the plan.
    rise = 2400 - math.sqrt(2400**2 - 1500**2)
    assert wall.frame.plan(wall.length / 2)[0] == pytest.approx(4000 + (rise if bow == "out" else -rise))


@pytest.mark.parametrize("bow", ["out", "in"])
def test_corners_are_those_of_the_tangents(project_of: ProjectOf, bow: str) -> None:
    """The angle of tangent and chord is half the sweep (Euclid III, 32): 90 and that, or less it."""
    room = project_of(curved_room(TRIM, radius=2400, chord=3000, bow=bow)).room
    half = math.degrees(sweep_of(2400, 3000)) / 2
    for corner in (room.corners[1], room.corners[2]):
        assert corner is not None
        assert corner.angle == pytest.approx(90 + half if bow == "out" else 90 - half)
    assert room.corners[3] is not None
    assert room.corners[3].angle == pytest.approx(90)


@settings(max_examples=40, deadline=None)
@given(radius=st.floats(1800, 30_000), inward=st.booleans())
def test_the_outline_has_the_area_of_rectangle_and_segment(radius: float, inward: bool) -> None:
    """A circular segment has area r^2 (a - sin a) / 2; it is added to the rectangle or taken from it."""
    walls = [{"name": n, "length": length} for n, length in (("a", 5000), ("b", 3000), ("c", 5000), ("d", 3000))]
    walls = [w | {"internal": 90} for w in walls]
    walls[1] |= {"radius": radius, "bow": "in" if inward else "out"}
    tables = {"format": 1, "room": {"name": "x", "ceiling": 2500}, "wall": walls}
    tables["trim"] = [{"name": "t", "profile": "cove", "back": "wall", "top": "ceiling"}]
    room, _ = measured_room(RoomFile.model_validate(tables))
    points = room.outline(0.01)
    area = -sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, (*points[1:], points[0]), strict=True)) / 2
    sweep = sweep_of(radius, 3000)
    segment = radius**2 * (sweep - math.sin(sweep)) / 2
    assert area == pytest.approx(15e6 + (-segment if inward else segment), abs=0.01 * 4000)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (curved_room(TRIM, radius=1400), r"radius: an arc of radius 1400 cannot span the 3000\.0 .* 1506 or more can"),
        (curved_room(TRIM, more="sagitta = 0"), "sagitta: input should be greater than or equal to 0.1"),
        (curved_room(TRIM, bow="up"), "bow: input should be 'out' or 'in'"),
        (curved_room(TRIM).replace("radius = 2400\n", ""), "bow and sagitta are those of a curved wall"),
        (
            curved_room(TRIM, radius=1520, bow="in"),
            "its corner would be 9.3 degrees at the curved face; 30 to 330 can be fitted",
        ),
        (
            curved_room(
                TRIM, '[[opening]]\nwall = "curve"\nkind = "window"\nfrom_left = 3000\nwidth = 400\nhead = 2000\n'
            ),
            rf"reaches from 3000 to 3400 along wall 'curve', which is {2400 * sweep_of(2400, 3000):.1f} long",
        ),
        (curved_room(trim('curve = "steamed"')), "curve: input should be 'segments' or 'bent'"),
    ],
)
def test_one_clear_message(project_of: ProjectOf, text: str, said: str) -> None:
    with pytest.raises(RoomFileError, match=said):
        project_of(text)


def test_a_bow_that_reaches_the_wall_opposite(project_of: ProjectOf) -> None:
    text = curved_room(TRIM, radius=2000, chord=3400, bow="in").replace("length = 4000.0", "length = 900.0")
    with pytest.raises(RoomFileError, match="'curve' and 'last' cross"):
        project_of(text)


def test_places_on_a_curved_wall_are_measured_along_it(project_of: ProjectOf) -> None:
    pipe = f'[[pipe]]\nwall = "{CURVE}"\nname = "riser"\nfrom_left = 1000\nout = 30\ndiameter = 15\n'
    room = project_of(curved_room(TRIM, pipe)).room
    wall, (riser,) = room.walls[1], room.pipes
    assert wall.bend is not None
    at = wall.frame.plan(*riser.start[:2])
    assert math.dist(at, wall.bend.centre) == pytest.approx(2400 - 30)
    first = wall.bend.plan(0.0)
    (cx, cy), turn = wall.bend.centre, 1000 / 2400
    angle = math.atan2(at[1] - cy, at[0] - cx) - math.atan2(first[1] - cy, first[0] - cx)
    assert abs(math.remainder(angle, math.tau)) == pytest.approx(turn)
