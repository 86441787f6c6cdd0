"""A pack is written beside its place and then swapped in, so that a place holds the old pack or the new one, whole."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from trimwright.errors import OutputError

__all__ = ["file_list", "new_pack"]

INDEX = "pack.json"


@contextmanager
def new_pack(place: Path) -> Iterator[Path]:
    """An empty folder to write in; on leaving without an error it becomes `place`, with what was not ours kept.

    Raises OutputError, and leaves `place` as it was, if it cannot be written or holds something else than a pack.
    """
    try:
        _check_place(place)
        place.parent.mkdir(parents=True, exist_ok=True)
        work = Path(tempfile.mkdtemp(prefix=f".{place.name}-", dir=place.parent))
    except OSError as error:
        raise OutputError(f"{place}: cannot be written: {error.strerror}; choose another folder with --out") from None
    try:
        yield work
        work.chmod(0o777 & ~_umask())
        _keep_foreign(place, work)
        _swap(place, work)
    except OSError as error:
        raise OutputError(f"{place}: cannot be written: {error.strerror}; nothing there was changed") from None
    finally:
        shutil.rmtree(work, ignore_errors=True)


def file_list(folder: Path) -> list[dict[str, str]]:
    """Path (with /) and sha256 of every file of a pack but pack.json, sorted."""
    files = sorted(p for p in folder.rglob("*") if p.is_file() and p != folder / INDEX)
    return [
        {"path": p.relative_to(folder).as_posix(), "sha256": hashlib.sha256(p.read_bytes()).hexdigest()} for p in files
    ]


def _check_place(place: Path) -> None:
    """A place is free, empty, or a pack; a symbolic link to a folder is followed nowhere."""
    if not os.path.lexists(place):
        return
    if place.is_symlink() or not place.is_dir():
        raise OutputError(f"{place}: is not a folder; choose another place with --out")
    if any(place.iterdir()) and not (place / INDEX).is_file():
        raise OutputError(f"{place}: holds files that are not a pack; choose an empty folder with --out")
    if not os.access(place, os.W_OK):
        raise OutputError(f"{place}: cannot be written: Permission denied; choose another folder with --out")


def _keep_foreign(place: Path, work: Path) -> None:
    """Copies into the new pack whatever lies in the old one that the old one did not list as its own."""
    if not place.is_dir():
        return
    ours = _listed(place)
    for path in sorted(place.rglob("*")):
        name = path.relative_to(place)
        if name.as_posix() in ours or path.is_dir() or (work / name).exists():
            continue
        (work / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(path, work / name, follow_symlinks=False)


def _listed(place: Path) -> set[str]:
    """The files that a pack says it wrote."""
    try:
        data = json.loads((place / INDEX).read_text(encoding="utf-8"))
        return {INDEX, *(entry["path"] for entry in data["files"])}
    except (OSError, ValueError, KeyError, TypeError):
        return {INDEX}


def _swap(place: Path, work: Path) -> None:
    """The new pack takes the place; the old one is put aside first and comes back if that fails."""
    if not place.exists():
        work.rename(place)
        return
    aside = Path(tempfile.mkdtemp(prefix=f".{place.name}-old-", dir=place.parent))
    old = aside / place.name
    place.rename(old)
    _or_undo(lambda: work.rename(place), lambda: old.rename(place))
    shutil.rmtree(aside, ignore_errors=True)


def _or_undo(action: Callable[[], object], undo: Callable[[], object]) -> None:
    try:
        action()
    except OSError:
        undo()
        raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
