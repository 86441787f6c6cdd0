"""Whole rooms: areas, energy, and every number again by following single photons."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from lit_rooms import ANGLED, DOWN, HIDDEN, SHELF, STRIP, room_text

from example_rooms import EXAMPLES
from trimwright.light.brightness import brightness, lit_room
from trimwright.light.direct import from_patches, from_strip
from trimwright.light.enclosure import LIFT, Enclosure, directions
from trimwright.light.lux import LuxMap
from trimwright.light.radiosity import Solution
from trimwright.light.run import LightRun, light_run
from trimwright.light.trim_faces import lamps
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out

Read = Callable[[str], SetOut]


@pytest.fixture
def lit(project_of: Callable[[str], object]) -> Callable[[str], tuple[SetOut, LightRun]]:
    def made(text: str) -> tuple[SetOut, LightRun]:
        project = project_of(text)
        done = set_out(project)  # type: ignore[arg-type]
        return done, light_run(done, project.light)  # type: ignore[attr-defined]

    return made


def photons(space: Enclosure, count: int, seed: int = 3) -> np.ndarray:
    """Lumens that arrive at each patch: each photon flies, is taken or sent on, till none is left.

    Nothing is shared with the radiosity but the room itself and the ray caster.
    """
    chance = np.random.default_rng(seed)
    areas = np.bincount(space.owner, space.areas, space.count)
    power = space.exitance * areas * 1e-6
    source = chance.choice(space.count, count, p=power / power.sum())
    arrived = np.zeros(space.count)
    where = source
    while len(where):
        points, normals = on_patches(space, where, chance)
        met = space.hit(
            points + normals * LIFT, directions(normals, chance.random(len(where)), chance.random(len(where)))
        )
        met = met[met >= 0]
        arrived += np.bincount(met, minlength=space.count)
        where = met[chance.random(len(met)) < space.reflectance[met]]
    return arrived * power.sum() / count


def on_patches(space: Enclosure, patch: np.ndarray, chance: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """A random point of each patch and the normal there."""
    order = np.argsort(space.owner, kind="stable")
    first = np.searchsorted(space.owner[order], np.arange(space.count))
    last = np.searchsorted(space.owner[order], np.arange(space.count), side="right")
    ends = np.cumsum(space.areas[order])
    before = np.concatenate([[0.0], ends])[first]
    total = ends[last - 1] - before
    pick = np.searchsorted(ends, before[patch] + total[patch] * chance.random(len(patch)))
    triangle = order[np.clip(pick, first[patch], last[patch] - 1)]
    a, b, c = np.moveaxis(space.triangles[triangle], 1, 0)
    root, side = np.sqrt(chance.random(len(patch)))[:, None], chance.random(len(patch))[:, None]
    return (1 - root) * a + root * ((1 - side) * b + side * c), space.normals[triangle]


def lux_on(space: Enclosure, light: Solution, surface: str) -> float:
    own = [k for k, name in enumerate(space.surface) if name == surface]
    areas = np.bincount(space.owner, space.areas, space.count)[own]
    return float(np.average(light.irradiance[own], weights=areas))


@pytest.mark.parametrize(
    ("channel", "cornice"), [(DOWN, ""), (ANGLED, ""), (HIDDEN, SHELF)], ids=["down", "angled", "behind a cornice"]
)
def test_against_photons(lit: Callable[[str], tuple[SetOut, LightRun]], channel: str, cornice: str) -> None:
    """Floor, ceiling and walls within 2.5 %: 250,000 photons have a chance error of about 0.5 % there."""
    done, run = lit(room_text(channel, cornice=cornice))
    space, light, _, lost = lit_room(done, run)
    counted = photons(space, 250_000)
    areas = np.bincount(space.owner, space.areas, space.count) * 1e-6
    for surface in ("floor", "ceiling", "wall"):
        own = [k for k, name in enumerate(space.surface) if name == surface]
        assert lux_on(space, light, surface) == pytest.approx(counted[own].sum() / areas[own].sum(), rel=0.025)
    assert lost < 2e-3


def test_light_sent_is_light_absorbed(lit: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    done, run = lit(room_text(DOWN))
    bright = brightness(done, run)
    assert bright is not None
    assert bright.balance == pytest.approx(1, abs=5e-3)
    assert bright.underway[-1] <= 1e-5
    assert bright.lumens == pytest.approx(run.lumens)


def test_the_channel_sends_what_the_strip_gives(lit: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """Strip length x lumens a metre x diffuser x mean brightness; and no more than at full voltage."""
    done, run = lit(room_text(DOWN, "transmission = 0.5"))
    full = run.length / 1000 * 1000 * 0.5
    (circuit,) = run.circuits
    assert circuit.dimmest * full < run.lumens < full
    space, _, _, _ = lit_room(done, run)
    areas = np.bincount(space.owner, space.areas, space.count) * 1e-6
    assert float(space.exitance @ areas) == pytest.approx(run.lumens, rel=1e-6)


def test_walls_behind_trims_do_not_count(lit: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """Ceiling free of a channel 20 wide all round: 2960 x 2360."""
    done, run = lit(room_text(DOWN))
    space, light, _, _ = lit_room(done, run)
    from trimwright.light.exchange import exchange

    free = exchange(space, 400).area
    ceiling = sum(free[k] for k, name in enumerate(space.surface) if name == "ceiling")
    assert ceiling == pytest.approx(2960 * 2360, rel=2e-3)
    assert sum(free[k] for k, name in enumerate(space.surface) if name == "floor") == pytest.approx(
        3000 * 2400, rel=1e-3
    )
    assert len(light.radiosity) == space.count


def test_a_hidden_channel_lights_nothing_straight(lit: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """Upright behind a cornice the mouth cannot be seen from below; open below it can."""
    hidden, open_ = (brightness(*lit(room_text(c, cornice=k))) for c, k in ((HIDDEN, SHELF), (DOWN, "")))
    assert hidden is not None
    assert open_ is not None
    assert hidden.straight == 0
    assert open_.straight > 0.3
    assert open_.floor.mean > hidden.floor.mean
    assert hidden.glow.mean > open_.glow.mean


def test_points_agree_with_patches(lit: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """Bounced light at points just above the floor's patches against the floor's own share of the radiosity."""
    done, run = lit(room_text(HIDDEN, cornice=SHELF))
    space, light, _, _ = lit_room(done, run)
    own = [k for k, name in enumerate(space.surface) if name == "floor"]
    points = space.middles[own]
    areas = np.bincount(space.owner, space.areas, space.count)[own]
    found = from_patches(space, points, light.radiosity - space.exitance)
    assert np.average(found, weights=areas) == pytest.approx(np.average(light.irradiance[own], weights=areas), rel=0.02)


def test_straight_light_in_a_black_room(lit: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """Nothing comes back, so the floor's light by counted rays is that of the exact integral over the channel."""
    surfaces = ("ceiling", "walls", "floor", "trim", "doors", "windows", "fittings", "diffuser")
    done, run = lit(room_text(DOWN, "reflectance = { " + ", ".join(f"{s} = 0" for s in surfaces) + " }"))
    space, light, _, _ = lit_room(done, run)
    own = [k for k, name in enumerate(space.surface) if name == "floor"]
    shining = lamps(run.channel, run.lumens)
    found = from_strip(
        space,
        space.middles[own],
        np.tile([0.0, 0.0, 1.0], (len(own), 1)),
        np.array([lamp.corners for lamp in shining]),
        np.array([lamp.exitance for lamp in shining]),
    )
    areas = np.bincount(space.owner, space.areas, space.count)[own]
    assert np.average(found, weights=areas) == pytest.approx(np.average(light.irradiance[own], weights=areas), rel=0.01)
    assert light.irradiance[own] == pytest.approx(found, rel=0.12)  # a patch against the point in its middle


def test_whiter_walls_are_brighter(lit: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    dim, bright = (brightness(*lit(room_text(DOWN, f"[light.reflectance]\nwalls = {part}"))) for part in (0.3, 0.8))
    assert dim is not None
    assert bright is not None
    assert bright.working.mean > 1.1 * dim.working.mean


def test_a_ceiling_out_of_level_leaks_nothing(lit: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    done, run = lit(room_text(DOWN, ceiling="[2400, 2385, 2390, 2405]"))
    _, light, _, lost = lit_room(done, run)
    assert light.balance == pytest.approx(1, abs=5e-3)
    assert lost < 5e-3


def test_an_open_run_has_no_brightness(lit: Callable[[str], tuple[SetOut, LightRun]]) -> None:
    """Its strip and circuits are laid out, but nobody knows where its light goes."""
    text = (EXAMPLES / "alcove.toml").read_text(encoding="utf-8")
    lamp = '[[trim]]\nname = "lamp"\nprofile = "channel-surface"\nback = "wall"\ntop = 1900\n'
    done, run = lit(f"{text}\n{lamp}\n[light]\n{STRIP}")
    assert run.circuits
    assert brightness(done, run) is None


def test_numbers_have_settled(lit: Callable[[str], tuple[SetOut, LightRun]], monkeypatch: pytest.MonkeyPatch) -> None:
    """Four times the rays on patches two thirds as wide: mean and least within 2 % and 4 %."""
    done, run = lit(room_text(HIDDEN, cornice=SHELF))
    usual = brightness(done, run)
    monkeypatch.setattr("trimwright.light.brightness.RAYS", 1000)
    monkeypatch.setattr("trimwright.light.surfaces.COARSE", 300.0)
    finer = brightness(done, run)
    assert usual is not None
    assert finer is not None
    assert finer.patches > 1.3 * usual.patches
    for one, two in ((usual.floor, finer.floor), (usual.working, finer.working)):
        assert one.mean == pytest.approx(two.mean, rel=0.02)
        assert one.least == pytest.approx(two.least, rel=0.04)


def test_a_map_of_known_values() -> None:
    total = np.array([[10.0, 20.0], [np.nan, 40.0]])
    lux = LuxMap(
        height=0, xs=np.array([100.0, 300.0]), ys=np.array([0.0, 50.0]), direct=0.25 * total, bounced=0.75 * total
    )
    assert lux.mean == pytest.approx(70 / 3)
    assert lux.least == 10
    assert lux.uniformity == pytest.approx(30 / 70)
    assert lux.darkest == (100.0, 0.0)
