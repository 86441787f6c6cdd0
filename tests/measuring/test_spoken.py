from __future__ import annotations

import pytest

from trimwright.measuring.notes import CornerNote
from trimwright.measuring.spoken import (
    SaidWall,
    choice,
    corner,
    line_of_text,
    place,
    said_wall,
    several,
    written_length,
)
from trimwright.units import length

INCH = 25.4  # exact: yard and pound agreement of 1959


@pytest.mark.parametrize(
    ("unit", "said", "written", "mm"),
    [
        ("mm", "4620", 4620, 4620),
        ("mm", "4620.5", 4620.5, 4620.5),
        ("mm", "4620 mm", 4620, 4620),
        ("mm", "4.62 m", "4.62 m", 4620),
        ("mm", "7' 10", "7' 10in", 94 * INCH),
        ("mm", "7ft 10 1/2", "7ft 10 1/2in", 94.5 * INCH),
        ("cm", "462", "462 cm", 4620),
        ("m", "4.62", "4.62 m", 4620),
        ("in", "182 1/2", "182 1/2in", 182.5 * INCH),
        ("in", "15' 2 1/2", "15' 2 1/2in", 182.5 * INCH),
        ("in", '94"', '94"', 94 * INCH),
        ("in", "2400 mm", 2400, 2400),
        ("ft", "15", "15 ft", 180 * INCH),
    ],
)
def test_lengths_keep_how_they_were_read(unit: str, said: str, written: object, mm: float) -> None:
    value = written_length(unit)(said)
    assert value == written
    assert length(value) == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("4.62", "a bare number is mm"),
        ("4,62 m", "a point for decimals"),
        ("200 m", "more than 100000 mm"),
        ("long", "is not a length"),
        ("-5", "less than"),
    ],
)
def test_a_length_that_cannot_be_meant_is_explained(said: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        written_length("mm", least=10)(said)


@pytest.mark.parametrize(
    ("said", "note", "in_room"),
    [
        ("90.3", CornerNote(False, 90.3), 90.3),
        ("internal 90.3", CornerNote(False, 90.3), 90.3),
        ("int", CornerNote(), None),
        ("ext", CornerNote(True, 90), 270),
        ("EXT 89.6", CornerNote(True, 89.6), 270.4),
        ("ext 135°", CornerNote(True, 135), 225),
        ("225", CornerNote(True, 135), 225),
    ],
)
def test_corners_as_an_angle_finder_reads_them(said: str, note: CornerNote, in_room: float | None) -> None:
    assert corner(said) == note
    assert corner(said).in_room == (None if in_room is None else pytest.approx(in_room))


@pytest.mark.parametrize("said", ["", "x", "int ext", "20", "180", "ext 200", "90 90", "-90"])
def test_what_is_no_corner_is_refused(said: str) -> None:
    with pytest.raises(ValueError, match=r"corner|fitted"):
        corner(said)


@pytest.mark.parametrize(
    ("unit", "said", "wall"),
    [
        ("mm", "4620", SaidWall(4620)),
        ("mm", "4620 int 89.7", SaidWall(4620, CornerNote(False, 89.7))),
        ("mm", "352 external", SaidWall(352, CornerNote(True, 90))),
        ("mm", "30 in", SaidWall("30 in")),
        ("in", "182 1/2 ext 91", SaidWall("182 1/2in", CornerNote(True, 91))),
        ("mm", "2400 r 3100", SaidWall(2400, None, 3100)),
        ("mm", "2400 radius 3.1 m inward", SaidWall(2400, None, "3.1 m", True)),
        ("in", "94 1/2 r 122 inward int 135", SaidWall("94 1/2in", CornerNote(False, 135), "122in", True)),
        ("mm", "2400 r 3100 ext", SaidWall(2400, CornerNote(True, 90), 3100)),
    ],
)
def test_a_wall_on_one_line(unit: str, said: str, wall: SaidWall) -> None:
    assert said_wall(unit)(said) == wall


def test_a_radius_spans_its_wall() -> None:
    # Half the straight line between the ends is the least radius of any arc over it.
    assert said_wall("mm")("2400 r 1200").radius == 1200
    with pytest.raises(ValueError, match="less than 1200 mm"):
        said_wall("mm")("2400 r 1199")


def test_a_choice_by_number_word_or_beginning() -> None:
    pick = choice(("door", "window", "opening"))
    assert [pick(said) for said in ("2", "Door", "o", "win")] == ["window", "door", "opening", "window"]
    for said in ("4", "0", "x", ""):
        with pytest.raises(ValueError, match="door, window, opening"):
            pick(said)
    with pytest.raises(ValueError, match="rail-a, rail-b"):
        choice(("rail-a", "rail-b"))("rail")


def test_names_in_quotes_are_no_words_of_command() -> None:
    assert line_of_text()('"back"') == "back"
    for said in ("", '""', "a\tb", "x" * 81):
        with pytest.raises(ValueError, match="letters"):
            line_of_text()(said)


@pytest.mark.parametrize(
    ("edge", "unit", "said", "written"),
    [
        ("top", "mm", "ceiling", "ceiling"),
        ("top", "mm", "ceiling - 20", "ceiling - 20"),
        ("top", "in", "ceiling - 3/4", "ceiling - 3/4in"),
        ("top", "mm", "batten.bottom - 2", "batten.bottom - 2"),
        ("bottom", "mm", "2102", 2102),
        ("bottom", "in", "82 3/4", "82 3/4in"),
        ("back", "mm", "batten.front", "batten.front"),
    ],
)
def test_places_keep_their_units(edge: str, unit: str, said: str, written: object) -> None:
    assert place(edge, unit, ["batten"])(said) == written


@pytest.mark.parametrize(
    ("edge", "said"), [("top", "wall"), ("top", "cornice.bottom"), ("back", "ceiling"), ("top", "up")]
)
def test_places_that_are_none_are_refused(edge: str, said: str) -> None:
    with pytest.raises(ValueError, match=r"not a place|no trim 'cornice' yet; there is 'batten'"):
        place(edge, "mm", ["batten"])(said)


def test_a_list_of_lengths() -> None:
    read = several(written_length("mm", least=100))
    assert read("2400, 3.6 m") == (2400, "3.6 m")
    assert read("") == ()
