from __future__ import annotations

import json
from pathlib import Path

import pytest

from trimwright.errors import OutputError
from trimwright.names import file_names, slug
from trimwright.pack.folder import file_list, new_pack


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


@pytest.mark.parametrize("index", ["", "{}", '{"files": 3}', '{"files": [{}]}', "[" * 100_000])
def test_a_pack_that_does_not_say_what_is_its_own_is_not_touched(tmp_path: Path, index: str) -> None:
    write(tmp_path / "den", "one")
    (tmp_path / "den" / "pack.json").write_text(index)
    with pytest.raises(OutputError, match="does not say which files are the pack's"):
        write(tmp_path / "den", "two")
    assert (tmp_path / "den" / "sheet.svg").read_text() == "one"


@pytest.mark.parametrize("kind", ["file", "folder", "link"])
def test_what_stands_where_the_new_pack_has_a_file_is_not_replaced(tmp_path: Path, kind: str) -> None:
    place = tmp_path / "den"
    with new_pack(place) as folder:
        (folder / "pack.json").write_text('{"files": []}')
    mine = place / "sheet.svg"
    {"file": mine.touch, "folder": mine.mkdir, "link": lambda: mine.symlink_to("/etc/hostname")}[kind]()
    with pytest.raises(OutputError, match="was not written by trimwright"):
        write(place, "two")
    assert sorted(p.name for p in place.iterdir()) == ["pack.json", "sheet.svg"]


def test_links_and_empty_folders_of_others_are_kept_and_followed_nowhere(tmp_path: Path) -> None:
    place, elsewhere = tmp_path / "den", tmp_path / "elsewhere"
    write(place, "one")
    elsewhere.mkdir()
    (elsewhere / "letter.txt").write_text("dear")
    (place / "link").symlink_to(elsewhere)
    (place / "broken").symlink_to("nowhere")
    (place / "empty").mkdir()
    write(place, "two")
    assert (place / "link").readlink() == elsewhere
    assert (place / "broken").is_symlink()
    assert (place / "empty").is_dir()
    assert (elsewhere / "letter.txt").read_text() == "dear"


def test_a_file_that_is_being_written_by_another_program_stays_that_file(tmp_path: Path) -> None:
    write(tmp_path / "den", "one")
    with (tmp_path / "den" / "notes.txt").open("w") as notes:
        notes.write("before, ")
        notes.flush()
        write(tmp_path / "den", "two")
        notes.write("after")
    assert (tmp_path / "den" / "notes.txt").read_text() == "before, after"


def test_the_folder_one_stands_in_is_not_swapped_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path / "den", "one")
    monkeypatch.chdir(tmp_path / "den")
    with pytest.raises(OutputError, match="is in use"):
        write(Path(), "two")
    assert (tmp_path / "den" / "sheet.svg").read_text() == "one"


def test_the_permissions_of_the_place_are_kept(tmp_path: Path) -> None:
    write(tmp_path / "den", "one")
    (tmp_path / "den").chmod(0o750)
    write(tmp_path / "den", "two")
    assert (tmp_path / "den").stat().st_mode & 0o777 == 0o750


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
