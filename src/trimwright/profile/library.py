"""Where profile files are: the shipped ones by bare name, a person's own by path."""

from __future__ import annotations

from pathlib import Path

from trimwright.errors import ProfileError
from trimwright.spelling import perhaps

__all__ = ["find_profile", "shipped_folder", "shipped_profiles", "source_name"]

PACKAGE = Path(__file__).resolve().parent.parent


def shipped_folder() -> Path:
    """The folder of shipped profiles: inside the installed package, or at the top of a source tree."""
    inside = PACKAGE / "profiles"
    return inside if inside.is_dir() else PACKAGE.parent.parent / "profiles"


def shipped_profiles() -> dict[str, Path]:
    """The shipped profile files by name, in order of the alphabet."""
    return {path.stem: path for path in sorted(shipped_folder().glob("*.toml"))}


def find_profile(name_or_path: str, relative_to: Path) -> Path:
    """The file meant by a room file's `profile = ...`.

    A bare name (`"cove"`) is a shipped profile; anything that ends in .toml or has a slash is a path, taken from
    the folder `relative_to`. Raises ProfileError with the nearest shipped name, or the path that was tried.
    """
    if name_or_path.endswith(".toml") or "/" in name_or_path or "\\" in name_or_path:
        path = relative_to / Path(name_or_path).expanduser()
        if not path.is_file():
            raise ProfileError(f"profile '{name_or_path}': there is no file {path}")
        return path
    shipped = shipped_profiles()
    if name_or_path not in shipped:
        known = ", ".join(shipped)
        raise ProfileError(f"unknown profile '{name_or_path}'{perhaps(name_or_path, shipped)}; shipped: {known}")
    return shipped[name_or_path]


def source_name(path: Path) -> str:
    """How messages name a profile file: short for a shipped one, as it was given otherwise."""
    return f"profiles/{path.name}" if path.resolve().parent == shipped_folder() else str(path)
