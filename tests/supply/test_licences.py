from __future__ import annotations

from pathlib import Path

import pytest
from installed import installed, requirements
from licences import USES, allowed, licence, text
from packaging.utils import canonicalize_name

PACKAGE = Path(__file__).parents[2] / "src" / "trimwright"


def test_the_list_of_licences_is_that_of_what_is_installed() -> None:
    """If not: python tests/supply/licences.py > src/trimwright/LICENCES.md."""
    assert (PACKAGE / "LICENCES.md").read_text(encoding="utf-8") == text()


def test_every_requirement_is_there_for_something() -> None:
    assert {canonicalize_name(needed.name) for needed in requirements("trimwright")} == set(USES)


def test_licences_of_what_the_tests_bring_are_allowed_too() -> None:
    found = {name: licence(package) for name, package in installed("test").items()}
    assert {name: said for name, said in found.items() if not allowed(said)} == {}


@pytest.mark.parametrize(
    ("expression", "expected"),
    [
        ("MIT", True),
        ("GPL-3.0-only", False),
        ("", False),
        ("MIT AND GPL-3.0-only", False),
        ("MIT OR GPL-3.0-only", True),
        ("GPL-2.0-only OR MIT AND AGPL-3.0-only", False),
        ("BSD-2-Clause AND Apache-2.0 WITH LLVM-exception", True),
    ],
)
def test_expressions_are_read_as_spdx_has_them(expression: str, expected: bool) -> None:
    """AND binds closer than OR: SPDX specification 2.3, annex D."""
    assert allowed(expression) is expected


def test_every_font_has_its_licence_beside_it_and_on_the_list() -> None:
    fonts = [path for path in PACKAGE.rglob("*") if path.suffix in (".ttf", ".otf", ".woff", ".woff2")]
    assert fonts
    for font in fonts:
        assert (font.parent / "LICENSE").is_file()
        assert f"`{font.relative_to(PACKAGE).as_posix()}`" in text()
