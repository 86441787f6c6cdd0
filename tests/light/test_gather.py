"""Illuminance anywhere on the surfaces, against closed forms and an independent path tracer (Mitsuba 3)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from trimwright.light.enclosure import Enclosure, Patch, enclosure
from trimwright.light.exchange import exchange
from trimwright.light.gather import LIFT, illuminance
from trimwright.light.radiosity import Solution, solve
from trimwright.light.trim_faces import Lamp, halves

FACES = ((0, 0, 1), (0, 0, -1), (0, 1, 0), (0, -1, 0), (1, 0, 0), (-1, 0, 0))


def square(side: float, inward: tuple[int, ...], size: float = 1000.0) -> np.ndarray:
    """A square with its middle `side` behind the origin, anticlockwise seen from the side it faces."""
    n = np.array(inward, float)
    u = np.roll(n, 1)
    v = np.cross(n, u)
    middle = -side * n
    return np.array([middle + size * (a * u + b * v) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))])


def furnace(reflectance: float, exitance: float) -> tuple[Enclosure, Solution]:
    """A closed cube of 2 m whose six faces all send out alike."""
    patches = [
        Patch(triangles=halves(square(1000.0, face)), reflectance=reflectance, surface="wall", exitance=exitance)
        for face in FACES
    ]
    space = enclosure(patches)
    return space, solve(exchange(space, 2000), space.reflectance, space.exitance)


def test_in_a_furnace_all_points_get_the_same() -> None:
    # All surfaces alike and shining: H = M / (1 - rho) everywhere, whatever the shape.
    space, light = furnace(0.6, 100.0)
    shining = [Lamp(corners=square(1000.0, face), exitance=100.0) for face in FACES]
    points = np.array([square(1000.0, face).mean(axis=0) * 0.999 for face in FACES])
    found = illuminance(space, light, shining, points, np.array(FACES, float), 2048)
    assert found == pytest.approx(100.0 / (1 - 0.6), rel=0.02)


def test_a_lamp_alone_gives_what_the_disc_formula_gives() -> None:
    # On the axis of a small square of area A at distance d: E = M A / (pi d^2), to (size/d)^2.
    lamp = Lamp(corners=square(1000.0, (0, 0, -1), 5.0), exitance=1000.0)
    space = enclosure(
        [Patch(triangles=halves(square(1001.0, face)), reflectance=0.0, surface="wall", exitance=0.0) for face in FACES]
        + [Patch(triangles=halves(lamp.corners), reflectance=0.0, surface="lamp", exitance=1000.0)]
    )
    light = solve(exchange(space, 200), space.reflectance, space.exitance)
    found = illuminance(space, light, [lamp], np.array([[0.0, 0.0, -1001.0]]), np.array([[0.0, 0.0, 1.0]]))
    assert found[0] == pytest.approx(1000.0 * 100.0 / (np.pi * (2001.0 - LIFT) ** 2), rel=0.01)


def net(corner: tuple[float, ...], one: tuple[float, ...], two: tuple[float, ...], step: float) -> list[np.ndarray]:
    """A rectangle in quads of at most a step; it faces along one x two."""
    u, v = np.array(one, float), np.array(two, float)
    m, n = (int(np.ceil(np.linalg.norm(w) / step)) for w in (u, v))
    start = np.array(corner, float)
    return [
        start + np.array([a * u / m + b * v / n for a, b in ((i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1))])
        for i in range(m)
        for j in range(n)
    ]


@pytest.fixture(scope="module")
def den() -> tuple[Enclosure, Solution, list[Lamp]]:
    """A room of 3.0 x 2.4 x 2.4 m, below its ceiling a lamp of 1.2 m square that shines down, on one wall a shelf."""
    x, y, z = (3000.0, 0, 0), (0, 2400.0, 0), (0, 0, 2400.0)
    back_x, back_y = (-3000.0, 0, 0), (0, -2400.0, 0)
    faces = [
        (0.25, "floor", net((0, -2400, 0), x, y, 200)),
        (0.8, "ceiling", net((0, 0, 2400), x, back_y, 200)),
        (0.6, "wall", net((0, 0, 0), x, z, 200)),
        (0.6, "wall", net((3000, -2400, 0), back_x, z, 200)),
        (0.6, "wall", net((0, -2400, 0), y, z, 200)),
        (0.6, "wall", net((3000, 0, 0), back_y, z, 200)),
        (0.5, "shelf", net((0, -500, 1500), x, (0, 500, 0), 200)),
        (0.5, "shelf", net((0, 0, 1490), x, (0, -500, 0), 200)),
        (0.0, "lamp's back", net((900, -1800, 2301), (1200, 0, 0), (0, 1200, 0), 300)),
    ]
    patches = [Patch(triangles=halves(q), reflectance=r, surface=name) for r, name, quads in faces for q in quads]
    shining = [Lamp(corners=q, exitance=2000.0) for q in net((900, -600, 2300), (1200, 0, 0), (0, -1200, 0), 300)]
    patches += [Patch(triangles=halves(q.corners), reflectance=0.5, surface="lamp", exitance=2000.0) for q in shining]
    space = enclosure(patches)
    return space, solve(exchange(space, 1000, 4096), space.reflectance, space.exitance), shining


PLACES = {
    "ceiling": ((0, 0, -1), [(1500, -1200, 2400), (1500, -400, 2400), (700, -1700, 2400), (2500, -1200, 2400)]),
    "floor": ((0, 0, 1), [(1500, -1200, 0), (300, -300, 0), (2300, -1900, 0)]),
    "north": ((0, -1, 0), [(1500, 0, 2000), (900, 0, 1200), (2500, 0, 500)]),
    "west": ((1, 0, 0), [(0, -1200, 1800), (0, -500, 900)]),
}
"""A dozen points of the den and the ways that they face."""


def ply(path: Path, triangles: np.ndarray) -> str:
    """Triangles in metres as an ASCII PLY file."""
    count = len(triangles)
    head = f"ply\nformat ascii 1.0\nelement vertex {3 * count}\n" + "".join(f"property float {a}\n" for a in "xyz")
    head += f"element face {count}\nproperty list uchar int vertex_indices\nend_header\n"
    vertices = "".join(f"{x:.7f} {y:.7f} {z:.7f}\n" for x, y, z in triangles.reshape(-1, 3) / 1000)
    faces = "".join(f"3 {3 * k} {3 * k + 1} {3 * k + 2}\n" for k in range(count))
    path.write_text(head + vertices + faces, encoding="ascii")
    return str(path)


def test_a_path_tracer_finds_the_same(den: tuple[Enclosure, Solution, list[Lamp]], tmp_path: Path) -> None:
    mi = pytest.importorskip("mitsuba", reason="the extra 'tracer' is not installed")
    mi.set_variant("scalar_rgb")
    space, light, shining = den
    scene: dict[str, object] = {"type": "scene", "path": {"type": "path", "max_depth": 40, "rr_depth": 40}}
    of_triangle = np.column_stack([space.reflectance, space.exitance])[space.owner]
    for k, (reflectance, exitance) in enumerate(np.unique(of_triangle, axis=0)):
        chosen = (of_triangle == (reflectance, exitance)).all(axis=1)
        shape: dict[str, object] = {
            "type": "ply",
            "filename": ply(tmp_path / f"{k}.ply", space.triangles[chosen]),
            "face_normals": True,
            "bsdf": {"type": "diffuse", "reflectance": {"type": "rgb", "value": float(reflectance)}},
        }
        if exitance > 0:
            shape["emitter"] = {"type": "area", "radiance": {"type": "rgb", "value": float(exitance / np.pi)}}
        scene[f"surface{k}"] = shape
    if len(space.screens):
        black = {"type": "diffuse", "reflectance": {"type": "rgb", "value": 0.0}}
        scene["screens"] = {"type": "ply", "filename": ply(tmp_path / "screens.ply", space.screens), "bsdf": black}
    points = np.array([point for _, places in PLACES.values() for point in places], float)
    normals = np.array([facing for facing, places in PLACES.values() for _ in places], float)
    for k, (point, normal) in enumerate(zip(points, normals, strict=True)):
        at = (point + normal * LIFT) / 1000
        to = mi.ScalarTransform4f
        aside = [1, 0, 0] if abs(normal[0]) < 0.5 else [0, 1, 0]
        scene[f"meter{k}"] = {
            "type": "rectangle",
            "to_world": to().look_at(origin=list(at), target=list(at + normal), up=aside) @ to().scale(0.002),
            "sensor": {
                "type": "irradiancemeter",
                "film": {
                    "type": "hdrfilm",
                    "width": 1,
                    "height": 1,
                    "pixel_format": "rgb",
                    "rfilter": {"type": "box"},
                },
                "sampler": {"type": "independent", "sample_count": 65536, "seed": k},
            },
        }
    loaded = mi.load_dict(scene)
    traced = np.zeros(len(points))
    for meter in (shape for shape in loaded.shapes() if shape.is_sensor()):  # not in the order of the dictionary
        centre = 1000 * np.array(meter.bbox().center()).ravel()
        (at,) = np.flatnonzero(np.linalg.norm(points + normals * LIFT - centre, axis=1) < 0.1)
        traced[at] = np.array(mi.render(loaded, sensor=meter.sensor(), seed=int(at))).mean()
    found = illuminance(space, light, shining, points, normals, 1024)
    assert found == pytest.approx(traced, rel=0.05)
