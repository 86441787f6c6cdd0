"""The lock names every package that the tests bring, at the version they run with, and nothing else."""

from __future__ import annotations

import ast
import subprocess
import sys
import tomllib
from importlib.metadata import packages_distributions

from installed import LOCK, ROOT, installed, pins, requirements
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

DIRECT = {canonicalize_name(needed.name) for needed in requirements("trimwright")}
EXTRAS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["optional-dependencies"]
OPTIONAL = {canonicalize_name(Requirement(text).name) for name in set(EXTRAS) - {"test"} for text in EXTRAS[name]}
"""What the program can do without, until it is asked for what needs it."""


def imported() -> set[str]:
    """Distributions whose modules are imported anywhere in the program."""
    modules: set[str] = set()
    for path in (ROOT / "src").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                modules |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                modules.add(node.module.partition(".")[0])
    homes = packages_distributions()  # of Python 3.11 leaves out packages that are one compiled module
    outside = modules - sys.stdlib_module_names - {"trimwright"}
    return {canonicalize_name(home) for module in outside for home in homes.get(module, [module])}


def test_every_package_of_the_tests_is_pinned_as_installed() -> None:
    assert pins() == {name: package.version for name, package in installed("test").items()}


def test_the_lock_names_versions_and_no_addresses() -> None:
    lines = LOCK.read_text(encoding="utf-8").splitlines()[1:]
    assert lines == sorted(lines, key=str.lower)
    assert all(line.count("==") == 1 and not {"/", "@", " ", ";"} & set(line) for line in lines)


def test_what_is_imported_is_required_and_what_is_required_is_imported() -> None:
    """A part that a requirement brings with it, as the kernel that cadquery wraps, may be imported by itself; what an
    extra brings, where it is asked for.
    """
    brought = {canonicalize_name(r.name) for name in DIRECT for r in requirements(name)}
    used = imported()
    assert used - DIRECT - OPTIONAL <= brought
    assert DIRECT - used == set()


def test_no_requirement_contradicts_another() -> None:
    done = subprocess.run([sys.executable, "-m", "pip", "check"], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout
