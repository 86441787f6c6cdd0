"""Split collars: their volume by closed form, their halves apart, and only where they are asked for."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from box_rooms import four_walls
from trimwright.mesh.gauges.build import gauges
from trimwright.mesh.gauges.collar import GAP, LAP, THICKNESS
from trimwright.setout.piece import SetOut

WALLS = four_walls()


def room(collar: str) -> str:
    return (
        f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{WALLS}[[pipe]]\nwall = "north"\nname = "flow"\n'
        f"from_left = 900\nout = 40\ndiameter = 22\n{collar}\n"
        '[[trim]]\nname = "shelf"\nprofile = "batten"\nsize = { drop = 50, projection = 90 }\n'
        'back = "wall"\nbottom = 2000\n'
    )


def test_halves_of_a_collar(set_out_of: Callable[[str], SetOut]) -> None:
    """Plate of w = 2 (11 + 3 + 8) round the pipe and straight to the wall 40 behind, less the hole and the split."""
    made = dict(gauges(set_out_of(room("collar = true")), 3.0))
    halves = [mesh for name, mesh in made.items() if name.startswith("collar")]
    assert len(halves) == 2
    outer, hole = 11 + 3 + LAP, 11 + GAP
    half_disc = (math.pi * (outer**2 - hole**2) / 2) / 2
    straight = outer * 40 - math.pi * hole**2 / 4
    split = GAP / 2 * (outer - hole + 40 - hole)
    for mesh in halves:
        assert mesh.closed
        assert mesh.volume == pytest.approx((half_disc + straight - split) * THICKNESS, rel=2e-3)


def test_two_pieces_joined_at_the_pipe_have_one_between_them(set_out_of: Callable[[str], SetOut]) -> None:
    """It lies over the slot that each has half of."""
    done = set_out_of(room('collar = true\nnotch = "joint"'))
    assert sum(bool(piece.notches) for piece in done.pieces) == 2
    assert len([name for name, _ in gauges(done, 3.0) if name.startswith("collar")]) == 2


def test_none_in_a_mitre(set_out_of: Callable[[str], SetOut]) -> None:
    corner = (
        room('collar = true\nnotch = "back"').replace("from_left = 900", "from_left = 40")
        + 'joints = { internal = "mitre" }\n'
    )
    done = set_out_of(corner)
    assert sum(bool(piece.notches) for piece in done.pieces) == 2
    assert not [name for name, _ in gauges(done, 3.0) if name.startswith("collar")]


@pytest.mark.parametrize("notch", ["back", "front", "hole", "joint"])
def test_it_covers_the_slot_and_lets_the_pipe_through(set_out_of: Callable[[str], SetOut], notch: str) -> None:
    """Laid on the piece about the pipe, it leaves none of what is cut open but the pipe with its gap, to the edge."""
    low = "" if notch != "front" else "from = 2010\nto = 2500\n"
    done = set_out_of(room(f'collar = true\nnotch = "{notch}"\n{low}'))
    halves = [mesh for name, mesh in gauges(done, 3.0) if name.startswith("collar")]
    (slot, *_) = [n for piece in done.pieces for n in piece.notches]
    assert len(halves) == 2
    points = np.concatenate([mesh.vertices for mesh in halves])
    wide = max(mesh.vertices[:, 0].max() - mesh.vertices[:, 0].min() for mesh in halves)
    long = points[:, 1].max() - points[:, 1].min()
    assert wide >= slot.radius + LAP - GAP
    reach = slot.radius if notch == "hole" else slot.depth - slot.radius
    assert long >= slot.radius + LAP + reach - 0.05


def test_none_where_none_is_asked_for(set_out_of: Callable[[str], SetOut]) -> None:
    assert not [name for name, _ in gauges(set_out_of(room("")), 3.0) if name.startswith("collar")]
