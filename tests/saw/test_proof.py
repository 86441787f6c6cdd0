from __future__ import annotations

import time
from dataclasses import replace

import pytest
from saw_bench import CORNERS, SPRINGS, all_ways, crown, mitre_plane, other_end, section_of
from shapely import LineString, Polygon
from shapely.ops import split

from trimwright.errors import GeometryError
from trimwright.project.models import SawTable
from trimwright.saw.plane import EndPlane
from trimwright.saw.proof import Proof, prove, prove_all, tried, volume_between
from trimwright.saw.settings import Orders, setting_for, settings, ways
from trimwright.saw.virtual import cut
from trimwright.setout.piece import SetOut, Side
from trimwright.tolerance import PRINTED_CUT, SCALE_OFF

ANY_SAW = SawTable(mitre_left=70, mitre_right=70, bevel_left=60, bevel_right=60, fence_height=900, bed_depth=900)


@pytest.mark.parametrize("corner", CORNERS)
@pytest.mark.parametrize("spring", SPRINGS)
def test_every_way_is_proven(corner: float, spring: float) -> None:
    """Corners 45 to 315, springs 25 to 65, both hands, every way of holding: crown, solid cornice and rail."""
    for section in (crown(spring), section_of("stepped-cornice"), section_of("rail-ogee")):
        points = section.outline.points(0.2)
        for side in Side:
            plane = mitre_plane(corner, side)
            for setting in all_ways(section, plane, side, points):
                proof = tried(section, points, setting, plane, other_end(side))
                assert proof.kept
                assert proof.difference < 1e-6
                assert setting.off <= SCALE_OFF
                assert proof.off <= PRINTED_CUT


@pytest.mark.parametrize("plane", [EndPlane(0, 0.7, -0.3), EndPlane(3, -0.2, 0.5), EndPlane(0, 0, 0.4)])
def test_a_plane_that_leans(plane: EndPlane) -> None:
    """Ends of raked trim are not upright; the solver and the saw take any plane."""
    section = crown(38)
    points = section.outline.points(0.2)
    for side in Side:
        true = plane._replace(station=700.0 if side is Side.RIGHT else 0.0)
        for setting in all_ways(section, true, side, points):
            proof = tried(section, points, setting, true, other_end(side))
            assert proof.holds
            assert proof.difference < 1e-6


def test_every_end_of_every_example(example: SetOut) -> None:
    for piece in example.pieces:
        for side in Side:
            found = ways(piece, side)
            assert found
            for setting in found:
                assert prove(piece, setting).holds


def spoiled(orders: Orders) -> dict[str, Orders]:
    """The mistakes that are made at the saw, each by itself."""
    other = {"left": "right", "right": "left"}
    places = {"left of blade": "right of blade", "right of blade": "left of blade"}
    edges = {"wall edge": "ceiling edge", "ceiling edge": "wall edge"}
    wrong = {
        "arm to the other side": orders._replace(arm=other[orders.arm]),
        "other part kept": orders._replace(place=places[orders.place]),
        "arm a tenth of a degree off": orders._replace(mitre=orders.mitre + 0.1),
        "stop a millimetre off": orders._replace(stop=orders.stop + 1),
        "other edge on the bed": orders._replace(on_bed=edges.get(orders.on_bed, orders.on_bed)),
    }
    if orders.bevel:
        wrong["blade leans the other way"] = orders._replace(tilt=other[orders.tilt])
        wrong["other edge at the fence"] = orders._replace(against_fence=edges[orders.against_fence])
    return {name: w for name, w in wrong.items() if w != orders}


@pytest.mark.parametrize("corner", [91.4, 225.0])
@pytest.mark.parametrize("side", list(Side))
def test_every_mistake_is_found(corner: float, side: Side) -> None:
    section = crown(38)
    points, plane = section.outline.points(), mitre_plane(corner, side)
    for setting in all_ways(section, plane, side):
        for name, orders in spoiled(setting.orders(printed=False)).items():
            sawn = cut(section, points, orders, side, other_end(side))
            off = volume_between(points, plane, sawn.plane)
            assert not (sawn.kept and off <= 0.5), name


def test_a_wrong_card_stops_the_job(example: SetOut) -> None:
    """The whole chain: a setting whose arm is mirrored is refused by piece and end."""
    piece = next(p for p in example.pieces if abs(p.right.slope) > 0.1)
    good = setting_for(piece, Side.RIGHT, ANY_SAW)
    flipped = replace(good.exact, swing=-good.exact.swing, lean=-good.exact.lean)
    with pytest.raises(GeometryError, match=f"piece {piece.id}, right end"):
        prove_all(example.pieces, [replace(good, exact=flipped)])
    with pytest.raises(GeometryError, match=r"as printed it is \d"):
        prove_all(example.pieces, [replace(good, printed=replace(good.printed, swing=good.printed.swing + 1))])
    far = replace(good.exact, kept=Side.LEFT if good.exact.kept is Side.RIGHT else Side.RIGHT)
    with pytest.raises(GeometryError, match="waste would be kept"):
        prove_all(example.pieces, [replace(good, exact=far)])


def test_limits_of_a_proof() -> None:
    proof = Proof("C1", Side.LEFT, kept=True, difference=0.5, off=PRINTED_CUT)
    assert proof.holds
    assert not replace(proof, difference=0.51).holds
    assert not replace(proof, off=PRINTED_CUT + 0.01).holds
    assert not replace(proof, kept=False).holds


@pytest.mark.parametrize("gap", [(0.3, 0.0, 0.0), (0.3, 0.01, 0.0), (-0.2, 0.01, -0.02), (0.0, 0.002, 0.004)])
def test_volume_between_two_planes(gap: tuple[float, float, float]) -> None:
    """Against shapely: the section cut where the planes cross, each part's area times the gap at its centroid."""
    section = section_of("cyma-cornice")
    points = section.outline.points()
    outline = Polygon(points)
    far, (fixed, a, b) = 1000.0, gap
    if a == b == 0:
        expected = abs(fixed) * outline.area
    else:
        size = a * a + b * b
        foot, along = (-fixed * a / size, -fixed * b / size), (-b * far / size**0.5, a * far / size**0.5)
        line = LineString([(foot[0] - along[0], foot[1] - along[1]), (foot[0] + along[0], foot[1] + along[1])])
        parts = split(outline, line).geoms
        expected = sum(abs(fixed + a * p.centroid.x + b * p.centroid.y) * p.area for p in parts)
    assert volume_between(points, EndPlane(*gap), EndPlane(0.0)) == pytest.approx(expected, rel=1e-9)


def test_the_proof_takes_milliseconds(example: SetOut) -> None:
    made = settings(example.pieces, SawTable())
    start = time.perf_counter()
    prove_all(example.pieces, made)
    assert time.perf_counter() - start < 0.01 * len(made)


def test_printed_finer_only_where_needed() -> None:
    """0.05 degrees moves the far edge of a small section less than 0.1 mm; of a very large one more."""
    plane = mitre_plane(90.53, Side.RIGHT)
    small = all_ways(section_of("rail-plain"), plane, Side.RIGHT)[0]
    assert (small.printed.swing / 0.05) == pytest.approx(round(small.printed.swing / 0.05))
    large = all_ways(section_of("cove", drop=400, projection=400), plane, Side.RIGHT)
    assert all(s.off <= SCALE_OFF for s in large)
    assert any(abs(s.printed.swing / 0.05 - round(s.printed.swing / 0.05)) > 1e-6 for s in large)


def test_long_point_and_stop() -> None:
    """Nested internal mitre, 700 long at the wall: long point at the fence; the front is a projection shorter."""
    section = section_of("cove", drop=100, projection=100)
    nested = all_ways(section, mitre_plane(90, Side.RIGHT), Side.RIGHT)[0]
    # The far end slants by 0.1 mm a mm, so its farthest point lies at the wall, station 0.
    assert (nested.long, nested.short, nested.stop) == pytest.approx((700.0, 600.0, 700.0))
    assert nested.long_at == "at the fence"
    outside = all_ways(section, mitre_plane(270, Side.RIGHT), Side.RIGHT)[0]
    assert (outside.long, outside.short, outside.stop) == pytest.approx((800.0, 700.0, 700.0))
    assert outside.long_at == "at the front"


def test_stock_takes_up_what_the_holding_says() -> None:
    section = crown(45)
    setting = all_ways(section, mitre_plane(90, Side.LEFT), Side.LEFT)[0]
    sawn = cut(section, section.outline.points(), setting.orders(printed=True), Side.LEFT, other_end(Side.LEFT))
    assert (sawn.height, sawn.depth) == pytest.approx((setting.holding.height, setting.holding.depth))
