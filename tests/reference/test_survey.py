"""Closing and least squares against published surveys and an independent solver."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import least_squares

from trimwright.survey.adjust import adjust
from trimwright.survey.closing import shared_out
from trimwright.survey.network import Tie, solve
from trimwright.survey.reading import angle, diagonal, length


def dms(degrees: int, minutes: int = 0, seconds: float = 0) -> float:
    return degrees + minutes / 60 + seconds / 3600


# --- Compass (Bowditch) rule. Lines as (azimuth clockwise from north, length); points below are (east, north).

PURDUE = {  # Purdue University, ASM 215, engineering.purdue.edu/~asm215/topics/travcalc.html; worked to 2 decimals
    "start": (10000.0, 10000.0),
    "lines": [
        (dms(26, 10), 285.10),
        (dms(104, 35), 610.45),
        (dms(195, 30), 720.48),
        (dms(358, 18), 203.00),
        (dms(306, 54), 647.02),
    ],
    "points": [
        (10125.66, 10255.96),
        (10716.31, 10102.44),
        (10523.62, 9408.37),
        (10517.55, 9611.34),
        (10000.00, 10000.00),
    ],
    "within": 0.011,
}
# J. Mahun, Open Access Surveying Library, jerrymahun.com, traverse computations: chapter E and two self-study solutions
MAHUN_E = {
    "start": (2000.0, 500.0),
    "lines": [
        (180 + dms(68, 5, 35), 472.68),
        (360 - dms(19, 46), 216.13),
        (dms(45, 55, 20), 276.52),
        (180 - dms(54, 59, 15), 382.24),
    ],
    "steps": [(-438.574, -176.386), (-73.105, 203.382), (198.635, 192.340), (313.044, -219.336)],
    "lengths": [472.715, 216.122, 276.497, 382.237],  # the third is printed 276.479, but its own steps make 276.497
    "azimuths": [180 + dms(68, 5, 27.4), 360 - dms(19, 46, 14.9), dms(45, 55, 20.7), 180 - dms(54, 58, 58.0)],
    "within": 0.0011,
}
MAHUN_1 = {
    "start": (0.0, 0.0),
    "lines": [
        (180 - dms(36), 379.25),
        (180 + dms(75, 23, 18), 408.90),
        (360 - dms(14, 43, 29), 298.65),
        (dms(63, 59, 20), 276.55),
    ],
    "steps": [(222.954, -306.862), (-395.637, -103.197), (-75.881, 288.809), (248.564, 121.250)],
    "within": 0.0011,
}
MAHUN_2 = {
    "start": (0.0, 0.0),
    "lines": [
        (dms(226, 54, 23), 639.15),
        (0.0, 523.69),
        (dms(235, 2, 29), 409.54),
        (dms(79, 35, 2), 815.93),
    ],
    "steps": [(-466.761, -436.631), (-0.023, 523.715), (-335.663, -234.640), (802.447, 147.556)],
    "lengths": [639.150, 523.715, 409.544, 815.901],
    "azimuths": [dms(226, 54, 36.6), dms(359, 59, 50.8), dms(235, 2, 42.5), dms(79, 34, 50.5)],
    "within": 0.0011,
}


def traverse(start, lines):
    points = [start]
    for azimuth, size in lines:
        east, north = points[-1]
        points.append((east + size * math.sin(math.radians(azimuth)), north + size * math.cos(math.radians(azimuth))))
    return points


@pytest.mark.parametrize(
    "example", [PURDUE, MAHUN_E, MAHUN_1, MAHUN_2], ids=["Purdue", "Mahun E", "Mahun 1", "Mahun 2"]
)
def test_compass_rule_as_published(example):
    adjusted = shared_out(traverse(example["start"], example["lines"]))
    for found, printed in zip(adjusted[1:], example.get("points", []), strict=False):
        assert found == pytest.approx(printed, abs=example["within"])
    steps = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(adjusted)]
    for found, printed in zip(steps, example.get("steps", []), strict=False):
        assert found == pytest.approx(printed, abs=example["within"])
    for (east, north), printed in zip(steps, example.get("lengths", []), strict=False):
        assert math.hypot(east, north) == pytest.approx(printed, abs=example["within"])
    for (east, north), printed in zip(steps, example.get("azimuths", []), strict=False):
        third_decimal = math.degrees(example["within"] / math.hypot(east, north))
        assert math.degrees(math.atan2(east, north)) % 360 == pytest.approx(printed, abs=third_decimal)


# --- A published network. F. Charamza, GEODET/PC User's Guide, Zdiby 1990, p. 238, appendix B, as input and result of
# the GNU Gama test suite (tests/gama-local/input/gama-local.gkf and .xml). Axes x south, y west in metres, directions
# clockwise in gon (10 cc), distances in metres (5 mm); a priori sigma 10.

FIXED = {"1": (1054980.484, 644498.590), "2": (1054933.801, 643654.101)}
DIRECTIONS = {
    "1": {"2": 0.0, "422": 28.2057, "424": 60.4906, "403": 324.3662, "407": 382.8182},
    "2": {
        "1": 0.0, "407": 22.2376, "409": 73.8984, "411": 134.209,
        "416": 203.0706, "418": 287.2951, "420": 345.6928, "422": 368.9908,
    },
    "403": {"1": 0.0, "407": 313.5542},
    "407": {"1": 0.0, "403": 55.1013, "409": 193.341, "2": 239.4204, "422": 323.5443},
    "409": {"2": 0.0, "407": 102.2575, "411": 310.1751},
    "411": {"2": 0.0, "409": 49.8647, "413": 291.4953, "416": 337.6667},
    "413": {"411": 0.0, "416": 295.3582},
    "416": {"2": 0.0, "411": 68.8065, "413": 117.9922, "418": 348.1606},
    "418": {"2": 0.0, "416": 63.9347, "420": 336.319},
    "420": {"2": 0.0, "418": 77.9221, "422": 250.1804},
    "422": {"2": 0.0, "420": 26.8834, "424": 225.7964, "1": 259.2124, "407": 337.3724},
    "424": {"1": 0.0, "422": 134.2955},
}  # fmt: skip
DISTANCES = {
    "1": {"2": 845.777, "422": 493.793, "424": 288.301, "403": 388.536, "407": 498.75},
    "2": {
        "407": 388.562, "409": 257.498, "411": 360.282, "416": 338.919,
        "418": 292.094, "420": 261.408, "422": 452.249,
    },
    "403": {"407": 405.403},
    "407": {"409": 281.997, "422": 346.415},
    "409": {"411": 296.281},
    "411": {"413": 252.266, "416": 360.449},
    "413": {"416": 239.745},
    "416": {"418": 389.397},
    "418": {"420": 246.594},
    "420": {"422": 228.207},
    "422": {"424": 279.405},
}  # fmt: skip
PUBLISHED = {
    "403": (1054612.5952166, 644373.6084816),
    "407": (1054821.1631436, 644025.9754207),
    "409": (1054703.6703003, 643769.6181532),
    "411": (1054614.5887164, 643487.0454973),
    "413": (1054700.7435439, 643249.9472561),
    "416": (1054931.4336934, 643315.1935146),
    "418": (1055216.4723469, 643580.4869950),
    "420": (1055139.8988612, 643814.8945507),
    "422": (1055167.2223732, 644041.4614194),
    "424": (1055205.4114224, 644318.2429975),
}
PUBLISHED_SUM, PUBLISHED_FREEDOM, PUBLISHED_SIGMA = 3435.6008, 37, 9.636082


def test_a_published_network():
    """Directions and distances, from a start rounded to whole metres, to a hundredth of a millimetre.

    The unknown zero of each station's circle is a point of its own, 100 m from the station: a direction is then the
    turn from there, and the distance that fixes the point adds one unknown and one equation, so nothing else changes.
    """
    stations = [*FIXED, *PUBLISHED]
    index = {name: i for i, name in enumerate(stations)}
    origin = np.array(FIXED["1"])
    place = {**FIXED, **{name: (round(x), round(y)) for name, (x, y) in PUBLISHED.items()}}
    start = [np.subtract(place[name], origin) * 1000 for name in stations]
    ties = []
    for name, targets in DIRECTIONS.items():
        station, zero = index[name], len(start)
        first = np.subtract(place[next(iter(targets))], place[name])
        start.append(start[station] + 100_000 * first / np.hypot(*first))
        ties.append(Tie((station, zero), 100_000, 5.0))
        ties += [Tie((station, zero, station, index[to]), gon * 0.9, 0.0009) for to, gon in targets.items()]
    distances = [(a, b, metres) for a, targets in DISTANCES.items() for b, metres in targets.items()]
    ties += [Tie((index[a], index[b]), 1000 * metres, 5.0) for a, b, metres in distances]
    free = np.ones((len(start), 2), dtype=bool)
    free[:2] = False
    found = solve(ties, np.array(start), free)
    for name, printed in PUBLISHED.items():
        assert found.points[index[name]] / 1000 + origin == pytest.approx(printed, abs=1e-5)
    assert found.freedom == PUBLISHED_FREEDOM
    # the published sum comes from one linear step; the true minimum is 4 parts in a million below it
    assert found.chi_square * 10**2 == pytest.approx(PUBLISHED_SUM, rel=1e-5)
    assert 10 * math.sqrt(found.chi_square / found.freedom) == pytest.approx(PUBLISHED_SIGMA, rel=5e-6)


# --- Mikhail & Ackermann, Observations and Least Squares (1976)


def test_example_9_1_a_point_from_three_distances():
    """P (0, 5), O (0, 0), Q (5, 0); 5.10, 7.07 and 4.90. The data are the book's; the iterated minimum was computed
    apart from this program: (5.0986149, 4.8986300) with residuals -0.000377, +0.000534, -0.000377."""
    ties = [Tie((0, 3), 5100, 1.0), Tie((1, 3), 7070, 1.0), Tie((2, 3), 4900, 1.0)]
    start = np.array([[0, 5000], [0, 0], [5000, 0], [5000, 5000]])
    found = solve(ties, start, np.array([[False] * 2] * 3 + [[True] * 2]))
    assert found.points[3] == pytest.approx((5098.6149, 4898.6300), abs=1e-4)
    assert -found.residuals == pytest.approx((-0.377, 0.534, -0.377), abs=6e-4)


def test_example_7_1_the_angles_of_a_triangle():
    """40°19'02" + 70°30'01" + 69°11'00" is 3" too much: each gives up 1"."""
    second = dms(0, 0, 1)
    measured = [dms(40, 19, 2), dms(70, 30, 1), dms(69, 11, 0)]
    survey = adjust([length(0, 1000), *(angle(k, v, second) for k, v in enumerate(measured))], walls=3)
    expected = [dms(40, 19, 1), dms(70, 30, 0), dms(69, 10, 59)]
    assert survey.angles == pytest.approx(expected, abs=second / 1000)
    assert survey.variance_factor == pytest.approx(3)


# --- Common practice, no source


def test_three_four_five():
    survey = adjust([length(0, 3000), length(1, 4000), length(2, 5000)])
    assert survey.angles[1] == pytest.approx(90, abs=1e-6)
    assert survey.angles[0] == pytest.approx(math.degrees(math.atan2(4, 3)), abs=1e-6)


def test_equal_diagonals_make_a_rectangle():
    """Opposite walls equal and both diagonals equal: square in every corner, whatever was assumed about them."""
    across = math.hypot(4600, 3600)
    survey = adjust(
        [*(length(i, v) for i, v in enumerate((4600, 3600) * 2)), diagonal(0, 2, across), diagonal(1, 3, across)]
    )
    assert survey.angles == pytest.approx([90] * 4, abs=1e-7)
    off = adjust(
        [
            *(length(i, v) for i, v in enumerate((4600, 3600) * 2)),
            diagonal(0, 2, across + 4),
            diagonal(1, 3, across - 4),
        ]
    )
    lean = math.degrees(math.acos((4600**2 + 3600**2 - (across - 4) ** 2) / (2 * 4600 * 3600)))
    assert off.angles[0] == pytest.approx(lean, abs=0.01)


# --- An independent solver: scipy's trust region with numeric derivatives, on its own formulas


def independent(readings, start):
    """Corner points by scipy, from misfits written out anew: distances, and angles by the law of cosines."""
    n = len(start)

    def corners(unknowns):
        return np.array([(0, 0), (unknowns[0], 0), *unknowns[1:].reshape(-1, 2)])

    def misfits(unknowns):
        points = corners(unknowns)
        found = []
        for reading in readings:
            if reading.in_mm:
                i, j = reading.at if len(reading.at) == 2 else (reading.at[0], (reading.at[0] + 1) % n)
                value = math.dist(points[i], points[j])
            else:
                a, b, c = (points[(reading.at[0] + d) % n] for d in (-1, 0, 1))
                u, v, w = math.dist(a, b), math.dist(b, c), math.dist(a, c)
                value = math.degrees(math.acos((u * u + v * v - w * w) / (2 * u * v)))
                value = 360 - value if reading.value > 180 else value
            found.append((reading.value - value) / reading.sd)
        return np.array(found)

    start = np.array(start, dtype=float)
    first = np.concatenate([[start[1, 0]], start[2:].ravel()])
    found = least_squares(misfits, first, x_scale=100.0, xtol=1e-15, ftol=1e-15, gtol=1e-15)
    return corners(found.x), 2 * found.cost


SHAPES = [
    ((0, 0), (4600, 0), (4600, -3600), (0, -3600)),
    ((0, 0), (5200, 0), (5200, -2400), (3100, -2400), (3100, -4300), (0, -4300)),
    ((0, 0), (900, 0), (1500, 600), (3300, 600), (3900, 0), (4800, 0), (4800, -4100), (0, -4100)),
]


@pytest.mark.parametrize("shape", SHAPES, ids=["rectangle", "L", "bay"])
@pytest.mark.parametrize("seed", range(3))
def test_random_rooms_against_scipy(shape, seed):
    rng = np.random.default_rng(seed)
    n = len(shape)
    turns = [np.subtract(shape[(k + 1) % n], shape[k]) for k in range(n)]
    headings = [math.degrees(math.atan2(dy, dx)) for dx, dy in turns]
    true_angles = [(180 - (headings[k - 1] - headings[k])) % 360 for k in range(n)]
    readings = [length(k, math.hypot(*turns[k]) + rng.normal(0, 3)) for k in range(n)]
    readings += [angle(k, true_angles[k] + rng.normal(0, 0.3)) for k in range(n) if abs(true_angles[k] - 180) > 5]
    readings += [diagonal(0, k, math.hypot(*shape[k]) + rng.normal(0, 3)) for k in (2, n - 2)]
    survey = adjust(readings)
    points, chi_square = independent(readings, shape)
    assert survey.points == pytest.approx(points, abs=0.01)
    assert survey.chi_square == pytest.approx(chi_square, rel=1e-6)
