from __future__ import annotations

import math
from pathlib import Path

import pytest

from trimwright.errors import ProfileError
from trimwright.profile.file import list_profiles, read_profile
from trimwright.profile.library import find_profile, shipped_profiles

GOOD = """
format = 1
name = "test"
kind = "rail"
[parameters]
drop = { default = 60, least = 20, most = 90 }
projection = { default = 20, least = 10, most = 40 }
lip = { default = 2, least = 0, most = 5 }
[outline]
start = [0, 0]
steps = [ { line = ["projection", 0] }, { line = ["projection", "drop - lip"] }, { line = [0, "drop"] } ]
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "test.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_every_shipped_profile_reads_and_is_named_after_its_file() -> None:
    profiles = list_profiles()
    assert [profile.name for profile in profiles] == list(shipped_profiles())
    assert {"cornice", "rail", "channel", "batten", "dado"} <= {profile.kind for profile in profiles}


def test_cove_area_is_closed_form() -> None:
    """A quarter circle of radius r taken from the square leaves r²(1 - π/4); the lips add two strips."""
    cove = read_profile(find_profile("cove", Path()))
    plain = cove.section({"drop": 90, "projection": 90, "lip": 0})
    assert plain.outline.area == pytest.approx(90**2 * (1 - math.pi / 4), rel=1e-12)
    lipped = cove.section({"drop": 115, "projection": 115})
    assert lipped.outline.area == pytest.approx(107**2 * (1 - math.pi / 4) + 8 * 115 + 8 * 107, rel=1e-12)
    assert (lipped.drop, lipped.projection) == pytest.approx((115, 115), abs=1e-9)


def test_a_path_is_taken_from_the_room_files_folder(tmp_path: Path) -> None:
    written(tmp_path, GOOD)
    section = read_profile(find_profile("./test.toml", tmp_path)).section({"drop": 50})
    assert section.outline.area == pytest.approx(50 * 20 - 2 * 20 / 2)
    assert dict(section.parameters) == {"drop": 50, "projection": 20, "lip": 2}


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("kind = ", "knd = ", "knd: unknown key, perhaps 'kind'; known: format, name, kind"),
        ('kind = "rail"', "", "kind: is missing"),
        ('kind = "rail"', 'kind = "rial"', "kind: input should be 'cornice', 'rail'.*not 'rial'"),
        ("format = 1", "format = 2", "format: input should be 1, not 2"),
        ("most = 5 }", "mst = 5 }", r"\[parameters\] lip mst: unknown key, perhaps 'most'"),
        (", most = 5 }", " }", r"\[parameters\] lip most: is missing"),
        ("most = 5 }", 'most = "x" }', r"\[parameters\] lip most: input should be a valid number"),
        ("most = 5 }", "most = true }", r"\[parameters\] lip most: input should be a number, not True"),
        ("most = 5 }", "most = inf }", r"\[parameters\] lip most: input should be"),
        ("default = 2,", "default = 9,", r"\[parameters\] lip: default 9 is not between 0 and 5"),
        ("least = 20", "least = 0", r"\[parameters\] drop: least must be above 0"),
        ("lip =", '"lip-1" =', "a parameter's name is letters"),
        ("drop = {", "height = {", r"\[parameters\] drop: is missing; every profile has drop and projection"),
        ("start = [0, 0]", "strat = [0, 0]", r"\[outline\] strat: unknown key, perhaps 'start'"),
        ("start = [0, 0]", "start = [0]", r"\[outline\] start: a point is two expressions"),
        ("start = [0, 0]", "start = [true, 0]", r"\[outline\] start: True is neither a number nor"),
        ("[0, 0]", '["lpi", 0]', r"\[outline\] start: in 'lpi': unknown parameter 'lpi', perhaps 'lip'"),
        ("{ line = [0,", "{ lien = [0,", r"step 3: 'lien' is unknown, perhaps 'line'; give one element of line, arc"),
        ("{ line = [0,", "{ line = [0, 1], arc = [0,", "step 3: give one element of"),
        ("{ line = [0,", "3, { line = [0,", "step 3: write a table such as"),
        ('"drop"] }', '"drop"], form = "flat" }', r"step 3 \(line\): unknown key 'form'; line takes nothing beside"),
        ("{ line = [0,", "{ arc = [0,", r"step 3 \(arc\): 'through' is missing"),
        ("{ line = [0,", "{ quirk = [0,", r"step 3 \(quirk\): 'depth' is missing"),
        ('"drop"] }', '"drop"], throuhg = [1, 1] }', r"step 3 \(line\): unknown key 'throuhg'"),
        ("{ line = [0,", '{ form = "fat", cyma_recta = [0,', r"step 3 \(cyma_recta\): form is 'flat' or 'thick'"),
        ("{ line = [0,", "{ fillet = [0,", r"step 3 \(fillet\): a fillet or fascia runs square"),
        ('"drop"]', '"drop / 0"]', r"step 3 \(line\): in 'drop / 0': division by zero"),
        ('"drop"]', '"drop + 1"]', r"measures 61 in drop, not 60"),
        ('"projection", 0', '"2 * projection", 0', r"measures 40 in projection, not 20"),
        ('"drop - lip"]', '"drop"] }, { line = [0, 0] }, { line = [0, "drop - lip"]', "crosses or touches itself near"),
        ('{ line = ["projection", 0] }, { line = ["projection", "drop - lip"] },', "", "the outline encloses no area"),
        ("[outline]", "drop = 60\n[outline]", r"\[parameters\] drop|not valid TOML"),
        ("format = 1", "format = 1\ndrop = 60", "drop and projection at the top belong to a traced outline"),
        ("format = 1", "format 1", "not valid TOML"),
    ],
)  # fmt: skip
def test_each_mistake_has_its_message(tmp_path: Path, old: str, new: str, message: str) -> None:
    assert old in GOOD
    path = written(tmp_path, GOOD.replace(old, new, 1))
    with pytest.raises(ProfileError, match=message) as caught:
        read_profile(path).section()
    assert str(caught.value).startswith(str(path)), "the file comes first"
    assert "pydantic" not in str(caught.value)


def test_sizes_out_of_range() -> None:
    cove = read_profile(find_profile("cove", Path()))
    for size, message in (
        ({"lip": 50.0}, "profiles/cove.toml: [parameters] lip: 50 is more than 40, the most it may be"),
        ({"drop": 3.0}, "profiles/cove.toml: [parameters] drop: 3 is less than 30, the least it may be"),
        (
            {"dorp": 90.0},
            "profiles/cove.toml: [parameters] 'dorp' is unknown, perhaps 'drop'; known: drop, projection, lip",
        ),
        ({"lip": math.nan}, "profiles/cove.toml: [parameters] lip: nan is more than 40, the most it may be"),
    ):
        with pytest.raises(ProfileError) as caught:
            cove.section(size)
        assert str(caught.value) == message


def test_a_profile_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(ProfileError, match="unknown profile 'cov', perhaps 'cove'; shipped: astragal, batten"):
        find_profile("cov", tmp_path)
    with pytest.raises(ProfileError, match=r"profile 'own/rail.toml': there is no file .*own/rail.toml"):
        find_profile("own/rail.toml", tmp_path)


def test_a_file_that_cannot_be_a_profile(tmp_path: Path) -> None:
    path = tmp_path / "test.toml"
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(ProfileError, match="not a text file"):
        read_profile(path)
    path.write_bytes(b"#" * 1_000_001)
    with pytest.raises(ProfileError, match="larger than 1 MB"):
        read_profile(path)
    with pytest.raises(ProfileError, match="cannot be read: Is a directory"):
        read_profile(tmp_path)
    path.write_text("a = " + "[" * 5000, encoding="utf-8")
    with pytest.raises(ProfileError, match="not valid TOML"):
        read_profile(path)


def test_either_way_round_gives_the_same_section(tmp_path: Path) -> None:
    """The reader finds the side of the material: an ovolo swells whether the outline runs left or right about."""
    head = GOOD.partition("[outline]")[0] + "[outline]\nstart = [0, 0]\n"
    anticlockwise = '{ line = ["projection", 0] }, { ovolo = ["projection / 2", "drop"] }, { line = [0, "drop"] }'
    clockwise = '{ line = [0, "drop"] }, { line = ["projection / 2", "drop"] }, { ovolo = ["projection", 0] }'
    areas = []
    for steps in (anticlockwise, clockwise):
        areas.append(read_profile(written(tmp_path, f"{head}steps = [ {steps} ]")).section().outline.area)
    assert areas[0] == pytest.approx(areas[1])
    assert areas[0] > 60 * (20 + 10) / 2, "more than with a straight edge"
