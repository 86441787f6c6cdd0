from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from box_rooms import four_walls
from trimwright.ceiling import best_plane, gaps, to_fill
from trimwright.errors import DoesNotFit, RoomFileError
from trimwright.mesh.piece import piece_meshes
from trimwright.setout.inclines import mismatch
from trimwright.setout.piece import SetOut

WALLS = four_walls()


def room(ceiling: str, *trims: str) -> str:
    return f'format = 1\n[room]\nname = "Loft"\nceiling = {ceiling}\n{WALLS}{"".join(trims)}'


def trim(
    extra: str = 'follow = "ceiling"', name: str = "cornice", place: str = 'back = "wall"\ntop = "ceiling"'
) -> str:
    return f'[[trim]]\nname = "{name}"\nprofile = "cove"\n{place}\njoints = {{ internal = "mitre" }}\n{extra}\n'


OUT_OF_LEVEL = "[2400, 2400, 2412, 2409]"


def test_the_back_top_edge_lies_in_the_ceiling(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(room(OUT_OF_LEVEL, trim()))
    for piece in done.pieces:
        for station in (0.0, done.room.walls[piece.wall].length / 3, done.room.walls[piece.wall].length):
            top = piece.height(station, piece.trim.edges.top)
            assert top == pytest.approx(done.room.ceiling_at(piece.wall, station), abs=1e-9)


def test_lengths_and_volumes_along_the_slope(set_out_of: Callable[[str], SetOut]) -> None:
    """Along a slope t a piece is longer by sqrt(1 + t²), its section unchanged: volume = area x centroid's path."""
    done = set_out_of(room("[2400, 2400, 3000, 3000]", trim('follow = "ceiling"\nwalls = ["east"]')))
    (east,) = done.pieces
    slope = 600 / 3000
    assert east.back_length == pytest.approx(3000 * math.hypot(1, slope))
    # Plumb ends overhang each other by the drop times the slope.
    assert east.length == pytest.approx(3000 * math.hypot(1, slope) + 100 * slope)
    body = piece_meshes(done)[east.id]
    assert body.closed
    assert body.volume == pytest.approx(east.trim.outline.area * 3000 * math.hypot(1, slope), rel=1e-5)


def test_a_section_square_to_the_slope_is_the_stock(set_out_of: Callable[[str], SetOut]) -> None:
    """Turn the body back by its slope: its extent square to the slope is the drop, out from the wall the projection."""
    done = set_out_of(room("[2400, 2400, 3000, 3000]", trim('follow = "ceiling"\nwalls = ["east"]')))
    (east,) = done.pieces
    points = piece_meshes(done)[east.id].vertices
    angle = math.atan(600 / 3000)
    stations = np.array([east.frame.locate((x, y))[0] for x, y in points[:, :2]])
    across = points[:, 2] * math.cos(angle) - stations * math.sin(angle)
    assert across.max() - across.min() == pytest.approx(100, abs=1e-6)


def test_runs_that_rise_alike_into_a_corner_meet(set_out_of: Callable[[str], SetOut]) -> None:
    """A ceiling that is lifted at one corner by the same slope from both sides: a true vertical mitre."""
    done = set_out_of(room("[2400, 2400, 2430, 2390]", trim('follow = "ceiling"\nwalls = ["east", "south"]')))
    corner = done.room.corners[2]
    assert corner is not None
    assert mismatch(done.trims[0], done.room, corner) == pytest.approx(0, abs=0.02)
    first, second = done.pieces
    heights = [p.height(p.right.at(100) if p is first else p.left.at(100), 2300) for p in done.pieces]
    assert heights[0] == pytest.approx(heights[1], abs=0.02)
    assert first.right.mate == second.id


def test_a_corner_that_one_section_cannot_turn_is_told_with_the_choices(set_out_of: Callable[[str], SetOut]) -> None:
    """From level to a slope of 0.2, at 100 out: 100 * cot 45 * 0.2 = 20, and 100 * (sqrt(1.04) - 1) = 2 by the cut."""
    with pytest.raises(DoesNotFit, match=r"miss each other by 22\.0 mm.*follow = \"level\".*raked section"):
        set_out_of(room("[2400, 2400, 3000, 3000]", trim()))
    done = set_out_of(room("[2400, 2400, 3000, 3000]", trim().replace('"mitre"', '"square"')))
    assert len(done.pieces) == 4


def test_small_misses_are_noted(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(room(OUT_OF_LEVEL, trim()))
    corner = done.room.corners[1]
    assert corner is not None
    assert mismatch(done.trims[0], done.room, corner) == pytest.approx(100 * 12 / 3000, abs=0.01)
    assert any("0.4 mm; ease" in note for note in done.notes)


def test_a_trim_goes_the_way_of_what_it_hangs_on(set_out_of: Callable[[str], SetOut]) -> None:
    rail = trim("", "second", 'back = "wall"\ntop = "cornice.bottom"')
    done = set_out_of(room(OUT_OF_LEVEL, trim(), rail))
    assert [t.follows for t in done.trims] == [True, True]
    with pytest.raises(RoomFileError, match="cannot stay on it"):
        set_out_of(room(OUT_OF_LEVEL, trim(), rail + 'follow = "level"\n'))


def test_a_level_trim_leaves_gaps_to_fill(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(room(OUT_OF_LEVEL, trim("")))
    found = {(g.wall, g.corner): g.gap for g in gaps(done)}
    assert found[(1, 2)] == pytest.approx(0)
    assert found[(1, 3)] == pytest.approx(12)
    assert found[(2, 4)] == pytest.approx(9)
    assert {(g.wall, g.corner) for g in to_fill(gaps(done))} == {(1, 3), (2, 3), (2, 4), (3, 4)}
    assert all(p.incline is None for p in done.pieces)


def test_points_between_corners_are_heard(set_out_of: Callable[[str], SetOut]) -> None:
    text = room("2400", trim("")).replace('name = "north"', 'name = "north"\nceiling = [[2000, 2388]]')
    done = set_out_of(text)
    assert done.trims[0].edges.top == 2388
    assert done.room.ceiling_at(0, 1000) == pytest.approx(2394)
    assert [g.gap for g in gaps(done) if g.wall == 0] == pytest.approx([12, 0, 12])


def test_the_best_plane_of_a_plane_ceiling(set_out_of: Callable[[str], SetOut]) -> None:
    """A ceiling that rises 3 mm a metre to the right and 4 away from wall 1 falls 5 mm a metre (3-4-5)."""
    done = set_out_of(room("[2400, 2412, 2424, 2412]", trim("")))
    plane = best_plane(done.room)
    assert plane is not None
    assert plane.fall == pytest.approx(5)
    assert plane.off == pytest.approx(0, abs=1e-9)
    twisted = best_plane(set_out_of(room("[2400, 2412, 2424, 2420]", trim(""))).room)
    assert twisted is not None
    assert twisted.off == pytest.approx(2)
