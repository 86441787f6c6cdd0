"""Prints src/trimwright/LICENCES.md: what is bundled, what is installed to run, under which licence and what for.

    python tests/supply/licences.py > src/trimwright/LICENCES.md

Names of licences are those of SPDX, from the metadata of what is installed.
"""

from __future__ import annotations

import re
import sys
from functools import cache
from importlib.metadata import Distribution

from installed import installed, requirements
from packaging.utils import canonicalize_name

__all__ = ["ALLOWED", "USES", "allowed", "licence", "text"]

ALLOWED = {
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSD",  # metadata that does not say which of them
    "CC0-1.0",
    "HPND",
    "ISC",
    "LGPL-3.0-or-later",  # a library that is installed beside, not bundled
    "MIT",
    "MIT-CMU",
    "MPL-2.0",
    "PSF-2.0",
    "Zlib",
}
"""Licences that a program under the MIT licence may be used with, whatever it is used for."""

CLASSIFIERS = {
    "Apache Software License": "Apache-2.0",
    "BSD License": "BSD",
    "ISC License (ISCL)": "ISC",
    "MIT License": "MIT",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "Python Software Foundation License": "PSF-2.0",
}

WORDINGS = {
    "Apache 2.0": "Apache-2.0",
    "BSD-3-Clause, Apache-2.0, dependency licenses": "BSD-3-Clause AND Apache-2.0",
    "GNU Lesser General Public License v3 or later (LGPLv3+)": "LGPL-3.0-or-later",
}
"""What the free text of some metadata means."""

BSD_TWO = (
    "Redistributions of source code must retain the above copyright notice",
    "Redistributions in binary form must reproduce the above copyright notice",
)

USES = {
    "cadquery": "exact solids, STEP",
    "defusedxml": "reading SVG traces safely",
    "embreex": "rays for pictures and light",
    "ezdxf": "DXF, written and read",
    "highspy": "cutting plans: linear and integer programmes",
    "manifold3d": "notches and copes in meshes",
    "numpy": "arithmetic on arrays",
    "pillow": "pictures as PNG",
    "pydantic": "reading room and profile files",
    "reportlab": "PDF",
    "scipy": "parts of a picture that hang together",
    "shapely": "plane geometry: areas cut and joined",
    "simpleeval": "expressions in profiles",
    "svgelements": "reading SVG traces",
    "svgwrite": "SVG",
}
"""What each direct requirement is used for."""

HEAD = """# Licences

trimwright is under the MIT licence (`LICENSE`). Bundled with it:

| what | licence |
| --- | --- |
| `drawing/fonts/DejaVuSansCondensed.ttf` | Bitstream Vera, changes in the public domain: `drawing/fonts/LICENSE` |
| profiles, page, tables | trimwright's own; each table names the source of its facts |

Installed with it to run, at the versions of `tests/constraints.txt` (Linux). The licences are what the metadata of each
says; what a package carries inside (a Fortran runtime, a font) is told by the files in its own `dist-info`.

| package | version | licence | for |
| --- | --- | --- | --- |
"""


def licence(package: Distribution) -> str:
    """The licence of a distribution as an SPDX expression; empty if its metadata does not say."""
    about = package.metadata
    if said := about.get("License-Expression"):
        return said
    named = [line.rpartition(" :: ")[2] for line in about.get_all("Classifier") or [] if line.startswith("License ::")]
    if named and all(name in CLASSIFIERS for name in named):
        return " AND ".join(CLASSIFIERS[name] for name in named)
    said = about.get("License") or ""
    if all(clause in " ".join(said.split()) for clause in BSD_TWO) and "endorse" not in said:
        return "BSD-2-Clause"
    return WORDINGS.get(said, said if said in ALLOWED else "")


def allowed(expression: str) -> bool:
    """True if an SPDX expression can be met by licences of the list; what is joined by AND must all be there."""
    parts = re.sub(r" WITH [\w-]+", "", expression)  # exceptions only ever allow more
    return any(all(name in ALLOWED for name in choice.split(" AND ")) for choice in parts.split(" OR "))


@cache
def text() -> str:
    """The whole file. Raises ValueError for a licence that is not on the list."""
    packages = installed()
    direct = {canonicalize_name(needed.name) for needed in requirements("trimwright")}
    rows = []
    for name, package in packages.items():
        found = licence(package)
        if not allowed(found):
            raise ValueError(
                f"{package.name} {package.version}: the licence '{found}' is not on the list of those allowed"
            )
        use = USES[name] if name in direct else "needed by " + ", ".join(_users(name, list(packages)))
        rows.append(f"| {package.name} | {package.version} | {found} | {use} |")
    return HEAD + "\n".join(rows) + "\n"


def _users(name: str, packages: list[str]) -> list[str]:
    """Which of the packages need one."""
    return [user for user in packages if name in {canonicalize_name(r.name) for r in requirements(user)}]


if __name__ == "__main__":
    try:
        print(text(), end="")
    except ValueError as error:
        sys.exit(str(error))
