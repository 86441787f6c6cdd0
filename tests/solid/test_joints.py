"""The check that joints neither overlap nor gap finds planted faults and lets true joints pass."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hand_rooms import WALL, bead, coped_pair, cove, mitred_pair, mitred_ring, ogee, rectangle, returned, trim_of

from trimwright.setout.piece import End, SetOut, Side
from trimwright.solid.build import room_solids
from trimwright.solid.joints import FaultKind, Hull, hull_of, joint_faults, near_pairs

SQUARE_ROOM = ((0.0, 0.0), (3000.0, 0.0), (3000.0, -2000.0), (0.0, -2000.0))
L_ROOM = ((0, 0), (4000, 0), (4000, -3000), (2500, -3000), (2500, -1500), (0, -1500))


def faults(room: SetOut) -> list[tuple[str, str, FaultKind]]:
    return [(fault.first, fault.second, fault.kind) for fault in joint_faults(room, room_solids(room))]


def shifted(room: SetOut, side: Side, by: float) -> SetOut:
    """The first piece with one end moved along the wall."""
    first, *rest = room.pieces
    end = first.end(side)
    moved = End(joint=end.joint, station=end.station + by, slope=end.slope, corner=end.corner, mate=end.mate)
    first = replace(first, left=moved) if side is Side.LEFT else replace(first, right=moved)
    return replace(room, pieces=(first, *rest))


@pytest.mark.parametrize("angle", [35.0, 90.0, 90.3, 135.0, 225.0, 270.0, 320.0])
def test_true_mitres_pass(angle: float) -> None:
    assert faults(mitred_pair(cove(90, 8), angle)) == []


@pytest.mark.parametrize("angle", [45.0, 90.0, 90.3, 130.0])
def test_true_copes_pass(angle: float) -> None:
    assert faults(coped_pair(ogee(), angle)) == []


def test_true_returns_pass() -> None:
    assert faults(returned(bead(20))) == []


def test_a_mitre_cut_long_overlaps_and_is_out_of_plane() -> None:
    """2 mm too long along the wall, so the planes stand 2 mm apart and share a slice 2 mm long of the section."""
    room = shifted(mitred_pair(rectangle(30, 20), 90.0), Side.RIGHT, 2.0)
    found = joint_faults(room, room_solids(room))
    assert [(fault.kind, fault.first, fault.second) for fault in found] == [
        (FaultKind.OVERLAP, "C1", "C2"),
        (FaultKind.GAP, "C1", "C2"),
    ]
    # The first piece reaches over the mitre plane by 2 mm but not through the second wall: less its tip at the back.
    assert found[0].amount == pytest.approx((2 * 30 - 2 * 2 / 2) * 20)
    assert found[1].amount == pytest.approx(2.0)


def test_a_mitre_cut_short_gaps() -> None:
    assert faults(shifted(mitred_pair(cove(90, 8), 120.0), Side.RIGHT, -0.5)) == [("C1", "C2", FaultKind.GAP)]


def test_a_cope_that_falls_short_gaps() -> None:
    """The mate is moved away along the first wall after the cope was cut to it."""
    room = coped_pair(rectangle(30, 20), 90.0)
    solids = room_solids(room)
    solids["C2"] = solids["C2"].translate((0.4, 0, 0))
    (fault,) = joint_faults(room, solids)
    assert (fault.kind, fault.amount) == (FaultKind.GAP, pytest.approx(0.4, abs=1e-6))
    assert str(fault) == "pieces C1 and C2 should meet but stand 0.400 mm apart"


def test_trims_that_run_through_each_other_overlap() -> None:
    room = mitred_pair(rectangle(30, 20), 180.0 - 1e-9)
    rail = trim_of(rectangle(10, 10), name="rail", letter="R")
    other = replace(room.pieces[0], id="R1", trim=rail, right=End(joint=room.pieces[0].left.joint, station=WALL))
    both = replace(room, trims=(*room.trims, rail), pieces=(*room.pieces, other))
    (fault,) = joint_faults(both, room_solids(both))
    assert (fault.first, fault.second, fault.kind) == ("C1", "R1", FaultKind.OVERLAP)
    assert fault.amount == pytest.approx(10 * 10 * WALL)
    assert str(fault) == "pieces C1 and R1 share 90000.0 mm³ of space"


@pytest.mark.parametrize("corners", [SQUARE_ROOM, L_ROOM])
def test_mitred_neighbours_are_told_apart_without_the_kernel(corners: tuple[tuple[float, float], ...]) -> None:
    room = mitred_ring(cove(90, 8), corners)
    assert list(near_pairs(room.pieces)) == []
    assert joint_faults(room, room_solids(room)) == []


def test_a_hull_holds_its_solid() -> None:
    room = coped_pair(ogee(), 70.0)
    for piece in room.pieces:
        hull, box = hull_of(piece), room_solids(room)[piece.id].BoundingBox(1e-6)
        assert hull.span[0] <= box.xmin + 1e-4
        assert hull.span[1] >= box.xmax - 1e-4
        assert (hull.bottom, hull.top) == (
            box.zmin,
            pytest.approx(box.zmax, abs=1e-4),
        ) or hull.bottom <= box.zmin + 1e-4


def test_hulls_part_on_a_slanting_line() -> None:
    """Two triangles either side of a diagonal: their boxes overlap, they do not."""
    lower = Hull(((0, 0), (10, 0), (0, 10), (0, 10)), 0, 5)
    upper = Hull(((10, 0), (10, 10), (0, 10), (0, 10)), 0, 5)
    assert lower.apart(upper)
    assert not lower.apart(Hull(((9, 0), (10, 10), (0, 9), (0, 9)), 0, 5))
    assert lower.apart(Hull(lower.plan, 5, 9))
