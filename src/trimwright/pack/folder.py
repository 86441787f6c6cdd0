"""A pack is made beside its place and then swapped in, so that a place holds the old pack or the new one, whole."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from trimwright.errors import OutputError
from trimwright.pack.workshop import swap_in, workshop

__all__ = ["file_list", "new_pack"]

INDEX = "pack.json"


@contextmanager
def new_pack(place: Path) -> Iterator[Path]:
    """An empty folder to write in; on leaving without an error it becomes `place`, with what was not ours kept.

    Raises OutputError, and leaves `place` as it was, if it cannot be written or holds something else than a pack.
    """
    whole = Path(os.path.abspath(place))
    try:
        _check_place(whole, place)
        whole.parent.mkdir(parents=True, exist_ok=True)
        with workshop(whole) as folder:
            work = folder / whole.name
            work.mkdir()
            yield work
            _keep_foreign(whole, work)
            if whole.exists():
                shutil.copymode(whole, work)
            swap_in(work, whole)
            _keep_foreign(work, whole, late=True)
    except OSError as error:
        raise OutputError(
            f"{place}: cannot be written: {error.strerror or error}; nothing there was changed;"
            " make room or choose another folder with --out"
        ) from None


def file_list(folder: Path) -> list[dict[str, str]]:
    """Path (with /) and sha256 of every file of a pack but pack.json, sorted."""
    files = sorted(p for p in folder.rglob("*") if p.is_file() and p != folder / INDEX)
    return [
        {"path": p.relative_to(folder).as_posix(), "sha256": hashlib.sha256(p.read_bytes()).hexdigest()} for p in files
    ]


def _check_place(place: Path, named: Path) -> None:
    """A place is free, empty, or a pack that can be replaced; a symbolic link to a folder is followed nowhere."""
    if not os.path.lexists(place):
        return
    if place.is_symlink() or not place.is_dir():
        raise OutputError(f"{named}: is not a folder; choose another place with --out")
    if place.is_mount() or Path.cwd().is_relative_to(place):
        raise OutputError(
            f"{named}: is in use and cannot be swapped for a new folder; choose a folder in it with --out"
        )
    ours = _listed(place, named)
    for path in (place, *_entries(place)):
        if (_is_folder(path) or path.relative_to(place).as_posix() in ours) and not _free(path):
            raise _held(path)


def _listed(place: Path, named: Path) -> set[str]:
    """The files that the pack at a place says it wrote. Raises OutputError if it is neither a pack nor empty."""
    if not any(place.iterdir()):
        return set()
    try:
        data = json.loads((place / INDEX).read_text(encoding="utf-8"))
        return {INDEX, *(str(entry["path"]) for entry in data["files"])}
    except FileNotFoundError:
        raise OutputError(f"{named}: holds files that are not a pack; choose an empty folder with --out") from None
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        raise OutputError(
            f"{named / INDEX}: does not say which files are the pack's, so none can be replaced;"
            " move the folder away, or choose another with --out"
        ) from None


def _keep_foreign(old: Path, new: Path, late: bool = False) -> None:
    """Gives to the new pack whatever lies in the old one that that one did not list as its own.

    Raises OutputError where the new pack has something else of that name; what comes `late` finds its fellows there.
    """
    for path in _foreign(old):
        target = new / path.relative_to(old)
        if os.path.lexists(target):
            if not late and not (_is_folder(path) and _is_folder(target)):
                raise _in_the_way(path)
        elif _is_folder(path):
            target.mkdir()
            shutil.copystat(path, target)
        else:
            _carry(path, target)


def _foreign(place: Path) -> Iterator[Path]:
    """What lies in a pack and is not in its list: files, links, folders; parents first."""
    if not place.is_dir():
        return
    ours = _listed(place, place)
    folders = {parent.as_posix() for name in ours for parent in Path(name).parents}
    for path in _entries(place):
        if path.relative_to(place).as_posix() not in (folders if _is_folder(path) else ours):
            yield path


def _entries(folder: Path) -> Iterator[Path]:
    """Everything below a folder, parents first; one that cannot be read is an error, not passed over."""

    def fail(error: OSError) -> None:
        raise error

    for root, folders, files in os.walk(folder, onerror=fail):
        folders.sort()
        yield from (Path(root, name) for name in (*folders, *sorted(files)))


def _carry(path: Path, target: Path) -> None:
    """The same file in both packs, or a copy where files cannot have two names."""
    target.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.link(path, target, follow_symlinks=False)
    except OSError:
        if not _free(path):
            raise _held(path) from None
        shutil.copy2(path, target, follow_symlinks=False)


def _is_folder(path: Path) -> bool:
    return path.is_dir() and not path.is_symlink()


def _free(path: Path) -> bool:
    """True if it may be changed: neither write-protected nor locked by the file system."""
    return path.is_symlink() or os.access(path, os.W_OK)


def _held(path: Path) -> OutputError:
    return OutputError(f"{path}: is locked or write-protected; free it, or choose another folder with --out")


def _in_the_way(path: Path) -> OutputError:
    return OutputError(
        f"{path}: was not written by trimwright, and the new pack has one of that name;"
        " move it away, or choose another folder with --out"
    )
