"""Heat: limits of materials and glue beside pipes, and the growth of metal by its handbook figure."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from box_rooms import four_walls
from trimwright.clearance.gaps import clearances
from trimwright.clearance.heat import growth, heat_words
from trimwright.mesh.piece import piece_meshes
from trimwright.project.project import Project
from trimwright.setout.set_out import set_out

WALLS = four_walls(internal=None)


def room(material: str, heat: float, profile: str = "cove") -> str:
    return (
        f'format = 1\n[room]\nname = "Den"\nceiling = 2500\n{WALLS}[[pipe]]\nwall = "north"\nname = "flow"\n'
        f"from_left = 900\nout = 40\ndiameter = 22\ntemperature = {heat}\n"
        f'[[trim]]\nname = "trim"\nprofile = "{profile}"\nback = "wall"\ntop = "ceiling"\nmaterial = "{material}"\n'
    )


@pytest.mark.parametrize(
    ("material", "heat", "said"),
    [("eps foam", 85, "bears 80"), ("eps foam", 70, "glue softens"), ("eps foam", 55, ""), ("softwood", 90, "glue")],
)
def test_beside_hot_pipes(project_of: Callable[[str], Project], material: str, heat: float, said: str) -> None:
    project = project_of(room(material, heat))
    done = set_out(project)
    words = heat_words(done, clearances(done, piece_meshes(done), project.clearance))
    assert len(words) == bool(said)
    assert said in " ".join(words)


def test_aluminium_grows() -> None:
    """EN 1999-1-1: 23e-6 per K; 4 m by 30 K: 2.76 mm. Timber does not grow with heat so that it matters."""
    assert growth("aluminium", 4000, 30) == pytest.approx(2.76)
    assert growth("softwood", 4000, 30) == 0


def test_long_metal_is_left_room(project_of: Callable[[str], Project]) -> None:
    done = set_out(project_of(room("aluminium", 20, "channel-upright").replace("out = 40", "out = 400")))
    (words,) = heat_words(done, ())
    assert "grows by 2.8" in words
