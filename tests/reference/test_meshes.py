"""Meshes of pieces against closed forms and against programs that know nothing of this one.

Sources. A prism cut by two planes has the volume of its section times the distance between the planes along the
line through the section's centroid; round a closed run that is Pappus' second theorem (area times the path of
the centroid). Two equal round bars that cross at right angles share 16 r³ / 3 (Archimedes, Steinmetz solid).
STL: 84 + 50 n bytes, unit outward normals, no "solid" in front of a binary file.
"""

from __future__ import annotations

import io
import math
import struct
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest
import shapely

from trimwright.mesh.piece import piece_mesh, piece_meshes
from trimwright.mesh.stl import trim_stl
from trimwright.profile.file import Profile, list_profiles
from trimwright.profile.outline import Arc, Line, Outline
from trimwright.profile.section import Section
from trimwright.room import Corner, Frame, Room, Wall
from trimwright.setout.piece import End, Joint, JointPolicy, Material, Notch, Opens, Piece, SetOut, Trim

ANGLES = (30.0, 45.0, 60.0, 90.3, 120.0, 135.0, 200.0, 225.0, 270.0, 300.0, 330.0)


def polygon(*points: tuple[float, float]) -> Outline:
    return Outline.of(Line(a, b) for a, b in zip(points, (*points[1:], points[0]), strict=True))


def quarter_round(r: float, top: float = 2400.0) -> Outline:
    """Convex quarter: its corner where wall and ceiling meet."""
    face = Arc((0.0, top - r), (r, top), (0.0, top), clockwise=False)
    return Outline.of([Line((0.0, top), (0.0, top - r)), face, Line((r, top), (0.0, top))])


def cove(leg: float, lip: float, top: float = 2400.0) -> Outline:
    face = Arc((lip, top - leg), (leg, top - lip), (leg, top - leg), clockwise=True)
    edges = [Line((0.0, top), (0.0, top - leg)), Line((0.0, top - leg), (lip, top - leg)), face]
    return Outline.of([*edges, Line((leg, top - lip), (leg, top)), Line((leg, top), (0.0, top))])


def bead(r: float, out: float, height: float = 2000.0) -> Outline:
    near, far, centre = (out - r, height), (out + r, height), (out, height)
    return Outline.of([Arc(near, far, centre, clockwise=False), Arc(far, near, centre, clockwise=False)])


def channel(back: float = 120.0, height: float = 2300.0) -> Outline:
    """A U of twelve edges, held off the wall, open upwards."""
    u = [(0, 0), (30, 0), (30, 22), (28, 24), (26, 22), (26, 4), (4, 4), (4, 22), (2, 24), (0, 22)]
    return polygon(*((back + x, height + y) for x, y in u))


SECTIONS = {"quarter round": quarter_round(60), "cove": cove(90, 8), "bead": bead(12, 30), "channel": channel()}


def trim_of(outline: Outline) -> Trim:
    joints = JointPolicy(internal=Joint.MITRE, external=Joint.MITRE, end=Joint.SQUARE, length=Joint.SCARF)
    section = Section(name="by hand", kind="cornice", outline=outline)
    material = Material(name="pine", density=500.0, colour="#d8b98a")
    return Trim(
        name="cornice",
        letter="C",
        section=section,
        outline=outline,
        material=material,
        walls=(0, 1),
        joints=joints,
        stock=(),
    )


def walls_of(lengths: list[float], corners: list[float], heading: float = 17.0) -> list[Wall]:
    """Walls clockwise, wall k + 1 turned by 180 less the corner between them; the first at an odd heading."""
    walls, at, direction = [], (310.0, -120.0), math.radians(heading)
    for k, length in enumerate(lengths):
        frame = Frame(at, (math.cos(direction), math.sin(direction)))
        walls.append(Wall(k, f"wall {k}", length, frame))
        at = frame.plan(length)
        if k < len(corners):
            direction -= math.radians(180 - corners[k])
    return walls


def set_out_of(walls: list[Wall], trim: Trim, pieces: list[Piece], closed: bool = False) -> SetOut:
    corners = (None,) * (len(walls) + (not closed))
    room = Room(name="by hand", closed=closed, walls=tuple(walls), corners=corners, ceilings=(2400.0,) * len(corners))
    return SetOut(room=room, trims=(trim,), pieces=tuple(pieces), order=tuple(p.id for p in pieces))


def half_cot(angle: float) -> float:
    return 1 / math.tan(math.radians(angle / 2))


def bend(outline: Outline, angle: float, joint: Joint = Joint.MITRE, length: float = 1500.0) -> SetOut:
    """Two walls and one corner: piece C1 mitred or square into it, piece C2 mitred or coped over C1."""
    trim, walls, slope = trim_of(outline), walls_of([length, length], [angle]), half_cot(angle)
    first = End(joint=joint, station=length, slope=-slope, corner=angle, mate="C2")
    if joint is Joint.COPE:
        clear = max(0.0, outline.bounds.front / math.tan(math.radians(angle)))
        first = End(joint=Joint.SQUARE, station=length - clear, corner=angle, mate="C2")
    second = End(joint=joint, station=0.0, slope=slope, corner=angle, mate="C1")
    free = End(joint=Joint.SQUARE, station=0.0), End(joint=Joint.SQUARE, station=length)
    pieces = [
        Piece(id="C1", trim=trim, wall=0, frame=walls[0].frame, left=free[0], right=first),
        Piece(id="C2", trim=trim, wall=1, frame=walls[1].frame, left=second, right=free[1]),
    ]
    return set_out_of(walls, trim, pieces)


def ring(outline: Outline, sides: int, length: float) -> SetOut:
    """A room in the shape of a regular polygon, mitred all round."""
    angle = 180 - 360 / sides
    trim, walls, slope = trim_of(outline), walls_of([length] * sides, [angle] * (sides - 1)), half_cot(angle)
    pieces = [
        Piece(
            id=f"C{k + 1}",
            trim=trim,
            wall=k,
            frame=wall.frame,
            left=End(joint=Joint.MITRE, station=0.0, slope=slope, corner=angle, mate=f"C{(k - 1) % sides + 1}"),
            right=End(joint=Joint.MITRE, station=length, slope=-slope, corner=angle, mate=f"C{(k + 1) % sides + 1}"),
        )
        for k, wall in enumerate(walls)
    ]
    return set_out_of(walls, trim, pieces, closed=True)


def edges_cancel(faces: np.ndarray) -> bool:
    """Each directed edge once, with its opposite once: counted one by one."""
    counted = Counter((int(f[k]), int(f[(k + 1) % 3])) for f in faces for k in range(3))
    return all(n == 1 and counted[(b, a)] == 1 for (a, b), n in counted.items())


@pytest.mark.parametrize("angle", ANGLES)
@pytest.mark.parametrize("name", SECTIONS)
def test_mitred_volume_is_area_times_length_at_the_centroid(name: str, angle: float) -> None:
    outline = SECTIONS[name]
    job = bend(outline, angle)
    expected = outline.area * (1500.0 - outline.centroid[0] * half_cot(angle))
    for mesh in piece_meshes(job).values():
        assert mesh.volume == pytest.approx(expected, rel=2e-5)
        assert edges_cancel(mesh.faces)
        assert mesh.closed
        assert mesh.areas.min() > 0


@pytest.mark.parametrize("sides", [3, 4, 5, 8, 12])
def test_room_all_round_is_area_times_path_of_the_centroid(sides: int) -> None:
    """Pappus: the centroid of a regular polygon's inner offset by d walks n (L - 2 d cot(C/2))."""
    outline = SECTIONS["cove"]
    path = sides * (2000.0 - 2 * outline.centroid[0] * math.tan(math.pi / sides))
    volume = sum(mesh.volume for mesh in piece_meshes(ring(outline, sides, 2000.0)).values())
    assert volume == pytest.approx(outline.area * path, rel=2e-5)


@pytest.mark.parametrize("angle", [45.0, 70.0, 90.0, 91.7, 110.0, 135.0, 160.0])
def test_cope_over_a_quarter_round_takes_a_third_of_r_cubed_off_its_mitre(angle: float) -> None:
    """The mate reaches N(v) = √(r² - v²); between mitre and cope lie (N - o) / sin C, in all r³ / (3 sin C)."""
    r = 60.0
    mitred = bend(quarter_round(r), angle)
    coped = bend(quarter_round(r), angle, Joint.COPE)
    taken = mitred_volume(mitred) - piece_mesh(coped.pieces[1], coped).volume
    assert taken == pytest.approx(r**3 / 3 / math.sin(math.radians(angle)), rel=2e-3)
    check_solid(coped)


def test_cope_over_a_round_bead_takes_half_a_steinmetz_solid_off_its_mitre() -> None:
    r = 12.0
    mitred, coped = bend(bead(r, 30.0), 90.0), bend(bead(r, 30.0), 90.0, Joint.COPE)
    taken = mitred_volume(mitred) - piece_mesh(coped.pieces[1], coped).volume
    assert taken == pytest.approx(16 * r**3 / 3 / 2, rel=5e-3)
    check_solid(coped)


@pytest.mark.parametrize("angle", [60.0, 90.0, 120.0])
def test_every_point_of_a_cope_face_lies_on_the_mate(angle: float) -> None:
    """No vertex of the coped piece is behind the mate's face, and those of its end lie on it, within the chords."""
    r = 60.0
    job = bend(quarter_round(r), angle, Joint.COPE)
    vertices = piece_mesh(job.pieces[1], job).vertices
    locate = job.pieces[0].frame.locate
    out = np.array([locate((x, y))[1] for x, y, _ in vertices])
    reach = np.sqrt(np.maximum(0.0, r**2 - (2400.0 - vertices[:, 2]) ** 2))
    station = np.array([job.pieces[1].frame.locate((x, y))[0] for x, y, _ in vertices])
    assert (np.hypot(np.maximum(out, 0), 2400.0 - vertices[:, 2]) > r - 0.05).all()
    end = station < 1499.0
    assert np.abs(np.hypot(out, 2400.0 - vertices[:, 2])[end] - r).max() < 0.05
    assert reach.max() == pytest.approx(r)


@pytest.mark.parametrize("angle", [50.0, 90.4, 135.0])
@pytest.mark.parametrize("profile", list_profiles(), ids=lambda profile: profile.name)
def test_coped_volume_of_every_shipped_profile(profile: Profile, angle: float) -> None:
    """At height v each strip of the section ends (N(v) + o cos C) / sin C from the corner.

    Between the heights of two neighbouring vertices all is linear in v, the volume of the slice a cubic: two Gauss
    points are exact.
    """
    job = bend(profile.section().outline.moved(0.0, 2000.0), angle, Joint.COPE)
    outline, corner = job.trims[0].outline, math.radians(angle)
    points = outline.points(0.001)
    section, front = shapely.Polygon(points), outline.bounds.front + 1
    expected = 0.0
    for low, high in pairwise(sorted({height for _, height in points})):
        for part in (0.5 - math.sqrt(1 / 12), 0.5 + math.sqrt(1 / 12)):
            height = low + part * (high - low)
            cut = section.intersection(shapely.LineString([(-1.0, height), (front, height)]))
            if not cut.is_empty:
                back_off = (cut.bounds[2] + cut.centroid.x * math.cos(corner)) / math.sin(corner)
                expected += (high - low) / 2 * cut.length * (1500.0 - back_off)
    assert piece_mesh(job.pieces[1], job).volume == pytest.approx(expected, rel=2e-5)
    check_solid(job)


def test_a_cope_at_the_right_end_mirrors_one_at_the_left() -> None:
    """The mirrored corner: the volume is the same, and the piece keeps clear of its mate on the other side."""
    outline, angle, length = quarter_round(60.0), 80.0, 1500.0
    trim, walls, slope = trim_of(outline), walls_of([length, length], [angle]), half_cot(angle)
    coped = End(joint=Joint.COPE, station=length, slope=-slope, corner=angle, mate="C2")
    clear = outline.bounds.front / math.tan(math.radians(angle))
    square = End(joint=Joint.SQUARE, station=clear, corner=angle, mate="C1")
    free = End(joint=Joint.SQUARE, station=0.0), End(joint=Joint.SQUARE, station=length)
    pieces = [
        Piece(id="C1", trim=trim, wall=0, frame=walls[0].frame, left=free[0], right=coped),
        Piece(id="C2", trim=trim, wall=1, frame=walls[1].frame, left=square, right=free[1]),
    ]
    job = set_out_of(walls, trim, pieces)
    other = bend(outline, angle, Joint.COPE)
    mesh = piece_mesh(job.pieces[0], job)
    assert mesh.volume == pytest.approx(piece_mesh(other.pieces[1], other).volume, rel=1e-9)
    out = np.array([walls[1].frame.locate((x, y))[1] for x, y, _ in mesh.vertices])
    assert (np.hypot(np.maximum(out, 0), 2400.0 - mesh.vertices[:, 2]) > 60.0 - 0.05).all()


def mitred_volume(job: SetOut) -> float:
    outline, angle = job.trims[0].outline, job.pieces[1].left.corner or 0.0
    return outline.area * (1500.0 - outline.centroid[0] * half_cot(angle))


def check_solid(job: SetOut) -> None:
    for mesh in piece_meshes(job).values():
        assert edges_cancel(mesh.faces)
        assert mesh.areas.min() > 1e-9


@pytest.mark.parametrize("opens", ["back", "front"])
def test_notch_takes_a_half_circle_and_a_rectangle_out_of_a_batten(opens: str) -> None:
    r, depth, thick, high = 14.0, 34.0, 60.0, 25.0
    outline = polygon((0, 2000), (thick, 2000), (thick, 2000 + high), (0, 2000 + high))
    job = bend(outline, 90.0)
    out = depth - r if opens == "back" else thick - depth + r
    notches = tuple(
        Notch(
            pipe=f"p{k}",
            station=200.0 + 100 * k,
            out=out,
            radius=r,
            depth=depth,
            opens=Opens(opens),
            bottom=2000,
            top=2025,
        )
        for k in range(3)
    )
    first = job.pieces[0]
    notched = Piece(
        id="C1", trim=first.trim, wall=0, frame=first.frame, left=first.left, right=first.right, notches=notches
    )
    mesh = piece_mesh(notched, job)
    slot = (2 * r * (depth - r) + math.pi * r**2 / 2) * high
    whole = outline.area * (1500.0 - outline.centroid[0])
    assert mesh.volume == pytest.approx(whole - 3 * slot, rel=1e-6)
    assert edges_cancel(mesh.faces)
    assert mesh.areas.min() > 1e-9


@pytest.mark.parametrize("chord", [0.1, 0.02])
def test_facets_stay_within_the_chord_of_the_true_arc(chord: float) -> None:
    r = 60.0
    job = bend(quarter_round(r), 90.0)
    mesh = piece_mesh(job.pieces[0], job, chord)
    frame = job.pieces[0].frame
    out = (mesh.vertices[:, :2] - frame.origin) @ frame.outward
    radius = np.hypot(out, 2400.0 - mesh.vertices[:, 2])
    curved = (radius[mesh.faces] > r - 1).all(axis=1) & (np.abs(mesh.crosses[:, :2] @ frame.along) < 1e-6)
    middles = mesh.triangles[curved][:, [0, 1, 2]] / 2 + mesh.triangles[curved][:, [1, 2, 0]] / 2
    middle = np.hypot((middles[:, :, :2] - frame.origin) @ frame.outward, 2400.0 - middles[:, :, 2])
    assert curved.sum() > 20
    assert np.abs(middle - r).max() <= chord
    assert np.abs(radius[mesh.faces[curved]] - r).max() <= chord


@pytest.mark.parametrize("name", SECTIONS)
def test_stl_is_watertight_for_trimesh_and_numpy_stl(name: str) -> None:
    trimesh = pytest.importorskip("trimesh")
    stl = pytest.importorskip("stl")
    outline = SECTIONS[name]
    job = ring(outline, 8, 1800.0)
    data = trim_stl(job, job.trims[0])
    read = trimesh.load(io.BytesIO(data), file_type="stl")
    path = 8 * (1800.0 - 2 * outline.centroid[0] * math.tan(math.pi / 8))
    assert read.is_watertight
    assert read.is_winding_consistent
    assert read.body_count == 8
    assert read.volume == pytest.approx(outline.area * path, rel=1e-4)
    other = stl.mesh.Mesh.from_file("x.stl", fh=io.BytesIO(data))
    assert other.is_closed(exact=True)
    assert float(other.get_mass_properties()[0]) == pytest.approx(read.volume, rel=1e-4)


def test_stl_with_copes_is_watertight() -> None:
    trimesh = pytest.importorskip("trimesh")
    job = bend(cove(90, 8), 92.0, Joint.COPE)
    read = trimesh.load(io.BytesIO(trim_stl(job, job.trims[0])), file_type="stl")
    apart = sum(mesh.volume for mesh in piece_meshes(job).values())
    assert read.is_watertight
    assert read.body_count == 2
    assert read.volume == pytest.approx(apart, rel=1e-4)


def test_stl_layout(tmp_path) -> None:  # type: ignore[no-untyped-def]
    meshio = pytest.importorskip("meshio")
    job = ring(SECTIONS["cove"], 4, 900.0)
    data = trim_stl(job, job.trims[0])
    (count,) = struct.unpack_from("<I", data, 80)
    assert len(data) == 84 + 50 * count
    assert not data.lower().startswith(b"solid")
    assert b"mm" in data[:80]
    assert b"cornice" in data[:80]
    values = np.frombuffer(data, dtype=np.dtype([("f", "<f4", 12), ("a", "<u2")]), offset=84)
    normals, corners = values["f"][:, :3].astype(float), values["f"][:, 3:].reshape(-1, 3, 3).astype(float)
    assert np.allclose(np.linalg.norm(normals, axis=1), 1, atol=1e-6)
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    assert (np.einsum("ij,ij->i", cross, normals) > 0).all()
    path = tmp_path / "cornice.stl"
    path.write_bytes(data)
    assert len(meshio.read(path).cells_dict["triangle"]) == count


def test_importing_the_meshes_brings_in_neither_kernel_nor_scene_library() -> None:
    import subprocess
    import sys

    code = "import sys, trimwright.mesh.stl, trimwright.mesh.glb; print([m for m in HEAVY if m in sys.modules])"
    heavy = "HEAVY = ['cadquery', 'OCP', 'trimesh', 'manifold3d', 'shapely', 'scipy', 'ezdxf', 'pydantic']; "
    done = subprocess.run([sys.executable, "-c", heavy + code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_corner_type_is_what_the_builder_assumes() -> None:
    """The mitre slopes used above are those of the room's own corners."""
    for angle in ANGLES:
        assert Corner(0, 1, angle, (0.0, 0.0)).half_cot == pytest.approx(half_cot(angle))
