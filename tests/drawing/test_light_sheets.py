"""The light on paper: strips where they are laid, feeds at their holes, maps that say what was computed."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from functools import cache

import numpy as np
import pytest
from drawn_rooms import room_of

from example_rooms import EXAMPLES
from trimwright.drawing.clutter import box_of, texts_and_lines
from trimwright.drawing.light_plan import feed_marks, light_plan
from trimwright.drawing.light_sheet import light_sheets
from trimwright.drawing.lux_map import lux_drawing
from trimwright.drawing.marks import Drawing, Fill, Group, Layer, Mark, Path, Text
from trimwright.drawing.primitives import Block, Label, Primitive
from trimwright.drawing.render import lower
from trimwright.drawing.sheet import Sheet
from trimwright.drawing.sheets import plan_sheet
from trimwright.drawing.svg import svg_text
from trimwright.light.brightness import Brightness, Glow
from trimwright.light.lux import LuxMap
from trimwright.light.run import LightRun, light_run
from trimwright.project.project import read_project
from trimwright.setout.piece import SetOut
from trimwright.setout.set_out import set_out


@cache
def lit() -> tuple[SetOut, LightRun]:
    project = read_project(EXAMPLES / "reading-room.toml")
    assert project.light is not None
    done = set_out(project)
    return done, light_run(done, project.light)


def lux_of(height: float) -> LuxMap:
    """A made-up map: brighter towards the right."""
    xs, ys = np.linspace(100, 4500, 19), np.linspace(-3400, -100, 14)
    total = np.add.outer(50 + xs / 100, np.zeros(14))
    return LuxMap(height=height, xs=xs, ys=ys, direct=0 * total, bounced=total)


def bright() -> Brightness:
    return Brightness(
        lumens=10_000,
        floor=lux_of(0),
        working=lux_of(850),
        glow=Glow(mean=200, most=900),
        balance=1.0,
        closure=0.01,
        lost=0.0,
        underway=(0.4, 0.1, 0.00001),
        patches=1000,
    )


def flat(marks: tuple[Mark, ...]) -> list[Mark]:
    return [inner for mark in marks for inner in (flat(mark.marks) if isinstance(mark, Group) else [mark])]


def strip_lines(drawing: Drawing) -> list[Path]:
    return [m for m in flat(drawing.marks) if isinstance(m, Path) and m.layer is Layer.STRIP and not m.closed]


def texts(sheet: Sheet) -> list[str]:
    marks = [*flat(sheet.marks), *(m for view in sheet.views for m in flat(view.drawing.marks))]
    return [m.text for m in marks if isinstance(m, Text)]


def test_all_strip_is_drawn_at_its_length() -> None:
    done, run = lit()
    drawn = sum(math.dist(s.start, s.end) for path in strip_lines(light_plan(done, run, 0.05)) for s in path.segments)
    assert drawn == pytest.approx(run.length, rel=1e-9)


def test_strip_lies_in_the_channel() -> None:
    done, run = lit()
    back, _, front, _ = run.channel.trim.edges
    for path in strip_lines(light_plan(done, run, 0.05)):
        for point in (path.segments[0].start, path.segments[-1].end):
            outs = [wall.frame.locate(point)[1] for wall in done.room.walls]
            assert any(back < out < front for out in outs)


def test_every_feed_and_every_dark_length_is_written() -> None:
    done, run = lit()
    (light, _lux) = light_sheets(done, run, bright(), "A3")
    said = texts(light)
    for entry in run.entries:
        assert any(text.startswith(f"{entry.name} + −") for text in said)
    assert sorted(t for t in said if re.fullmatch(r"dark \d+", t)) == sorted(f"dark {d.length:.0f}" for d in run.darks)
    assert any("licensed electrician" in text for text in said)
    assert any("Polarity" in text for text in said)
    assert any(f"fuse {run.circuits[0].fuse:g} A" in text for text in said)


def test_no_text_lies_on_another() -> None:
    done, run = lit()
    for sheet in light_sheets(done, run, bright(), "A3"):
        boxes, _ = texts_and_lines(lower(sheet))
        for k, box in enumerate(boxes):
            assert all(box.shared(other) < 0.3 for other in boxes[k + 1 :])


@pytest.mark.parametrize("size", ["A4", "A3", "A2", "Letter"])
def test_everything_is_on_the_paper(size: str) -> None:
    done, run = lit()
    for sheet in light_sheets(done, run, bright(), size):
        boxes, lines = texts_and_lines(lower(sheet))
        xs = [x for b in boxes for x in (b.left, b.right)] + [p[0] for line in lines for p in line]
        ys = [y for b in boxes for y in (b.bottom, b.top)] + [p[1] for line in lines for p in line]
        assert min(xs) >= 0
        assert max(xs) <= sheet.width
        assert min(ys) >= 0
        assert max(ys) <= sheet.height
        assert "<svg" in svg_text(sheet)


def test_an_open_run_has_the_strip_alone() -> None:
    done, run = lit()
    assert [sheet.name for sheet in light_sheets(done, run, None, "A3")] == ["light"]


def test_the_ceiling_plan_shows_strip_and_poles() -> None:
    done, run = lit()
    sheet = plan_sheet(done, "A3", light=run)
    said = texts(sheet)
    assert [t for t in said if re.fullmatch(r"F\d\.\d \+ −", t)] == [f"{e.name} + −" for e in run.entries]
    assert sum(isinstance(m, Path) and m.layer is Layer.STRIP for m in flat(tuple(feed_marks(run, 0.05)))) >= len(
        run.stretches
    )
    assert not any(t.startswith("F1.1") for t in texts(plan_sheet(done, "A3")))


def test_feeds_on_the_ceiling_plan_are_named_clear_of_its_lines() -> None:
    """The first is beside a corner: its poles would be read wrong with the wall's line through them."""
    done, run = lit()
    items = lower(plan_sheet(done, "A3", light=run))
    _, lines = texts_and_lines(items)
    names = [label for label in labels(items) if label.text.startswith("F1.") and label.text.endswith("−")]
    assert len(names) == len(run.entries)
    for name in names:
        # Its leader may end at the very edge of it.
        box = box_of(name).grown(-0.3)
        assert not any(box.crossed(*line) for line in lines), name.text


def labels(items: Iterable[Primitive]) -> Iterator[Label]:
    for item in items:
        if isinstance(item, Block):
            yield from labels(item.items)
        elif isinstance(item, Label):
            yield item


def test_the_map_is_shaded_by_its_values_and_stays_in_the_room() -> None:
    room = room_of("box", [(0, 0), (4600, 0), (4600, -3500), (0, -3500)])
    drawing = lux_drawing(room, lux_of(0), 0.02)
    fills = [m for m in flat(drawing.marks) if isinstance(m, Fill)]
    middles = {round(sum(s.start[0] for s in f.segments) / 4): str(f.shade) for f in fills}
    shades = [int(middles[x][1:3], 16) for x in sorted(middles)]
    assert shades == sorted(shades)
    assert len(set(shades)) > 8
    points = [s.start for f in fills for s in f.segments]
    assert all(0 <= x <= 4600 and -3500 <= y <= 0 for x, y in points)
    assert sum(map(shaded, fills)) == pytest.approx(4600 * 3500)


def shaded(fill: Fill) -> float:
    """Its area, by the shoelace formula."""
    return abs(sum(s.start[0] * s.end[1] - s.end[0] * s.start[1] for s in fill.segments)) / 2


def test_the_map_fills_a_room_with_a_breast_to_its_walls_and_no_further() -> None:
    breast = [(3000, -3500), (3000, -3140), (1600, -3135), (1600, -3500)]
    room = room_of("breast", [(0, 0), (4600, 0), (4600, -3500), *breast, (0, -3500)])
    fills = [m for m in flat(lux_drawing(room, lux_of(0), 0.02).marks) if isinstance(m, Fill)]
    assert sum(map(shaded, fills)) == pytest.approx(4600 * 3500 - 1400 * (360 + 365) / 2)
    assert not any(1600 < s.start[0] < 3000 and s.start[1] < -3145 for f in fills for s in f.segments)


def test_lines_of_equal_lux_lie_where_the_values_are() -> None:
    """50 + x / 100: lines of 60, 70, 80 and 90 lx stand at x = 1000 and so on."""
    room = room_of("box", [(0, 0), (4600, 0), (4600, -3500), (0, -3500)])
    drawing = lux_drawing(room, lux_of(0), 0.02)
    lines = [m for m in flat(drawing.marks) if isinstance(m, Path) and m.layer is Layer.ISOLINE]
    at = sorted({round(s.start[0], 3) for line in lines for s in line.segments})
    assert at == pytest.approx([1000, 2000, 3000, 4000], abs=1)
    assert {m.text for m in flat(drawing.marks) if isinstance(m, Text)} >= {"70", "least 51"}
