"""Pieces as solids: copes, notches, returns, and the faults that are told by name."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import cadquery as cq
import pytest
from hand_rooms import (
    CEILING,
    WALL,
    bead,
    channel,
    coped_pair,
    cove,
    mitred_pair,
    notched,
    ogee,
    rectangle,
    returned,
    set_out_of,
)

from trimwright.errors import GeometryError
from trimwright.profile.outline import Outline
from trimwright.setout.piece import End, Joint, Notch, Opens
from trimwright.solid.build import frame_location, piece_solid, room_solids

COPE_ANGLES = (40.0, 60.0, 89.3, 90.0, 91.5, 120.0, 140.0)


def notch_of(outline: Outline, station: float, out: float, radius: float, opening: str = "back") -> Notch:
    back, bottom, front, top = outline.bounds
    depth = out + radius - back if opening == "back" else front - out + radius
    return Notch(
        pipe="flow",
        station=station,
        out=out,
        radius=radius,
        depth=depth,
        opens=Opens(opening),
        bottom=bottom,
        top=top,
    )


def slot_area(notch: Notch) -> float:
    """A U in plan: a straight part 2 r wide and a half circle."""
    return 2 * notch.radius * (notch.depth - notch.radius) + math.pi * notch.radius**2 / 2


def test_a_piece_stands_where_its_frame_says() -> None:
    """Station along the wall, out into the room, height above the floor."""
    room = mitred_pair(rectangle(30, 20), 120.0)
    solids = room_solids(room)
    for piece in room.pieces:
        inside = cq.Vector(*piece.frame.room_point(300.0, 15.0, CEILING - 10))
        behind = cq.Vector(*piece.frame.room_point(300.0, -15.0, CEILING - 10))
        assert solids[piece.id].isInside(inside)
        assert not solids[piece.id].isInside(behind)


def test_frame_location_is_a_turn_not_a_mirror() -> None:
    room = mitred_pair(rectangle(30, 20), 75.0)
    for piece in room.pieces:
        moved = cq.Vertex.makeVertex(250.0, -40.0, 1200.0).moved(frame_location(piece.frame))
        assert moved.toTuple() == pytest.approx(piece.frame.room_point(250.0, 40.0, 1200.0))


def test_progress_is_told_after_each_piece() -> None:
    told: list[tuple[int, int]] = []
    solids = room_solids(mitred_pair(cove(90, 8), 90.0), lambda done, total: told.append((done, total)))
    assert told == [(1, 2), (2, 2)]
    assert list(solids) == ["C1", "C2"]


@pytest.mark.parametrize("angle", COPE_ANGLES)
@pytest.mark.parametrize("coped", ["C1", "C2"])
@pytest.mark.parametrize("outline", [cove(90, 8), bead(20), ogee()], ids=["cove", "bead", "ogee"])
def test_cope_takes_the_closed_form(outline: Outline, angle: float, coped: str) -> None:
    """Station L - (N + o cos C) / sin C over the section.

    Where the back is flat at the wall and nothing is undercut, N(v) is also the width of the section at v, so the
    integral of N over the section is that of N², twice the first moment: A (L - out_c (2 + cos C) / sin C).
    """
    c = math.radians(angle)
    solid = room_solids(coped_pair(outline, angle, coped))[coped]
    short = outline.centroid[0] * (2 + math.cos(c)) / math.sin(c)
    assert solid.Volume() == pytest.approx(outline.area * (WALL - short), rel=1e-8)


@pytest.mark.parametrize("angle", COPE_ANGLES)
def test_cope_over_a_plain_front(angle: float) -> None:
    """A channel's front is one upright line: the cope is the plane station L - (front + o cos C) / sin C."""
    c, outline = math.radians(angle), channel(120)
    solid = room_solids(coped_pair(outline, angle))["C1"]
    short = (outline.bounds.front + outline.centroid[0] * math.cos(c)) / math.sin(c)
    assert solid.Volume() == pytest.approx(outline.area * (WALL - short), rel=1e-9)


@pytest.mark.parametrize("angle", COPE_ANGLES)
def test_a_coped_corner_is_full_and_shares_no_space(angle: float) -> None:
    """Just behind the visible front of either piece there is material: no gap shows from the room."""
    outline = ogee()
    pair = coped_pair(outline, angle)
    solids = room_solids(pair)
    assert solids["C1"].intersect(solids["C2"]).Volume() < 1.0
    first, second = (piece.frame for piece in pair.pieces)
    c, low, r = math.radians(angle), CEILING - 60, 25.0
    # The front N(v) of the section: hollow arc above the middle, round arc below it, fillet at the top.
    fronts = [
        (low + 10, math.sqrt(r * r - 15 * 15)),
        (low + 30, 2 * r - math.sqrt(r * r - 5 * 5)),
        (low + 45, 2 * r - math.sqrt(r * r - 20 * 20)),
        (low + 55, 2 * r),
    ]
    # In an acute corner the mate, cut square where its front clears the other wall, stops short of the inner line
    # of its thinner parts, those under p cos C / (1 + cos C).
    closed = [(height, front) for height, front in fronts if front > 2 * r * math.cos(c) / (1 + math.cos(c))]
    assert closed
    for height, front in closed:
        skin = front - 0.2
        for along in (0.5, 3.0, 20.0, 90.0):
            # At the inner line the two fronts meet at (front + front cos C) / sin C from the corner on each wall.
            away = front * (1 + math.cos(c)) / math.sin(c) + along
            for frame, station in ((first, WALL - away), (second, away)):
                place = cq.Vector(*frame.room_point(station, skin, height))
                assert any(solid.isInside(place) for solid in solids.values()), (height, along, frame)


def test_notches_take_their_slots() -> None:
    outline = rectangle(40, 20)
    notches = [notch_of(outline, 200, 14, 9), notch_of(outline, 420, 10, 10), notch_of(outline, 600, 30, 6, "front")]
    solid = room_solids(notched(outline, notches))["C1"]
    assert solid.Volume() == pytest.approx(40 * 20 * WALL - 20 * sum(map(slot_area, notches)), rel=1e-9)


def test_a_notch_in_a_cove_leaves_what_the_integral_says() -> None:
    """Below the leg the hollow section is thinner than the slot is deep: integrate its width over the heights."""
    from scipy.integrate import dblquad

    outline, leg, lip = cove(90, 8), 90.0, 8.0
    notch = notch_of(outline, 300, 12, 6)
    solid = room_solids(notched(outline, [notch]))["C1"]

    def reach(down: float) -> float:
        """Width of the section a distance below the ceiling."""
        r = leg - lip
        return leg if down < lip else leg - math.sqrt(max(0.0, r * r - (leg - down) ** 2))

    def taken(station: float, down: float) -> float:
        return min(reach(down), notch.out + math.sqrt(notch.radius**2 - station**2))

    wanted, _ = dblquad(taken, 0, leg, -notch.radius, notch.radius, epsabs=1e-3)
    assert outline.area * WALL - solid.Volume() == pytest.approx(wanted, abs=1.0)


@pytest.mark.parametrize("outline", [cove(90, 8), bead(20), rectangle(30, 20), channel(120)])
def test_a_return_closes_its_piece(outline: Outline) -> None:
    """The main piece is WALL - front long at the wall; the return is a wedge whose length at out o is o."""
    solids = room_solids(returned(outline))
    out = outline.centroid[0]
    assert solids["C1"].Volume() == pytest.approx(outline.area * (WALL - outline.bounds.front + out), rel=1e-8)
    assert solids["C1R"].Volume() == pytest.approx(outline.area * out, rel=1e-8)
    assert solids["C1"].intersect(solids["C1R"]).Volume() < 1.0
    assert solids["C1R"].BoundingBox(1e-6).xmax == pytest.approx(WALL, abs=1e-5)


def test_a_slot_through_the_front_is_two_bodies() -> None:
    outline = rectangle(40, 20)
    with pytest.raises(GeometryError, match=r"piece C1: .* 2 bodies"):
        room_solids(notched(outline, [notch_of(outline, 300, 38, 9)]))


def test_a_notch_outside_the_piece_is_a_fault() -> None:
    outline = rectangle(40, 20)
    with pytest.raises(GeometryError, match=r"piece C1: .* cannot leave"):
        room_solids(notched(outline, [notch_of(outline, WALL + 300, 14, 9)]))


def test_crossed_ends_name_the_piece() -> None:
    room = mitred_pair(rectangle(30, 20), 90.0)
    short = replace(room.pieces[0], right=End(joint=Joint.MITRE, station=20.0, slope=-1.0))
    with pytest.raises(GeometryError, match="piece C1: its two ends cross"):
        piece_solid(short, room)


def test_a_cope_without_a_mate_is_told() -> None:
    room = coped_pair(cove(90, 8), 90.0)
    lonely = replace(room.pieces[0], right=replace(room.pieces[0].right, mate=None))
    with pytest.raises(GeometryError, match="piece C1: its right end is coped but no mate"):
        piece_solid(lonely, room)


def test_a_cope_onto_a_piece_in_line_is_told() -> None:
    room = coped_pair(cove(90, 8), 90.0)
    mate = replace(room.pieces[1], frame=room.pieces[0].frame)
    in_line = set_out_of([mate.frame], room.trims, (room.pieces[0], mate))
    with pytest.raises(GeometryError, match="runs in the same direction"):
        room_solids(in_line)


def quarter_turn(outline: Outline) -> Callable[[float], float]:
    def volume(angle: float) -> float:
        return sum(solid.Volume() for solid in room_solids(mitred_pair(outline, angle)).values())

    return volume


def test_an_external_corner_takes_what_an_internal_one_saves() -> None:
    """cot(C/2) of 270 is minus that of 90: the two rooms together use two straight lengths."""
    volume = quarter_turn(ogee())
    assert volume(90.0) + volume(270.0) == pytest.approx(4 * ogee().area * WALL, rel=1e-9)
