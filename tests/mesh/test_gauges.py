"""Printed aids: closed, flat on the bed, nowhere thin, and true to the trim they are made for."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import numpy as np
import pytest
from manifold3d import Manifold, Mesh64
from shapely import Point, Polygon
from shapely.ops import unary_union

from example_rooms import EXAMPLE_NAMES, example_set_out
from trimwright.mesh.gauges.bed import BED, TALLEST, WALL
from trimwright.mesh.gauges.build import gauges
from trimwright.mesh.gauges.cope import cope_gauge
from trimwright.mesh.gauges.cradle import FLOOR, can_be_slotted, cradle, slot_angles
from trimwright.mesh.gauges.sample import corner_sample
from trimwright.mesh.shape import Mesh
from trimwright.profile.silhouette import behind_silhouette
from trimwright.setout.piece import Joint, SetOut, Trim
from trimwright.tolerance import CHORD

KERF = 1.5


def large(set_out_of: Callable[[str], SetOut]) -> SetOut:
    """A cornice for which every aid is larger than the bed."""
    walls = "".join(f'[[wall]]\nname = "{n}"\nlength = 3000\n' for n in "abcd")
    return set_out_of(
        f'format = 1\n[room]\nname = "r"\nceiling = 2400\n{walls}[[trim]]\nname = "cornice"\nprofile = "cove"\n'
        'size = { drop = 185, projection = 230 }\nback = "wall"\ntop = "ceiling"\njoints = { internal = "cope" }\n'
    )


def solid(mesh: Mesh) -> Manifold:
    return Manifold(Mesh64(np.ascontiguousarray(mesh.vertices), mesh.faces.astype(np.uint64)))


def slices(body: Manifold) -> Iterator[tuple[Polygon, bool]]:
    """Sections across the three directions, five each, none in a face; True for those in plan."""
    for turn in ((0, 0, 0), (90, 0, 0), (0, 90, 0)):
        turned = body.rotate(turn)
        low, high = turned.bounding_box()[2], turned.bounding_box()[5]
        for part in (0.0137, 0.2071, 0.4713, 0.7219, 0.9811):
            loops = turned.slice(low + part * (high - low)).to_polygons()
            area: Polygon = Polygon()
            for loop in loops:
                # A loop within what is filled already is a hole.
                area = area.symmetric_difference(Polygon(loop))
            yield area, not any(turn)


def thin_part(area: Polygon) -> float:
    """Area of a section that a disc as wide as the least wall cannot reach, corners that run to a point left aside."""
    half = 0.99 * WALL / 2
    opened = area.buffer(-half, join_style="mitre").buffer(half, join_style="mitre", mitre_limit=6)
    return float(area.area - opened.area)


@pytest.mark.parametrize("name", [*EXAMPLE_NAMES, "large"])
def test_aids_are_closed_and_lie_flat_on_a_small_bed(name: str, set_out_of: Callable[[str], SetOut]) -> None:
    made = gauges(large(set_out_of) if name == "large" else example_set_out(name), KERF)
    assert made
    assert len({title for title, _ in made}) == len(made)
    for title, mesh in made:
        assert mesh.closed, title
        assert mesh.volume > 0
        assert np.abs(mesh.vertices.min(axis=0)).max() < 1e-9
        assert (mesh.vertices.max(axis=0)[:2] <= BED + 1e-6).all(), title
        assert mesh.vertices[:, 2].max() <= TALLEST + 1e-6
        lying = mesh.triangles[(mesh.triangles[:, :, 2] < 1e-6).all(axis=1)]
        base = np.linalg.norm(np.cross(lying[:, 1] - lying[:, 0], lying[:, 2] - lying[:, 0]), axis=1).sum() / 2
        assert base > 300, f"{title} stands on {base:.0f} mm²"


@pytest.mark.parametrize("name", [*EXAMPLE_NAMES, "large"])
def test_no_wall_is_thinner_than_two_millimetres(name: str, set_out_of: Callable[[str], SetOut]) -> None:
    """By opening sections with a disc. Beside a groove, 1 deep, a ridge is at most 1 high: upright sections allow two.

    A corner sample is the trim itself: of its section no more than one part in twenty may be thinner.
    """
    done = large(set_out_of) if name == "large" else example_set_out(name)
    for title, mesh in gauges(done, KERF):
        if title.startswith("sample"):
            trim = next(t for t in done.trims if t.name in title)
            section = Polygon(trim.outline.points())
            assert thin_part(section) <= 0.05 * section.area, title
            continue
        for area, in_plan in slices(solid(mesh)):
            assert thin_part(area) <= (0.3 if in_plan else 2.0), title


def cornice(name: str) -> Trim:
    return next(t for t in example_set_out(name).trims if t.section.kind == "cornice")


def nested(trim: Trim, clear: float, along: float = 300.0) -> Manifold:
    """The cornice as it lies in the cradle, upside down, `clear` off floor, fence and lip, carried along x."""
    _, _, front, top = trim.edges
    flat = [(o + (clear if o < front / 2 else -clear), top - height) for o, height in trim.outline.points()]
    area = Polygon(flat)
    body = Manifold.extrude(_cross(area), along)
    # (out, depth below the ceiling, along) to (along, out, height over the floor).
    return body.rotate((90, 0, 90)).translate((-along / 2, 0.0, FLOOR + clear))


def _cross(area: Polygon):
    from manifold3d import CrossSection, FillRule

    return CrossSection([np.array(area.exterior.coords)[:-1]], FillRule.EvenOdd)


@pytest.mark.parametrize("name", EXAMPLE_NAMES)
def test_cradle_holds_the_cornice_at_its_drop_and_projection(name: str) -> None:
    """Nested it lies free in the trough but for a hair, and shifted either way, or down, it meets fence, lip, floor."""
    trim = cornice(name)
    held = cradle(trim, 45.0, KERF)
    lying = nested(trim, 0.01)
    assert (held ^ lying).volume() < 1e-6
    for shift in ((0, -0.1, 0), (0, 0.1, 0), (0, 0, -0.1)):
        assert (held ^ lying.translate(shift)).volume() > 0.5, shift
    fence = held.bounding_box()[5]
    assert fence - FLOOR >= min(trim.section.drop, TALLEST - FLOOR), "the wall edge is against the fence"


@pytest.mark.parametrize("angle", [22.5, 45.0])
def test_blade_passes_both_slots_and_cuts_the_mitre(angle: float) -> None:
    """A blade as thick as the kerf, upright and `angle` from square, goes through without touching, down past the
    cornice; a little thicker it binds.
    """
    trim = cornice("reading-room")
    held = cradle(trim, angle, KERF)
    for sign in (1, -1):

        def blade(thick: float, sign: int = sign) -> Manifold:
            plate = Manifold.cube((thick, 600, 400), True).translate((0, 0, 200 + FLOOR - 0.5))
            return plate.rotate((0, 0, -sign * angle)).translate((0, trim.section.projection / 2, 0))

        assert (held ^ blade(KERF - 0.01)).volume() < 1e-6
        assert (held ^ blade(KERF + 0.1)).volume() > 1


def test_slots_are_at_the_commonest_angles_of_the_job() -> None:
    """The bay has corners of 90° and of 135° (its own 67.5 from the wall): cuts at 45 and 22.5 from square."""
    trim = cornice("bay")
    angles = slot_angles(example_set_out("bay").of_trim(trim))
    assert sorted(round(angle, 1) for angle in angles) == [22.5, 45.0]
    names = [title for title, _ in gauges(example_set_out("box-room"), KERF)]
    assert names[0] == "cradle cornice 45"


@pytest.mark.parametrize("angle", [60.0, 90.0, 135.0, 225.0, 270.0])
def test_corner_sample_has_the_volume_of_two_mitred_legs(angle: float) -> None:
    """Each leg: area times the length of the line of the centroid, from the end plane to the mitre at o cot(C/2)."""
    trim = next(t for t in example_set_out("reading-room").trims if t.section.kind == "rail")
    half_cot = 1 / math.tan(math.radians(angle / 2))
    back, _, front, _ = trim.edges
    far = 70.0 + max(front * half_cot, back * half_cot)
    exact = 2 * trim.outline.area * (far - trim.outline.centroid[0] * half_cot)
    assert corner_sample(trim, angle).volume() == pytest.approx(exact, rel=1e-5), (
        "chords keep the area, not quite its centroid"
    )


def test_corner_sample_turns_as_the_room_does() -> None:
    """Its two upright backs make the corner's angle: the normals of the largest upright faces."""
    trim = next(t for t in example_set_out("reading-room").trims if t.section.kind == "rail")
    for angle in (80.0, 90.0, 120.0):
        made = corner_sample(trim, angle).to_mesh64()
        corners = np.asarray(made.vert_properties[:, :3])[np.asarray(made.tri_verts)]
        cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        order = np.argsort(-np.linalg.norm(cross, axis=1))
        normals = cross[order] / np.linalg.norm(cross[order], axis=1)[:, None]
        other = next(n for n in normals if abs(n @ normals[0]) < 0.999 and abs(n[2]) < 1e-6)
        assert math.degrees(math.acos(float(normals[0] @ other))) == pytest.approx(180 - angle, abs=1e-6)


@pytest.mark.parametrize("name", ["box-room", "bay", "hall", "alcove", "reading-room"])
def test_cope_gauge_is_the_negative_of_the_face(name: str) -> None:
    """Plate and section share no area, and the plate touches the face all along but where a tongue would be thin."""
    done = example_set_out(name)
    for trim in done.trims:
        if not any(end.joint is Joint.COPE for p in done.of_trim(trim) for end in (p.left, p.right)):
            continue
        loops = [Polygon(loop) for loop in cope_gauge(trim).slice(2.0).to_polygons()]
        gauge = unary_union(loops)
        section = Polygon(behind_silhouette(trim.outline, 0.0).points(CHORD))
        assert gauge.intersection(section).area < 0.5
        face = [Point(p) for p in behind_silhouette(trim.outline, 0.0).points(CHORD) if p[0] > trim.edges.back + 0.1]
        touching = sum(gauge.distance(point) < 2 * CHORD for point in face)
        assert touching >= 0.8 * len(face), f"{trim.name}: {touching} of {len(face)}"


def test_parts_of_a_large_cradle_fit_each_other(set_out_of: Callable[[str], SetOut]) -> None:
    """All parts together are the whole less the play round the keys: four dovetails a side, 0.15 all round."""
    done = large(set_out_of)
    (trim,) = done.trims
    parts = [mesh for title, mesh in gauges(done, KERF) if title.startswith("cradle")]
    whole = cradle(trim, slot_angles(done.of_trim(trim))[0], KERF).volume()
    assert len(parts) > 1
    play = whole - sum(mesh.volume for mesh in parts)
    assert 0 < play < 0.002 * whole


def test_thin_metal_gets_no_sample() -> None:
    """The light channel is of 1.5 mm metal."""
    names = [title for title, _ in gauges(example_set_out("reading-room"), KERF)]
    assert not any("channel" in name for name in names)
    assert "sample picture rail" in names


def test_nearly_square_cuts_get_no_cradle() -> None:
    """Under a few degrees from square the two slots would run into one: such an end is sawn by a square line."""
    trim = cornice("reading-room")
    assert can_be_slotted(trim, 10.0)
    assert not can_be_slotted(trim, 3.0)
    wide = cradle(trim, 45.0, 20.0)
    assert wide.volume() == pytest.approx(cradle(trim, 45.0, 4.0).volume()), "a wider slot would guide nothing"
