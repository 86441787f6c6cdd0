"""No pinned version is known to be vulnerable, and no requirement lets one in that is; as of the table's day."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from advisories import admitted, advisories, declared, hits, taken, text
from installed import pins
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name


def test_no_version_of_the_lock_is_affected() -> None:
    found = {f"{name} {version}": ids for name, version in pins().items() if (ids := hits(name, version))}
    assert found == {}


@pytest.mark.parametrize("needed", declared(), ids=str)
def test_no_requirement_lets_an_affected_version_in(needed: Requirement) -> None:
    assert admitted(needed) == []


@pytest.mark.parametrize(
    ("package", "version", "ids"),
    [
        ("jinja2", "2.4.1", {"PYSEC-2014-8", "PYSEC-2021-66"}),  # the example of the database's own README
        ("pillow", "10.1.0", {"PYSEC-2026-457"}),  # CVE-2023-50447: "Pillow through 10.1.0"
        ("tornado", "6.3.1", {"PYSEC-2023-75"}),  # CVE-2023-28370: "Tornado versions 6.3.1 and earlier"
        ("pydantic", "2.3.0", {"PYSEC-2026-1812"}),  # CVE-2024-3772: "Pydantic < 2.4.0, < 1.10.13"
    ],
)
def test_an_affected_version_is_found(package: str, version: str, ids: set[str]) -> None:
    assert ids <= set(hits(package, version))


def test_a_range_ends_before_the_version_that_mends_it() -> None:
    """CVE-2024-3772 as above: of the second branch nothing before 2.0.0, of the first nothing from 1.10.13 on."""
    found = {version: hits("pydantic", version) for version in ("1.10.12", "1.10.13", "1.10.14", "2.0.0", "2.4.0")}
    assert {version: bool(ids) for version, ids in found.items()} == {
        "1.10.12": True,
        "1.10.13": False,
        "1.10.14": False,
        "2.0.0": True,
        "2.4.0": False,
    }


@pytest.mark.parametrize(
    ("line", "open_to"),
    [
        ("pydantic>=1.8", True),
        ("pydantic>=1.10.13", True),  # 2.0 to 2.4 are above it
        ("pydantic>=1.10.13,<2", False),
        ("pydantic>=2.4", False),
        ("pydantic", True),
        ("shapely", False),  # nothing is known of it
    ],
)
def test_a_bound_is_judged_by_all_that_it_lets_in(line: str, open_to: bool) -> None:
    assert bool(admitted(Requirement(line))) is open_to


def test_the_table_is_of_packages_that_are_used() -> None:
    used = {*pins(), *(canonicalize_name(needed.name) for needed in declared())}
    assert {advisory.package for advisory in advisories()} <= used
    assert date(2026, 9, 10) <= taken() <= date.today()


def test_every_row_is_well_formed() -> None:
    ids = [(advisory.package, advisory.id) for advisory in advisories()]
    assert len(ids) == len(set(ids)) > 100
    for advisory in advisories():
        assert re.fullmatch(r"PYSEC-20\d\d-\d+", advisory.id)
        assert re.fullmatch(r"CVE-\d{4}-\d{4,}|", advisory.cve)
        assert advisory.affected
        assert all(fixed is None or first < fixed for first, fixed in advisory.affected)


ENTRY = """\
id: {id}
modified: "2030-01-{day}T00:00:00Z"
aliases:
- GHSA-xxxx-xxxx-xxxx
- CVE-2030-0001
affected:
- package:
    name: Shapely
    ecosystem: PyPI
  ranges:
  - type: GIT
    events:
    - introduced: "0"
    - fixed: 1fe1bb49c452b0318cad12ea9d97c3bef188e9a7
  - type: ECOSYSTEM
    events:
{events}
{more}
"""


def enter(database: Path, id: str, events: str, day: int = 10, more: str = "") -> None:
    folder = database / "vulns" / "shapely"
    folder.mkdir(parents=True, exist_ok=True)
    lines = "\n".join(f"    - {event}" for event in events.split(", "))
    (folder / f"{id}.yaml").write_text(ENTRY.format(id=id, day=day, events=lines, more=more))


def test_the_table_is_made_from_a_checkout_of_the_database(tmp_path: Path) -> None:
    """Entries in the shape of Open Source Vulnerability format 1.6, `affected[].ranges[].events[]`."""
    enter(tmp_path, "PYSEC-2030-10", "introduced: '2.0', fixed: 2.0.2, introduced: '1.8', fixed: 1.8.3", day=12)
    enter(tmp_path, "PYSEC-2030-9", "introduced: '0'", day=11)
    enter(tmp_path, "PYSEC-2030-11", "introduced: '0'", day=13, more="withdrawn: '2030-02-01T00:00:00Z'")
    enter(tmp_path, "PYSEC-0000-CVE-2030-2", "introduced: '0'", day=14)
    assert text(tmp_path).partition("taken")[2].splitlines() == [
        " = 2030-01-12  # the newest entry; what was published later is not here",
        "",
        "[shapely]",
        'PYSEC-2030-9 = { cve = "CVE-2030-0001", affected = [["0", ""]] }',
        'PYSEC-2030-10 = { cve = "CVE-2030-0001", affected = [["1.8", "1.8.3"], ["2.0", "2.0.2"]] }',
    ]


def test_what_pairs_of_versions_cannot_say_is_not_passed_over(tmp_path: Path) -> None:
    enter(tmp_path, "PYSEC-2030-9", "introduced: '0', last_affected: '2.0'")
    with pytest.raises(ValueError, match=r"shapely: events \['last_affected'\] cannot be told by pairs"):
        text(tmp_path)
