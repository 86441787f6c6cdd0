"""Scribe strips: full size in height, to the stated scale along the wall, only where a gap is worth a strip."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from itertools import pairwise

import pytest

from trimwright.ceiling import strips
from trimwright.drawing.marks import Drawing, Layer, Path, Text
from trimwright.drawing.paper import BLOCK_HEIGHT, EDGE
from trimwright.drawing.scribe import fill_words, scribe_sheets, strip_drawing
from trimwright.drawing.sheets import sheets
from trimwright.setout.piece import SetOut

SIZES = {"north": 4000, "east": 3000, "south": 4000, "west": 3000}


def room(ceiling: str, between: str = "", extra: str = "", top: str = "ceiling") -> str:
    """A rectangle with a cove under its ceiling; `between` are heights along the north wall."""
    walls = "".join(
        f'[[wall]]\nname = "{name}"\nlength = {size}\ninternal = 90\n{between if name == "north" else ""}\n'
        for name, size in SIZES.items()
    )
    trim = f'[[trim]]\nname = "cornice"\nprofile = "cove"\nback = "wall"\ntop = "{top}"\n'
    return f'format = 1\n[room]\nname = "Attic"\nceiling = {ceiling}\n{extra}\n{walls}{trim}'


def paths(drawing: Drawing, layer: Layer) -> Iterator[Path]:
    return (m for m in drawing.marks if isinstance(m, Path) and m.layer is layer)


def words(drawing: Drawing) -> list[str]:
    return [m.text for m in drawing.marks if isinstance(m, Text)]


@pytest.mark.parametrize("scale", [0.2, 0.1, 0.05])
def test_heights_are_true_and_lengths_to_scale(set_out_of: Callable[[str], SetOut], scale: float) -> None:
    """The ceiling falls from 12 above the trim to nothing and rises to 7: true, at stations times the scale."""
    done = set_out_of(room("[2412, 2407, 2420, 2420]", "ceiling = [[1000, 2400]]"))
    north = next(s for s in strips(done) if s.wall == 0)
    (ceiling,) = paths(strip_drawing(done, north, scale), Layer.CUT)
    points = [ceiling.segments[0].start, *(s.end for s in ceiling.segments)]
    assert points == [pytest.approx(p) for p in ((0, 12), (1000 * scale, 0), (done.room.walls[0].length * scale, 7))]
    (trim,) = paths(strip_drawing(done, north, scale), Layer.TRIM)
    assert [trim.segments[0].start[1], trim.segments[0].end[1]] == [0, 0]


def test_values_stand_at_every_point_and_name_what_they_belong_to(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(room("[2412, 2407, 2420, 2420]", "ceiling = [[1000, 2400]]"))
    north = next(s for s in strips(done) if s.wall == 0)
    said = words(strip_drawing(done, north, 0.1))
    assert {"12", "0", "7", "1000", "4000", "corner 1", "corner 2", "ceiling", "top edge of the cornice"} <= set(said)
    assert any(re.fullmatch("Wall 1, north: over the cornice; 1:10 along the wall, 1:1 in height", s) for s in said)


def test_small_gaps_are_filled_and_level_ceilings_need_nothing(set_out_of: Callable[[str], SetOut]) -> None:
    assert scribe_sheets(set_out_of(room("2400"))) == []
    slight = set_out_of(room("[2400, 2402, 2402, 2400]"))
    assert scribe_sheets(slight) == []
    assert fill_words(slight, 1) == ["Fill, no strip: over the cornice on wall 2 (east), at most 2."]
    assert fill_words(slight, 3) == []
    on_wall = {s.name: " ".join(m.text for m in s.marks if isinstance(m, Text)) for s in sheets(slight)}
    assert "Fill, no strip" in on_wall["wall-2"]
    mixed = set_out_of(room("[2400, 2402, 2403, 2400]"))
    drawn = [view.drawing.name for sheet in scribe_sheets(mixed) for view in sheet.views]
    assert drawn == ["scribe-2-cornice", "scribe-3-cornice"]
    assert fill_words(mixed) == ["Fill, no strip: over the cornice on wall 1 (north), at most 2."]


def test_a_shadow_gap_is_wanted_and_not_scribed(set_out_of: Callable[[str], SetOut]) -> None:
    done = set_out_of(room("[2400, 2406, 2406, 2400]", top="ceiling - 10"))
    assert strips(done) == ()
    assert scribe_sheets(done) == []


def test_a_trim_that_follows_leaves_only_what_the_ceiling_does_between(set_out_of: Callable[[str], SetOut]) -> None:
    """From corner to corner the run is straight at 2400 and 2406; a reading of 2409 at half way is 6 above it."""
    text = room("[2400, 2406, 2406, 2400]", "ceiling = [[2000, 2409]]") + 'follow = "ceiling"\n'
    text += 'joints = { internal = "mitre" }\n'
    done = set_out_of(text)
    (strip,) = strips(done)
    assert [gap for _, gap in strip.points] == pytest.approx([0, 6, 0], abs=1e-9)


@pytest.mark.parametrize("size", ["A4", "A3", "A2", "Letter"])
def test_strips_stay_on_their_sheets_clear_of_bars_and_of_each_other(
    set_out_of: Callable[[str], SetOut], size: str
) -> None:
    done = set_out_of(room("[2400, 2425, 2448, 2412]", extra='units = "in"'))
    made = scribe_sheets(done, size)
    assert [s.name for s in made] == [f"scribe-{k + 1}" for k in range(len(made))]
    assert sum(len(s.views) for s in made) == 4
    for sheet in made:
        bars = [m for m in sheet.marks if isinstance(m, Path) and m.layer is Layer.CHECK]
        assert sum(s.length == pytest.approx(100.0) for bar in bars for s in bar.segments) == 2
        tops = []
        for view in sheet.views:
            assert view.scale == 1.0
            xs, ys = zip(
                *(
                    view.to_paper(p)
                    for m in paths(view.drawing, Layer.CUT)
                    for s in m.segments
                    for p in (s.start, s.end)
                ),
                strict=True,
            )
            assert min(xs) > 30
            assert max(xs) < sheet.width - EDGE
            assert min(ys) > EDGE + BLOCK_HEIGHT
            assert max(ys) < sheet.height - EDGE
            tops.append((min(ys), max(ys)))
        for above, below in pairwise(tops):
            assert above[0] > below[1]


def test_sheets_have_them_numbered_with_their_scales_as_stated(set_out_of: Callable[[str], SetOut]) -> None:
    made = sheets(set_out_of(room("[2400, 2400, 2412, 2409]")))
    scribe = next(s for s in made if s.name == "scribe-1")
    said = {m.text for m in scribe.marks if isinstance(m, Text)}
    assert {"Scribe strips", "as stated", f"{made.index(scribe) + 1} of {len(made)}"} <= said
