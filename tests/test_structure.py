"""The map of the house holds: data flows one way, and each heavy library has its room."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest

SOURCE = Path(__file__).parent.parent / "src" / "trimwright"

FLOORS = (
    {"errors", "tolerance", "units", "names", "scalars", "spelling", "colour", "data", "terminal"}
    | {"frame", "cache", "toml_file", "process"},
    {"profile", "room"},
    {"survey", "trim"},
    {"project"},
    {"setout", "measuring"},
    {"mesh", "solid", "saw", "stock", "light", "work", "cautions", "ceiling"},
    {"clearance", "drawing", "picture", "page"},
    {"pack"},
    {"site"},
    {"view", "notebook"},
    {"public"},
    {"cli", "__main__"},
)
"""From the ground up; a module may use its own floor and those below."""

ROOMS = {
    "cadquery": ("solid", "public"),  # public names the type of a solid
    "OCP": ("solid",),
    "ezdxf": ("drawing", "profile", "measuring"),
    "reportlab": ("drawing",),
    "svgwrite": ("drawing",),
    "embreex": ("picture", "light"),
    "highspy": ("stock",),
    "distributed": ("site",),
    "svgelements": ("profile",),
}
"""Heavy libraries and the packages that may import them."""


def modules() -> dict[str, Path]:
    return {".".join(p.relative_to(SOURCE).with_suffix("").parts): p for p in sorted(SOURCE.rglob("*.py"))}


@cache
def imports(path: Path) -> tuple[str, ...]:
    """Full names of every module imported anywhere in a file."""
    names: list[str] = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names += [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]
    return tuple(names)


def floor_of(module: str) -> int:
    return next(k for k, floor in enumerate(FLOORS) if module.split(".")[0] in floor)


@pytest.mark.parametrize("module", [m for m in modules() if m != "__init__"])
def test_nothing_upstream_imports_anything_downstream(module: str) -> None:
    own = floor_of(module)
    for name in imports(modules()[module]):
        if name.startswith("trimwright."):
            inner = name.removeprefix("trimwright.")
            if inner.split(".")[0] in {part for floor in FLOORS for part in floor}:
                assert floor_of(inner) <= own, f"{module} imports {name}"


def test_each_heavy_library_stays_in_its_room() -> None:
    for module, path in modules().items():
        for name in imports(path):
            allowed = ROOMS.get(name.split(".")[0])
            assert allowed is None or module.split(".")[0] in allowed, f"{module} imports {name}"


def test_no_two_modules_need_each_other() -> None:
    known = modules()
    needs = {
        module: {n.removeprefix("trimwright.") for n in imports(path) if n.removeprefix("trimwright.") in known}
        for module, path in known.items()
    }
    done: set[str] = set()

    def visit(module: str, path: tuple[str, ...]) -> None:
        assert module not in path, " -> ".join((*path, module))
        if module not in done:
            for other in sorted(needs[module]):
                visit(other, (*path, module))
            done.add(module)

    for module in known:
        visit(module, ())


def test_files_stay_readable() -> None:
    lengths = {m: len(p.read_text(encoding="utf-8").splitlines()) for m, p in modules().items()}
    assert max(lengths.values()) <= 450, max(lengths, key=lengths.get)  # type: ignore[arg-type]
    assert sum(lengths.values()) / len(lengths) < 200


def test_test_files_have_names_of_their_own() -> None:
    names = [p.name for p in Path(__file__).parent.rglob("test_*.py")]
    assert sorted({n for n in names if names.count(n) > 1}) == []
