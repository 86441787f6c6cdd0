"""Site files: what is wrong with one is said with file and entry; what a room takes over, and what wins."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from sites import COVE, HEAD, write_room, write_site

from trimwright import cache
from trimwright.errors import RoomFileError
from trimwright.project.read import read_room_file, read_toml
from trimwright.site.room import task_of
from trimwright.site.shared import with_shared
from trimwright.site.site import read_site

NOWHERE = Path("/nowhere")


@pytest.mark.parametrize(
    ("rooms", "more", "said"),
    [
        ("a", "[[trimm]]\n", r"row.toml: \[\[trimm\]\]: unknown key; did you mean 'trim'"),
        ("a*0", "", r"\[\[room\]\] 1, count: .*greater than or equal to 1 \(it is 0\)"),
        ('a*"3"', "", r"\[\[room\]\] 1, count: .* whole number.* \(it is '3'\)"),
        ("a*true", "", r"\[\[room\]\] 1, count: .* whole number.* \(it is true\)"),
        ("a*1001", "", r"\[\[room\]\] 1, count: .*less than or equal to 1000"),
        ("a a", "", r"\[\[room\]\] 2 \(a\): \[\[room\]\] 1 has the name 'a' too; give each of them a name of its own"),
        ("a", '[[room]]\nfile = "none.toml"', r"\[\[room\]\] 2 \(none\), file: there is no file .*none.toml"),
        ("a", '[[room]]\nfile = "a.toml"\nname = "b"\nmark = "1"', r"2 \(b\): \[\[room\]\] 1 has the mark '1' too"),
        ("a", '[[room]]\nfile = "a.toml"\nname = "b"\nmark = "A.1"', r"2 \(b\), mark: .*letters and digits only"),
        ("a", '[[room]]\nfile = "a.toml"\nname = "b"\nwithout = ["cornise"]\n' + COVE, r"no 'cornise'; did you mean"),
        ("a", COVE.replace('"cove"', '"coev"'), r"\[\[trim\]\] 1 \(cornice\), profile 'coev': .*perhaps 'cove'"),
        ("a", COVE + 'material = "blaster"', r"\[\[trim\]\] 1 \(cornice\), material: 'blaster' is not known"),
        ("a", COVE + COVE, r"\[\[trim\]\] 2 \(cornice\): another trim has this name"),
        (
            "a",
            COVE + '[[offcut]]\ntrim = "rail"\nlength = 9',
            r"\[\[offcut\]\] 1, trim: the site shares no trim 'rail'",
        ),
        ("a", "[rates.pins]\nspaces = 1", r"row.toml: \[rates\], pins: there is no rate 'spaces'"),
        ("a", "[saw]\nkerf = 30", r"\[saw\], kerf: .*less than or equal to 20 \(it is 30\)"),
    ],
)
def test_what_is_wrong_is_said_with_its_entry(tmp_path: Path, rooms: str, more: str, said: str) -> None:
    with pytest.raises(RoomFileError, match=said):
        read_site(write_site(tmp_path, rooms, more))


def test_the_format_is_asked_for(tmp_path: Path) -> None:
    with pytest.raises(RoomFileError, match="the first line must be: format = 1"):
        read_site(write_site(tmp_path, "a", head=HEAD.replace("format = 1", "format = 2")))


def test_a_room_file_and_a_site_file_are_told_from_each_other(tmp_path: Path) -> None:
    path = write_site(tmp_path, "a")
    with pytest.raises(RoomFileError, match=r"a.toml: is a room file, not a site file.*: trimwright build .*a.toml"):
        read_site(tmp_path / "a.toml")
    with pytest.raises(RoomFileError, match=r"row.toml: is a site file, not a room file.*: trimwright batch .*row.tom"):
        read_room_file(path)


def test_no_more_rooms_than_a_site_has(tmp_path: Path) -> None:
    path = write_site(tmp_path, "a")
    path.write_text(HEAD + '[[room]]\nfile = "a.toml"\n' * 2001)
    with pytest.raises(RoomFileError, match="at most 2000 items"):
        read_site(path)


def test_rooms_have_folders_and_marks_of_their_own(tmp_path: Path) -> None:
    write_room(tmp_path, "a")
    more = "".join(f'[[room]]\nfile = "a.toml"\nname = "{name}"\ncount = 2\n' for name in ("A", "Á!", "a?"))
    rooms = read_site(write_site(tmp_path, "a", more)).rooms
    assert [room.folder for room in rooms] == ["a", "a-2", "a-3", "a-4"]
    assert [room.mark for room in rooms] == ["1", "2", "3", "4"]
    assert [rooms[0].copy_mark(1), rooms[1].copy_mark(2)] == ["1", "2.2"]


def test_a_rooms_own_entry_wins_over_the_sites() -> None:
    site = {"saw": {"kerf": 2, "end_trim": 5}, "prices": {"tax": 19, "items": {"pins": 1, "filler": 2}}}
    room = {"room": {}, "saw": {"kerf": 3}, "prices": {"items": {"pins": 4}}}
    made = with_shared(room, site, (), NOWHERE)
    assert made["saw"] == {"kerf": 3, "end_trim": 5}
    assert made["prices"] == {"tax": 19, "items": {"pins": 4, "filler": 2}}
    assert room["saw"] == {"kerf": 3}
    assert with_shared(room, site, ("saw",), NOWHERE)["saw"] == {"kerf": 3}


def test_a_rooms_own_trim_wins_as_a_whole_and_keeps_the_sites_order() -> None:
    site = {"trim": [{"name": n, "profile": "cove", "top": "ceiling"} for n in ("cornice", "rail")]}
    room = {"trim": [{"name": "dado", "profile": "dado"}, {"name": "cornice", "profile": "scotia"}]}
    made = with_shared(room, site, (), NOWHERE)["trim"]
    assert [(t["name"], t["profile"]) for t in made] == [("cornice", "scotia"), ("rail", "cove"), ("dado", "dado")]
    assert "top" not in made[0]
    assert [t["name"] for t in with_shared(room, site, ("rail", "cornice"), NOWHERE)["trim"]] == ["dado", "cornice"]


def test_a_shared_profile_file_is_found_from_every_room(tmp_path: Path) -> None:
    site = {"trim": [{"name": "cornice", "profile": "shapes/own.toml"}]}
    made = with_shared({}, site, (), tmp_path)
    assert made["trim"][0]["profile"] == str(tmp_path / "shapes" / "own.toml")


def test_offcuts_stay_with_the_site(tmp_path: Path) -> None:
    path = write_site(tmp_path, "a", COVE + '[[offcut]]\ntrim = "cornice"\nlength = 900\n')
    site = read_site(path)
    task = task_of(site, site.rooms[0], tmp_path / "out", "none", False)
    assert "offcut" not in task.tables
    assert site.tables.offcut[0].length == 900


@pytest.mark.parametrize(
    ("change", "again"),
    [
        (lambda f: None, False),
        (lambda f: (f / "row.toml").write_text((f / "row.toml").read_text().replace("= 12", "= 13")), True),
        (lambda f: (f / "row.toml").write_text((f / "row.toml").read_text() + "[saw]\nkerf = 2\n"), True),
        (lambda f: (f / "row.toml").write_text((f / "row.toml").read_text() + "# a remark\n"), False),
        (lambda f: (f / "a.toml").write_text((f / "a.toml").read_text().replace("2130", "2131", 1)), True),
        (lambda f: (f / "own.toml").write_text((f / "own.toml").read_text().replace("0.5", "0.6")), True),
    ],
)
def test_the_sum_of_what_a_room_is_made_from(tmp_path: Path, change: object, again: bool) -> None:
    write_room(tmp_path, "a", more=COVE.replace('"cornice"', '"own"').replace('"cove"', '"own.toml"'))
    (tmp_path / "own.toml").write_text("# 0.5\n")
    path = write_site(tmp_path, "a")

    def made_from() -> str:
        site = read_site(path)
        return task_of(site, site.rooms[0], tmp_path, "none", False).made_from

    before = made_from()
    change(tmp_path)  # type: ignore[operator]
    assert (made_from() != before) is again
    site = read_site(path)
    assert task_of(site, site.rooms[0], tmp_path, "some", False).made_from != made_from()


def test_another_program_makes_a_room_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of the same version, but with one letter of its source changed: packs that it made before do not stand."""
    source = tmp_path / "trimwright"
    shutil.copytree(Path(cache.__file__).parent, source, ignore=shutil.ignore_patterns("__pycache__"))
    site = read_site(write_site(tmp_path, "a"))
    before = task_of(site, site.rooms[0], tmp_path, "none", False).made_from
    place = source / "setout" / "pieces.py"
    place.write_text(place.read_text() + "#")
    monkeypatch.setattr(cache, "__file__", str(source / "cache.py"))
    for known in (cache.source, cache._program):
        known.cache_clear()
    try:
        assert task_of(site, site.rooms[0], tmp_path, "none", False).made_from != before
    finally:
        for known in (cache.source, cache._program):
            known.cache_clear()


def test_a_room_file_that_makes_no_sense_has_a_sum_all_the_same(tmp_path: Path) -> None:
    """It is read before it is checked; what is wrong with it is said when the room is built."""
    path = write_site(tmp_path, "a")
    (tmp_path / "a.toml").write_text("format = 1\n[room]\nat = 07:32:00\nday = 1979-05-27T07:32:00Z\ntall = nan\n")
    site = read_site(path)
    assert len(task_of(site, site.rooms[0], tmp_path, "none", False).made_from) == 64


def test_the_example_reads(tmp_path: Path) -> None:
    path = Path(__file__).parents[2] / "examples" / "terrace" / "terrace.toml"
    site = read_site(path)
    assert [(room.mark, room.count) for room in site.rooms] == [("S", 6), ("Y", 6), ("L", 3)]
    assert all(read_toml(room.file)["room"] for room in site.rooms)
