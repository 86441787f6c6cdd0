from __future__ import annotations

import json
from pathlib import Path

import pytest

from trimwright.errors import OutputError
from trimwright.pack.folder import file_list, new_pack
from trimwright.pack.names import file_names, slug


def write(place: Path, text: str) -> None:
    with new_pack(place) as folder:
        (folder / "sheet.svg").write_text(text)
        (folder / "pack.json").write_text(json.dumps({"files": file_list(folder)}))


def test_a_new_pack_takes_the_place_of_the_old(tmp_path: Path) -> None:
    place = tmp_path / "den"
    write(place, "one")
    write(place, "two")
    assert (place / "sheet.svg").read_text() == "two"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["den"]  # nothing left beside it


def test_an_error_leaves_the_old_pack_whole(tmp_path: Path) -> None:
    place = tmp_path / "den"
    write(place, "one")

    def fail() -> None:
        with new_pack(place) as folder:
            (folder / "sheet.svg").write_text("half")
            raise RuntimeError("the saw stops")

    with pytest.raises(RuntimeError):
        fail()
    assert (place / "sheet.svg").read_text() == "one"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["den"]


def test_files_of_others_are_kept(tmp_path: Path) -> None:
    place = tmp_path / "den"
    write(place, "one")
    (place / "photos").mkdir()
    (place / "photos" / "corner.jpg").write_text("mine")
    write(place, "two")
    assert (place / "photos" / "corner.jpg").read_text() == "mine"


def test_a_folder_that_is_not_a_pack_is_not_touched(tmp_path: Path) -> None:
    place = tmp_path / "letters"
    place.mkdir()
    (place / "letter.txt").write_text("dear")
    with pytest.raises(OutputError, match="not a pack"):
        write(place, "one")
    assert [p.name for p in place.iterdir()] == ["letter.txt"]


def test_a_file_in_the_way(tmp_path: Path) -> None:
    place = tmp_path / "den"
    place.write_text("a file")
    with pytest.raises(OutputError, match="not a folder"):
        write(place, "one")
    with pytest.raises(OutputError, match="cannot be written"):
        write(place / "below", "one")
    assert place.read_text() == "a file"


@pytest.mark.parametrize(
    "name", ["../up", "/etc/passwd", "con", "a" * 300, "", "...", "☃", "Überlänge", "<script>", "‮abc", "a/b\\c", "x\0y"]
)
def test_file_names_stay_in_their_folder(name: str) -> None:
    text = slug(name)
    assert text
    assert len(text) <= 60
    assert set(text) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert text != "con"


def test_equal_names_get_numbers() -> None:
    assert file_names(["Rail", "rail!", "rail-2"]) == ["rail", "rail-2", "rail-2-2"]
