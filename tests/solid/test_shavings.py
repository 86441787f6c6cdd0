"""What a cope leaves of a face that it grazes: no part of the piece, and no reason to refuse it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from trimwright.mesh.piece import piece_meshes
from trimwright.setout.piece import Joint, SetOut
from trimwright.solid import build
from trimwright.solid.build import piece_solid

WALLS = (
    (1790.6, "internal", 118.1),
    (2095.6, "internal", 172.2),
    (2112.2, "internal", 104.3),
    (3131.1, "internal", 156.6),
    (2941.1, "internal", 100.0),
    (2875.0, "external", 178.3),
    (2386.8, "internal", 79.8),
    (2202.9, "external", 168.1),
    (1946.1, "internal", 155.5),
)
"""A room that the fuzzer drew: the wall under the cope rises by a quarter of a millimetre in a metre."""

ROOM = (
    'format = 1\n[room]\nname = "Den"\n'
    "ceiling = [2624.0, 2622.5, 2620.0, 2621.5, 2620.0, 2624.0, 2623.5, 2623.0, 2623.5]\n"
    + "".join(
        f'[[wall]]\nname = "w{k}"\nlength = {length}\n{kind} = {angle}\n'
        for k, (length, kind, angle) in enumerate(WALLS, 1)
    )
    + "[[diagonal]]\ncorners = [3, 5]\nlength = 4186.3\n"
    + '[[trim]]\nname = "cornice"\nprofile = "stepped-cornice"\nsize = { drop = 61.5, projection = 300 }\n'
    + 'back = 75\nbottom = 150\nfollow = "ceiling"\n'
)


def test_shavings_of_a_grazing_cope_fall_away(
    set_out_of: Callable[[str], SetOut], monkeypatch: pytest.MonkeyPatch
) -> None:
    done = set_out_of(ROOM)
    (piece,) = (p for p in done.pieces if p.wall == 7)
    assert piece.left.joint is Joint.COPE
    solid = piece_solid(piece, done)
    assert solid.isValid()
    assert piece_meshes(done)[piece.id].volume == pytest.approx(solid.Volume(), rel=1e-5)
    monkeypatch.setattr(build, "SHAVING", 0.0)
    with pytest.raises(build.GeometryError, match="3 bodies"):
        piece_solid(piece, done)
