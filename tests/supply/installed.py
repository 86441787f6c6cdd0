"""What is installed for trimwright to run, or for its tests: the tree of requirements, read from the metadata."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from importlib.metadata import Distribution, distribution
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

__all__ = ["LOCK", "installed", "pins", "requirements"]

ROOT = Path(__file__).parents[2]
LOCK = ROOT / "tests" / "constraints.txt"


def requirements(name: str, extras: frozenset[str] = frozenset()) -> Iterator[Requirement]:
    """What a distribution needs on this machine, with some of its extras; trimwright as its source says now."""
    for text in _of_the_source(extras) if name == "trimwright" else distribution(name).requires or []:
        needed = Requirement(text)
        if needed.marker is None or any(needed.marker.evaluate({"extra": extra}) for extra in (*extras, "")):
            yield needed


def _of_the_source(extras: frozenset[str]) -> list[str]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return [*project["dependencies"], *(text for e in extras for text in project["optional-dependencies"][e])]


def installed(*extras: str) -> dict[str, Distribution]:
    """Every distribution that trimwright with some of its extras brings, by its normalised name; itself left out.

    Raises PackageNotFoundError if one is missing.
    """
    asked: dict[str, frozenset[str]] = {}
    todo = [("trimwright", frozenset(extras))]
    while todo:
        name, wanted = todo.pop()
        known = asked.get(name)
        if known is not None and wanted <= known:
            continue
        asked[name] = wanted | (known or frozenset())
        todo += [(canonicalize_name(r.name), frozenset(r.extras)) for r in requirements(name, asked[name])]
    return {name: distribution(name) for name in sorted(asked) if name != "trimwright"}


def pins() -> dict[str, str]:
    """The versions of the lock by normalised name."""
    lines = (line.partition("#")[0].strip() for line in LOCK.read_text(encoding="utf-8").splitlines())
    return {canonicalize_name(name): version for name, _, version in (line.partition("==") for line in lines if line)}
