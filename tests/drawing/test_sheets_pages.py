"""Whole sheets: what must hold for every one of them, on the rooms made by hand and on the examples."""

from __future__ import annotations

from pathlib import Path as FilePath

import pytest
from drawn_rooms import coped_room, l_room, open_run, without_frame

from trimwright.drawing.clutter import box_of, texts_and_lines
from trimwright.drawing.font import text_width
from trimwright.drawing.layout import drawn_box, wrapped
from trimwright.drawing.marks import Dimension, Group, Layer, Path, Text
from trimwright.drawing.paper import EDGE, FILING, SCALES
from trimwright.drawing.primitives import Block, Label
from trimwright.drawing.render import lower
from trimwright.drawing.section import clusters, section
from trimwright.drawing.sheets import sheets
from trimwright.drawing.templates import templates
from trimwright.setout.piece import SetOut

EXAMPLES = sorted((FilePath(__file__).parents[2] / "examples").glob("*.toml"))


def example(path: FilePath) -> SetOut:
    from trimwright.project.project import read_project
    from trimwright.setout.set_out import set_out

    return set_out(read_project(path))


JOBS = {
    **{job.room.name: (lambda job=job: job) for job in (l_room(), coped_room(), open_run())},
    **{path.stem: (lambda path=path: example(path)) for path in EXAMPLES},
}


@pytest.fixture(params=sorted(JOBS), scope="module")
def job(request) -> SetOut:
    return JOBS[request.param]()


@pytest.fixture(scope="module")
def made(job: SetOut):
    return sheets(job, "A3", "2026-10-12")


def labels(items):
    for item in items:
        if isinstance(item, Block):
            yield from labels(item.items)
        elif isinstance(item, Label):
            yield item


def test_names_and_numbers(job: SetOut, made):
    walls = [f"wall-{k + 1}" for k in range(len(job.room.walls))]
    assert [s.name for s in made if not s.name.startswith("scribe-")] == ["ceiling-plan", "section", *walls]
    for k, sheet in enumerate(made):
        written = {m.text for m in sheet.marks if isinstance(m, Text)}
        assert f"{k + 1} of {len(made)}" in written
        assert {"2026-10-12", job.room.name} <= written


def test_nothing_leaves_the_frame(made):
    for sheet in made:
        boxes, lines = texts_and_lines(lower(without_frame(sheet)))
        xs = [x for b in boxes for x in (b.left, b.right)] + [p[0] for line in lines for p in line]
        ys = [y for b in boxes for y in (b.bottom, b.top)] + [p[1] for line in lines for p in line]
        assert min(xs) >= FILING - 1e-6, sheet.name
        assert max(xs) <= sheet.width - EDGE + 1e-6, sheet.name
        assert min(ys) >= EDGE - 1e-6, sheet.name
        assert max(ys) <= sheet.height - EDGE + 1e-6, sheet.name


def test_no_text_lies_over_another(job: SetOut, made):
    for sheet in [*made, *templates(job)]:
        # Texts turned by other than a quarter stand in boxes larger than they are: they are left out here.
        upright = [t for t in labels(lower(sheet)) if abs(t.angle / 90 - round(t.angle / 90)) < 0.05]
        boxes = [(t.text, box_of(t).grown(-0.1)) for t in upright]
        for k, (text, box) in enumerate(boxes):
            for other, before in boxes[:k]:
                assert box.shared(before) < 0.05, f"{sheet.name}: {text!r} over {other!r}"


def test_lettering_is_large_enough(job: SetOut, made):
    # Captions of the title block are 1.8, as ISO 7200 blocks have them; all else 2.5 or more.
    for sheet in [*made, *templates(job)]:
        for text in labels(lower(sheet)):
            assert text.height >= 2.5 or text.layer is Layer.TITLE, text.text


def test_every_piece_is_on_the_plan_and_on_its_wall(job: SetOut, made):
    written = {sheet.name: {t.text for t in labels(lower(sheet))} for sheet in made}
    for piece in job.pieces:
        assert piece.id in written["ceiling-plan"]
        assert piece.id in written[f"wall-{piece.wall + 1}"]


def test_every_piece_has_its_length_over_its_wall(job: SetOut, made):
    """Also where short pieces stand side by side; returns have theirs in the lists."""
    for wall in job.room.walls:
        view = next(sheet.views[0] for sheet in made if sheet.name == f"wall-{wall.index + 1}")
        over = [m for m in view.drawing.marks if isinstance(m, Dimension) and m.offset > 0]
        lengths = sorted(
            job.room.units.written(p.back_length) for p in job.pieces if p.wall == wall.index and not p.is_return
        )
        assert len(over) == len(lengths)
        for length in set(lengths):
            assert sum(length in m.text for m in over) >= lengths.count(length)


def test_scales_are_those_of_the_standard_or_of_a_scale_rule(made):
    allowed = {a / b for a, b in SCALES} | {1 / 25, 1 / 75}
    assert {view.scale for sheet in made for view in sheet.views} <= allowed


def test_views_keep_clear_of_the_title_block(made):
    for sheet in made:
        for view in sheet.views:
            box = drawn_box(view.drawing, view.scale)
            x, y = view.to_paper((0.0, 0.0))
            assert y + box.bottom > EDGE + 27 or x + box.right < sheet.width - EDGE - 180


def test_section_shows_every_trim_in_its_true_outline(job: SetOut):
    drawn = [m for group in section(job).marks for m in _paths(group)]
    for trim in job.trims:
        assert trim.outline.segments in drawn


def _paths(mark):
    if isinstance(mark, Group):
        return [p for inner in mark.marks for p in _paths(inner)]
    return [mark.segments] if isinstance(mark, Path) and mark.layer is Layer.SECTION else []


def test_far_apart_trims_have_views_of_their_own():
    # The rail's top is 243 under the cornice's lower edge.
    groups = clusters(l_room())
    assert [[t.name for t in g.trims] for g in groups] == [["cornice"], ["picture rail"]]
    assert [g.ceiling for g in groups] == [True, False]


def test_section_is_full_size_on_a3(job: SetOut, made):
    assert {view.scale for view in made[1].views} == {1.0}


@pytest.mark.parametrize("size", ["A4", "A2", "Letter"])
def test_other_paper(size: str):
    for sheet in sheets(l_room(), size):
        box = [drawn_box(view.drawing, view.scale) for view in sheet.views]
        assert all(b.width < sheet.width and b.height < sheet.height for b in box)


def test_values_of_dimensions_are_legible_on_small_paper(job: SetOut):
    """Labels may crowd there; a length that is half covered by another is worse than none."""
    for sheet in (s for s in sheets(job, "A4") if s.name.startswith("wall-")):
        values = [t for t in labels(lower(sheet)) if t.layer is Layer.DIMENSION]
        boxes = [(t.text, box_of(t).grown(-0.1)) for t in values]
        for k, (text, box) in enumerate(boxes):
            for other, before in boxes[:k]:
                assert box.shared(before) < 0.05, f"{sheet.name}: {text!r} over {other!r}"


def test_notes_never_push_a_plan_off_its_paper():
    """The bow's notes took half of an A4 sheet, and its plan came to 1:200; they stand on the sheets of the walls."""
    job = JOBS["bow"]()
    made = {sheet.name: sheet for sheet in sheets(job, "A4")}
    (view,) = made["ceiling-plan"].views
    assert view.scale >= 1 / 50
    texts = {k: " ".join(m.text for m in sheet.marks if isinstance(m, Text)) for k, sheet in made.items()}
    said = {k: " ".join(text.split()) for k, text in texts.items()}
    assert "stands on its sheet" in said["ceiling-plan"]
    for note in job.notes:
        words = " ".join(note.split()[-4:])
        assert any(words in text for name, text in said.items() if name.startswith("wall-")), note


def test_labels_never_push_a_plan_off_its_paper():
    """The loft's in feet and inches reached past A4 at 1:75 and 1:100, and came to 1:200: they are kept within it."""
    (view,) = next(sheet for sheet in sheets(JOBS["loft"](), "A4") if sheet.name == "ceiling-plan").views
    assert view.scale >= 1 / 75
    box, x = drawn_box(view.drawing, view.scale), view.to_paper((0.0, 0.0))[0]
    assert x + box.left >= FILING
    assert x + box.right <= 210 - EDGE


def test_notes_are_wrapped_to_their_width():
    text = "The light channel stops square each side of the pipe, since a slot would leave too little of it to stand."
    lines = wrapped(text, 60)
    assert len(lines) > 1
    assert all(text_width(line, 2.5) <= 60 for line in lines)
    assert " ".join(line.strip() for line in lines) == text


def test_note_of_another_wall_is_not_repeated():
    from dataclasses import replace

    job = replace(l_room(), notes=("trim on wall b: shorter", "all rails level"))
    pages = {s.name: " ".join(m.text for m in s.marks if isinstance(m, Text)) for s in sheets(job)}
    assert "Trim on wall b: shorter." in pages["wall-2"]
    assert "Trim on wall b" not in pages["wall-1"]
    assert all("All rails level." in pages[f"wall-{k}"] for k in range(1, 7))


def test_note_on_a_pipe_or_a_trim_stands_where_those_are(set_out_of):
    """A pipe on wall a is spoken of there, one in its corner on the wall beside it too; the plan has all notes."""
    from dataclasses import replace

    walls = "".join(f'[[wall]]\nname = "{name}"\nlength = 3000\ninternal = 90\n' for name in ("a.", "b.", "c.", "d."))
    pipe = '[[pipe]]\nwall = "a."\nname = "{}"\nfrom_left = {}\nout = 30\ndiameter = 15\n'
    rail = '[[trim]]\nname = "rail"\nprofile = "rail-plain"\nback = "wall"\nbottom = 2000\nwalls = ["b.", "c."]\n'
    text = f'format = 1\n[room]\nname = "N"\nceiling = 2500\n{walls}{pipe.format("far", 1500)}{pipe.format("by", 2900)}'
    notes = ("rail beside pipe far: keep off", "rail beside pipe by: sleeve it", "rail: oiled", "sand it")
    job = replace(set_out_of(text + rail), notes=notes)
    pages = {s.name: " ".join(m.text for m in s.marks if isinstance(m, Text)) for s in sheets(job)}
    said = {word: [k for k in range(1, 5) if word in pages[f"wall-{k}"]] for word in ("off", "sleeve", "oiled", "Sand")}
    assert said == {"off": [1], "sleeve": [1, 2], "oiled": [2, 3], "Sand": [1, 2, 3, 4]}
    assert all(word in pages["ceiling-plan"] for word in said)
