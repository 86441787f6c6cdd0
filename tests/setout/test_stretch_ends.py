"""Square pieces in a corner of which only one wall is lined, as polygons in plan (shapely)."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from shapely import Polygon

from trimwright.setout.footprint import footprint
from trimwright.setout.piece import SetOut

WALLS = (
    '[[wall]]\nname = "north"\nlength = 2000\ninternal = 97\n[[wall]]\nname = "east"\nlength = 3000\n'
    '[[trim]]\nname = "lining"\nprofile = "batten"\nsize = { drop = 60, projection = 12 }\nback = "wall"\nbottom = 0\n'
)


@pytest.mark.parametrize("lined", ["north", "east"])
@pytest.mark.parametrize("longest", [2000, 4000], ids=["east first", "north first"])
def test_a_butt_just_touches_its_mate_whichever_wall_is_lined(
    set_out_of: Callable[[str], SetOut], lined: str, longest: int
) -> None:
    board = (
        f'walls = ["{lined}"]\n[[trim]]\nname = "board"\nprofile = "batten"\nsize = {{ drop = 40, projection = 8 }}\n'
        'back = "lining.front"\nbottom = 0\njoints = { internal = "square" }\n'
    )
    walls = WALLS.replace("length = 2000", f"length = {longest}")
    done = set_out_of(f'format = 1\n[room]\nname = "Nook"\nceiling = 2500\nclosed = false\n{walls}{board}')
    north, east = (Polygon(footprint(piece)) for piece in done.pieces if piece.trim.name == "board")
    assert north.intersection(east).area < 1e-6
    assert north.distance(east) < 1e-6
