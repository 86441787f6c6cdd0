"""Known vulnerabilities of the packages of the lock: the table beside this file, read, asked and made anew.

    git clone --depth 1 https://github.com/pypa/advisory-database
    python tests/supply/advisories.py advisory-database > tests/supply/advisories.toml

The table is taken from the Python Packaging Advisory Database (CC BY 4.0), whose entries follow the Open Source
Vulnerability format 1.x: an affected range begins with the version of an `introduced` event ("0": the first there was)
and ends before that of the `fixed` one. An id names its entry there: `vulns/<package>/<id>.yaml`.
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any

from installed import ROOT, pins
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

__all__ = ["Advisory", "admitted", "advisories", "declared", "hits", "taken", "text"]

TABLE = Path(__file__).with_name("advisories.toml")

HEAD = """\
# Known vulnerabilities of the packages of tests/constraints.txt and pyproject.toml; written by advisories.py beside it.
# From the Python Packaging Advisory Database, licence CC BY 4.0 (creativecommons.org/licenses/by/4.0): ids, the CVE of
# each, and the versions affected, from the first of each pair up to the second, which is not; "" where there is no fix.
"""

FIRST = Version("0")


@dataclass(frozen=True, slots=True)
class Advisory:
    """A published vulnerability of a package; `affected` are pairs of the first version that has it and the first that
    has not, None where no version is mended.
    """

    id: str
    package: str
    cve: str
    affected: tuple[tuple[Version, Version | None], ...]

    def hits(self, version: Version) -> bool:
        """True if a version is affected."""
        return any(first <= version and (fixed is None or version < fixed) for first, fixed in self.affected)


@cache
def advisories() -> tuple[Advisory, ...]:
    """The whole table."""
    return tuple(
        Advisory(id, package, entry.get("cve", ""), tuple((Version(a), Version(b) if b else None) for a, b in pairs))
        for package, entries in _tables().items()
        if isinstance(entries, dict)
        for id, entry in entries.items()
        for pairs in [entry["affected"]]
    )


def taken() -> date:
    """The day of the newest entry that the table was made from: of what was published later it knows nothing."""
    return _tables()["taken"]


@cache
def _tables() -> dict[str, Any]:
    return tomllib.loads(TABLE.read_text(encoding="utf-8"))


def hits(package: str, version: str) -> list[str]:
    """The ids of the advisories that affect a version of a package."""
    return [a.id for a in advisories() if a.package == package and a.hits(Version(version))]


def admitted(needed: Requirement) -> list[str]:
    """The ids of the advisories of a package of which a requirement lets in an affected version.

    A requirement that begins at a version lets in an affected range if it lets in the first version that lies in both.
    """
    least = max((Version(bound.version) for bound in needed.specifier if bound.operator in (">=", "==")), default=FIRST)
    return [
        found.id
        for found in advisories()
        if found.package == canonicalize_name(needed.name)
        and any(
            found.hits(both) and needed.specifier.contains(both, prereleases=True)
            for both in (max(least, first) for first, _ in found.affected)
        )
    ]


def declared() -> list[Requirement]:
    """What pyproject.toml asks for: to run, for each extra, and to build."""
    file = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    extras = file["project"]["optional-dependencies"].values()
    asked = [*file["build-system"]["requires"], *file["project"]["dependencies"], *(t for e in extras for t in e)]
    return [Requirement(line) for line in dict.fromkeys(asked)]


def text(database: Path) -> str:
    """The whole table, from a checkout of the database.

    Raises ValueError for an entry that cannot be told by pairs of versions.
    """
    names = sorted({*pins(), *(canonicalize_name(needed.name) for needed in declared())})
    found = [(entry["modified"], advisory) for name in names for entry, advisory in _published(database, name)]
    newest = max(str(modified)[:10] for modified, _ in found)
    return _written(date.fromisoformat(newest), (advisory for _, advisory in found))


def _published(database: Path, package: str) -> Iterator[tuple[dict[str, Any], Advisory]]:
    """Entries of a package with what is kept of each; those that still have no number, or were withdrawn, left out."""
    import yaml

    for path in (database / "vulns" / package).glob("PYSEC-*.yaml"):
        entry = yaml.safe_load(path.read_text(encoding="utf-8"))
        if path.name.startswith("PYSEC-0000-") or "withdrawn" in entry:
            continue
        pairs = [pair for affected in entry["affected"] for pair in _pairs(affected, package)]
        if not pairs:
            raise ValueError(f"{path}: no range of versions; enter it by hand")
        cve = next((name for name in entry.get("aliases", []) if name.startswith("CVE-")), "")
        yield entry, Advisory(entry["id"], package, cve, tuple(pairs))


def _pairs(affected: dict[str, Any], package: str) -> Iterator[tuple[Version, Version | None]]:
    """The affected ranges of an entry for a package, of which each `introduced` may have its `fixed` after it."""
    if canonicalize_name(affected["package"]["name"]) != package:
        return
    for listed in affected.get("ranges", []):
        if listed["type"] == "ECOSYSTEM":
            events = [(kind, Version(str(version))) for event in listed["events"] for kind, version in event.items()]
            if unknown := {kind for kind, _ in events} - {"introduced", "fixed"}:
                raise ValueError(f"{package}: events {sorted(unknown)} cannot be told by pairs; enter it by hand")
            starts = sorted(version for kind, version in events if kind == "introduced")
            ends = [version for kind, version in events if kind == "fixed"]
            for start in starts:
                yield start, min((end for end in ends if end > start), default=None)


def _written(day: date, found: Iterable[Advisory]) -> str:
    parts = [HEAD, f"taken = {day.isoformat()}  # the newest entry; what was published later is not here\n"]
    ordered = sorted(found, key=lambda advisory: (advisory.package, *map(int, advisory.id.split("-")[1:])))
    for package, listed in groupby(ordered, key=lambda advisory: advisory.package):
        parts.append(f"\n[{package}]\n")
        for advisory in listed:
            pairs = ", ".join(f'["{first}", "{"" if fixed is None else fixed}"]' for first, fixed in advisory.affected)
            cve = f'cve = "{advisory.cve}", ' if advisory.cve else ""
            parts.append(f"{advisory.id} = {{ {cve}affected = [{pairs}] }}\n")
    return "".join(parts)


if __name__ == "__main__":
    try:
        print(text(Path(sys.argv[1])), end="")
    except (IndexError, OSError, ValueError) as error:
        sys.exit(f"advisories.py: {error}" if len(sys.argv) > 1 else __doc__)
