"""Screw holes on the elevations: a cross for each, where the list says, on the trim it goes through."""

from __future__ import annotations

import pytest

from example_rooms import EXAMPLES, example_set_out
from trimwright.drawing.hole_marks import hole_marks, hole_words
from trimwright.drawing.marks import Path
from trimwright.project.project import read_project
from trimwright.stock.holes import all_holes
from trimwright.stock.rates import rates_of


@pytest.mark.parametrize("name", ["reading-room", "bow"])
def test_every_hole_has_its_cross_on_its_trim(name: str) -> None:
    project, done = read_project(EXAMPLES / f"{name}.toml"), example_set_out(name)
    holes = all_holes(done, rates_of(project))
    for wall in done.room.walls:
        strokes = [m for m in hole_marks(holes, wall, 0.05) if isinstance(m, Path)]
        middles = [
            tuple(sum(p[k] for s in m.segments for p in (s.start, s.end)) / 2 for k in (0, 1)) for m in strokes[::2]
        ]
        own = [found for found in holes if found.piece.wall == wall.index]
        assert len(strokes) == 2 * sum(len(found.stations) * found.rows for found in own)
        wanted = [s for found in own for s in found.stations * found.rows]
        assert [x for x, _ in middles] == pytest.approx(wanted)
        for found in own:
            low, high = found.piece.trim.edges.bottom, found.piece.trim.edges.top
            level = [y for x, y in middles if any(abs(x - s) < 1e-6 for s in found.stations)]
            assert sum(low < y < high for y in level) >= len(found.stations)


def test_the_notes_give_the_stations_by_trim() -> None:
    project, done = read_project(EXAMPLES / "reading-room.toml"), example_set_out("reading-room")
    holes = all_holes(done, rates_of(project))
    words = hole_words(holes, done.room.walls[1])
    for trim in ("batten", "light channel", "cornice"):
        stations = sorted(s for h in holes if h.piece.wall == 1 and h.piece.trim.name == trim for s in h.stations)
        (line,) = [w for w in words if f"; {trim}," in w]
        assert line.endswith(": " + ", ".join(f"{s:.0f}" for s in stations) + ".")
    assert hole_words((), done.room.walls[1]) == []
