"""Pipes close to a corner: only what they touch is slotted."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from box_rooms import four_walls
from trimwright.mesh.piece import piece_meshes
from trimwright.setout.piece import SetOut
from trimwright.setout.volume import swept_volume
from trimwright.solid.build import room_solids

WALLS = four_walls()
TRIM = '[[trim]]\nname = "cornice"\nprofile = "cove"\nback = "wall"\ntop = "ceiling"\nmaterial = "pu foam"\n'


def room(from_left: float, out: float) -> str:
    pipe = f'[[pipe]]\nwall = "west"\nname = "riser"\nfrom_left = {from_left}\nout = {out}\ndiameter = 22\n'
    return f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{WALLS}{pipe}{TRIM}'


@pytest.mark.parametrize("from_left", [60, 100, 109, 120])
def test_beyond_the_mitre_of_the_next_wall_there_is_nothing_to_slot(
    set_out_of: Callable[[str], SetOut], from_left: float
) -> None:
    """A cornice of 100 on the next wall reaches out to 100 only as far from the corner as the mitre lets it."""
    done = set_out_of(room(from_left, 40))
    slotted = [p for p in done.pieces if p.notches]
    assert [done.room.walls[p.wall].name for p in slotted] == ["west"]
    assert set(room_solids(done)) == {p.id for p in done.pieces}


def test_a_pipe_in_the_mitre_is_slotted_out_of_both(set_out_of: Callable[[str], SetOut]) -> None:
    """What a slot leaves between itself and the mitre falls away: each piece stays one body, in kernel and mesh."""
    done = set_out_of(room(42, 40))
    slotted = [p for p in done.pieces if p.notches]
    assert [done.room.walls[p.wall].name for p in slotted] == ["south", "west"]
    solids, meshes = room_solids(done), piece_meshes(done)
    for piece in slotted:
        assert solids[piece.id].Volume() < swept_volume(piece) - 14 * 28 * 50
        assert meshes[piece.id].closed
        assert meshes[piece.id].volume == pytest.approx(solids[piece.id].Volume(), rel=1e-4)


@pytest.mark.parametrize(("from_left", "slotted"), [(1, 0), (600, 1)])
def test_a_pipe_behind_the_hollow_of_a_sprung_crown_is_not_slotted_out(
    set_out_of: Callable[[str], SetOut], from_left: float, slotted: int
) -> None:
    """It begins above the bevel on the wall. In the corner the mitre ends further out than it reaches."""
    crown = '[[trim]]\nname = "crown"\nprofile = "sprung-crown"\nback = "wall"\ntop = "ceiling"\n'
    crown += "size = { drop = 82, projection = 186, thickness = 14 }\n"
    pipe = f'[[pipe]]\nwall = "west"\nname = "riser"\nfrom_left = {from_left}\nout = 26\ndiameter = 35\nfrom = 2456\n'
    done = set_out_of(f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{WALLS}{pipe}{crown}')
    solids = room_solids(done)
    cut = [piece for piece in done.pieces if piece.notches]
    assert len(cut) == slotted
    assert all(solids[piece.id].Volume() < swept_volume(piece) - 1 for piece in cut)
