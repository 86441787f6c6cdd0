"""The tone and the colour of the room by its own light."""

from __future__ import annotations

import io

import numpy as np
import pytest
from box_room import SIZE, VIEW, bodies
from PIL import Image

from trimwright.light.enclosure import Patch, enclosure
from trimwright.light.exchange import exchange
from trimwright.light.radiosity import solve
from trimwright.light.trim_faces import Lamp, halves
from trimwright.picture.evening import ADAPTED, GAIN, evening, exposed_for, shown, tint


def test_the_tone_curve() -> None:
    assert shown(np.array([0.0, 1.0, 1e9])) == pytest.approx([0, GAIN / (1 + GAIN), 1])


def test_lamp_light_is_warm_day_light_is_cold_and_the_adapted_is_white() -> None:
    assert tint(ADAPTED) == pytest.approx((1, 1, 1))
    red, green, blue = tint(2700)
    assert red == 1 > green > blue
    red, green, blue = tint(6500)
    assert red < green < 1 == blue


@pytest.mark.parametrize(("kelvin", "x", "y"), [(2856.0, 0.44758, 0.40745), (6504.0, 0.3135, 0.3237)])
def test_the_black_body_lies_on_the_locus(kelvin: float, x: float, y: float) -> None:
    # Standard illuminant A (CIE 15: x = 0.44758, y = 0.40745), and the locus at the temperature of D65, from memory.
    from trimwright.picture.evening import _black_body

    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])  # IEC 61966-2-1
    xyz = to_xyz @ _black_body(kelvin)
    assert xyz[:2] / xyz.sum() == pytest.approx([x, y], abs=0.003)


def test_a_box_lit_from_its_ceiling_is_darker_away_from_the_lamp() -> None:
    """The box room of the other tests, 4 x 3 x 2.5 m, with a lamp along its far wall."""
    x, y, z = 4000.0, 3000.0, 2500.0
    quads = [
        ("floor", [(0, 0, 0), (x, 0, 0), (x, y, 0), (0, y, 0)]),
        ("ceiling", [(0, 0, z), (0, y, z), (x, y, z), (x, 0, z)]),
        ("wall", [(0, y, 0), (x, y, 0), (x, y, z), (0, y, z)]),
        ("wall", [(0, 0, 0), (0, 0, z), (x, 0, z), (x, 0, 0)]),
        ("wall", [(0, 0, 0), (0, y, 0), (0, y, z), (0, 0, z)]),
        ("wall", [(x, 0, 0), (x, 0, z), (x, y, z), (x, y, 0)]),
    ]
    patches = [Patch(triangles=halves(np.array(q, float)), reflectance=0.5, surface=name) for name, q in quads]
    lamp = np.array([(1700, 2500, 2400), (1700, 2700, 2400), (2300, 2700, 2400), (2300, 2500, 2400)], float)
    shining = [Lamp(corners=lamp, exitance=20_000.0)]
    patches.append(Patch(triangles=halves(lamp), reflectance=0.5, surface="lamp", exitance=20_000.0))
    space = enclosure(patches)
    light = solve(exchange(space, 500), space.reflectance, space.exitance)
    assert exposed_for(space, light) > 0
    data = evening(bodies(), VIEW, space, light, shining, 2700, SIZE)
    picture = np.asarray(Image.open(io.BytesIO(data)), float)
    assert picture.shape == (SIZE[1], SIZE[0], 3)
    middle = picture[:, SIZE[0] // 2 + 2]
    wall = middle[SIZE[1] // 2 : SIZE[1] * 2 // 3].mean()
    assert picture[SIZE[1] // 2, 2].mean() < wall
    assert (picture[..., 0] >= picture[..., 2] - 1).all()  # lamp light on these paints is never bluish
    assert picture.max(axis=(0, 1))[0] == 255  # the lamp itself
    assert data == evening(bodies(), VIEW, space, light, shining, 2700, SIZE)
