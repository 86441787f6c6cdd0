from __future__ import annotations

import tomllib
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from trimwright.measuring.notes import CornerNote, Notes, OpeningNote, PipeNote, TrimNote, WallNote
from trimwright.measuring.room_text import EXAMPLES, room_text
from trimwright.measuring.toml_text import commented, key_line
from trimwright.project.project import Project
from trimwright.project.schema import room_schema

FULL = Notes(
    name='A "den"\\',
    ceiling="2.4 m",
    date="2026-11-25",
    walls=(
        WallNote(4000, CornerNote(False, 90.0), "north"),
        WallNote("9ft 10 1/8in"),
        WallNote(4000.5),
        WallNote(3000),
    ),
    diagonals=((0, 2, 5000),),
    openings=(OpeningNote(wall=1, kind="window", from_left=500, width=900, sill=800, head=2000, architrave=70),),
    pipes=(
        PipeNote(wall=0, name="riser", from_left=200, out=40, diameter=22, to=2000, temperature=60.0),
        PipeNote(wall=3, name="drain", height=150, out=60, diameter="4in"),
    ),
    trims=(
        TrimNote(name="batten", profile="batten", edge="top", at="ceiling", size=(("drop", 45), ("projection", 22))),
        TrimNote(
            name="cornice",
            profile="cove",
            edge="top",
            at="batten.bottom - 2",
            walls=(0, 2),
            material="gypsum plaster",
            stock=(2400, "3 m"),
        ),
    ),
)


def test_the_file_says_what_was_noted() -> None:
    assert tomllib.loads(room_text(FULL, "den.toml")) == FULL.tables()


def test_the_file_is_a_project(project_of: Callable[[str], Project]) -> None:
    project = project_of(room_text(FULL, "den.toml"))
    assert project.room.name == FULL.name
    assert [w.name for w in project.room.walls] == ["north", "wall 2", "wall 3", "wall 4"]
    assert [t.name for t in project.trims] == ["batten", "cornice"]


def test_the_file_passes_its_schema() -> None:
    errors = Draft202012Validator(room_schema()).iter_errors(tomllib.loads(room_text(FULL, "den.toml")))
    assert [e.message for e in errors] == []


@pytest.mark.parametrize("key", EXAMPLES)
def test_an_example_works_once_its_hashes_are_off(key: str, project_of: Callable[[str], Project]) -> None:
    bare = Notes(name="Den", ceiling=2400, walls=(WallNote(4625), WallNote(3500)) * 2)
    lines = room_text(bare, "den.toml").splitlines()
    first = lines.index(f"# [[{key}]]")
    last = next(k for k in range(first, len(lines)) if not lines[k])
    lines[first:last] = [line.removeprefix("# ") for line in lines[first:last]]
    text = "\n".join(lines)
    assert key in tomllib.loads(text)
    project_of(text)


def test_walls_from_a_drawing_are_marked() -> None:
    text = room_text(Notes(ceiling=2400, walls=FULL.walls, origin="From the drawing a.dxf"), "den.toml")
    assert "From the drawing a.dxf: no tape has checked these walls" in text
    assert text.count("by tape:") == len(FULL.walls)
    assert "by tape" not in room_text(FULL, "den.toml")


def test_the_schema_is_named_only_where_it_is() -> None:
    assert room_text(FULL, "den.toml", schema=True).splitlines()[0] == "#:schema ./room.schema.json"
    assert "#:schema" not in room_text(FULL, "den.toml")


@given(st.dictionaries(st.text(st.characters(codec="utf-8")), st.text(st.characters(codec="utf-8")), max_size=5))
def test_any_text_is_read_back_as_it_was(texts: dict[str, str]) -> None:
    assert tomllib.loads("\n".join(key_line(key, value, value) for key, value in texts.items())) == texts


@given(
    st.recursive(
        st.booleans()
        | st.integers(-(2**53), 2**53)
        | st.floats(allow_nan=False, allow_infinity=False)
        | st.text('a"\\'),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text("ab.- "), inner, max_size=3),
        max_leaves=8,
    )
)
def test_any_value_is_read_back_as_it_was(value: object) -> None:
    assert tomllib.loads(key_line("key", value)) == {"key": value}


@given(st.text(st.characters(codec="utf-8")))
def test_no_comment_becomes_an_entry(words: str) -> None:
    assert tomllib.loads(commented("", words) + "\n" + commented("[table]", words)) == {"table": {}}


def test_what_toml_has_no_word_for_is_a_fault() -> None:
    with pytest.raises(TypeError, match="object"):
        key_line("key", object())
