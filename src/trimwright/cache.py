"""Bytes that were made before and need not be made again, each under a key that says all it was made from.

They lie in a folder of the user's: $TRIMWRIGHT_CACHE, or `trimwright` in $XDG_CACHE_HOME, or in ~/.cache. Nothing
depends on it. It may be deleted at any time and used by any number of processes at once; where it cannot be read or
written, where it belongs to somebody else, or where others may write in it, everything is simply made again.
TRIMWRIGHT_CACHE=no does without it.

An entry is a file, written beside its place and renamed, that begins with its own sum (SHA-256): what was cut short,
changed or put there under a wrong key is not used. Only plain bytes are read, never code.
"""

from __future__ import annotations

import hashlib
import os
import stat
import tempfile
from collections.abc import Callable, Collection, Mapping
from contextlib import suppress
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from platform import machine, python_version

__all__ = ["LIMIT", "folder", "keep", "keep_all", "kept", "key_of", "recalled", "source"]

LIMIT = 500_000_000
"""Bytes of all entries together; beyond it those go that were not used for the longest time."""

LIBRARIES = (
    *("cadquery", "cadquery-ocp", "embreex", "ezdxf", "highspy", "manifold3d", "numpy", "pillow"),
    *("reportlab", "scipy", "shapely", "svgelements", "svgwrite"),
)
"""Those whose work is kept: another version may give other bytes."""

SUM = hashlib.sha256().digest_size


def kept(kind: str, key: str) -> bytes | None:
    """What is kept under a key, as it was given to `keep`; None if there is nothing, or nothing that can be trusted."""
    place = folder()
    if place is None or not _ours(place):
        return None
    entry = place / kind / key
    try:
        found = entry.read_bytes()
    except OSError:
        return None
    data = found[SUM:]
    if found[:SUM] != _sum(kind, key, data):
        return None
    with suppress(OSError):
        os.utime(entry)  # when it was used last: `_make_room` goes by it
    return data


def keep(kind: str, key: str, data: bytes) -> None:
    """Keeps bytes under a key, whole or not at all; a folder that cannot be written is no fault."""
    keep_all(kind, {key: data})


def keep_all(kind: str, entries: Mapping[str, bytes]) -> None:
    """Keeps many bytes by their keys, each whole or not at all, and makes room for them once."""
    place = folder()
    if place is None or not entries:
        return
    with suppress(OSError):
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        if _ours(place):
            (place / kind).mkdir(mode=0o700, exist_ok=True)
            for key, data in entries.items():
                _write(place / kind / key, _sum(kind, key, data) + data)
            _make_room(place)


def recalled(kind: str, key: str, work: Callable[[], bytes]) -> bytes:
    """What is kept under a key, or else what the work makes, which is then kept."""
    data = kept(kind, key)
    if data is None:
        data = work()
        keep(kind, key, data)
    return data


def folder() -> Path | None:
    """Where entries lie; None if the user wants none, or has no home."""
    asked = os.environ.get("TRIMWRIGHT_CACHE")
    if asked:
        return None if asked == "no" else Path(asked)
    base = os.environ.get("XDG_CACHE_HOME", "")
    try:
        # A relative path there is to be ignored: XDG Base Directory Specification 0.8, Basics.
        return (Path(base) if os.path.isabs(base) else Path.home() / ".cache") / "trimwright"
    except RuntimeError:
        return None


def key_of(*values: object, without: Collection[str] = ()) -> str:
    """The sum of values, of this program's source and of the libraries it works with, in hexadecimal.

    Values are numbers, texts, dates, paths, arrays, and collections, dataclasses and models of these; fields named in
    `without`, as "Type.field", do not count. The same values have one sum in every process. Raises TypeError for
    anything else: it might look alike without being so.
    """
    return hashlib.sha256(_program() + _Sums(frozenset(without)).of(values)).hexdigest()


class _Sums:
    """Sums of values, each from the sums of its parts; what is met again (a trim in all its pieces) is known."""

    def __init__(self, without: frozenset[str]) -> None:
        self._without = without
        self._known: dict[int, tuple[object, bytes]] = {}

    def of(self, value: object) -> bytes:
        """The sum of one value."""
        known = self._known.get(id(value))
        if known is None:
            # The value is held besides: an id is given away again once its owner is gone.
            known = self._known[id(value)] = (value, hashlib.sha256(self._told(value)).digest())
        return known[1]

    def _told(self, value: object) -> bytes:
        """A value in bytes that no other kind of value has."""
        match value:
            case Enum():
                return f"{type(value).__qualname__}.{value.name}".encode()
            case None | bool() | int():
                return repr(value).encode()
            case float():
                return float(value).hex().encode()
            case str():
                return b"'" + value.encode("utf-8", "surrogatepass")
            case Decimal() | date() | Path():
                return f"{type(value).__name__} {value}".encode("utf-8", "surrogateescape")
            case tuple() | list():
                return b"(" + b"".join(map(self.of, value))
            case set() | frozenset():
                return b"{" + b"".join(sorted(map(self.of, value)))
            case Mapping():
                return b":" + b"".join(sorted(self.of(name) + self.of(item) for name, item in value.items()))
        if is_dataclass(value) and not isinstance(value, type):
            return self._fields(value, [field.name for field in fields(value)])
        model = getattr(type(value), "model_fields", None)
        if model is not None:
            return self._fields(value, model)
        view = memoryview(value)  # type: ignore[arg-type]  # an array; raises TypeError for what is none
        if "O" in view.format:
            raise TypeError("an array of objects has no sum")
        return f"[{view.format} {view.shape} ".encode() + view.tobytes()

    def _fields(self, value: object, names: Collection[str]) -> bytes:
        kind = type(value).__qualname__
        told = [
            self.of(name) + self.of(getattr(value, name)) for name in names if f"{kind}.{name}" not in self._without
        ]
        return kind.encode() + b"." + b"".join(told)


@cache
def source() -> str:
    """The sum of all files of this program: code, tables, fonts, what its pages are made of. In hexadecimal."""
    folder = Path(__file__).parent
    files = sorted(path for path in folder.rglob("*") if path.is_file() and path.parent.name != "__pycache__")
    parts = [f"{path.relative_to(folder)} {hashlib.sha256(path.read_bytes()).hexdigest()}" for path in files]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()


@cache
def _program() -> bytes:
    """The sum of the program and of what it runs on."""
    parts = [machine(), python_version(), source()]
    for name in LIBRARIES:
        with suppress(PackageNotFoundError):
            parts.append(f"{name} {version(name)}")
    return hashlib.sha256("\n".join(parts).encode()).digest()


def _sum(kind: str, key: str, data: bytes) -> bytes:
    return hashlib.sha256(f"{kind}/{key}\n".encode() + data).digest()


def _ours(place: Path) -> bool:
    """True for a folder that is the user's own and that nobody else may write in."""
    try:
        found = place.stat()
    except OSError:
        return False
    own = found.st_uid == os.geteuid() and not found.st_mode & (stat.S_IWGRP | stat.S_IWOTH)
    return own and stat.S_ISDIR(found.st_mode)


def _write(place: Path, data: bytes) -> None:
    """A file beside the place, renamed once it is whole. Raises OSError, and leaves nothing behind, if it cannot be."""
    handle, beside = tempfile.mkstemp(dir=place.parent, prefix="new-")
    try:
        with open(handle, "wb") as file:
            file.write(data)
        os.replace(beside, place)
    except OSError:
        os.unlink(beside)
        raise


def _make_room(place: Path) -> None:
    """Deletes what was not used for the longest time until the rest is within the limit.

    Another process may do the same at the same time; what it deletes is gone for both. Only files as `_write` makes
    them are touched, since the user may have named a folder that holds other things.
    """
    found = []
    for entry in place.glob("*/*"):
        with suppress(OSError):
            if entry.name.startswith("new-") or len(entry.name) == 2 * SUM:
                state = entry.stat()
                found.append((state.st_mtime_ns, state.st_size, entry))
    spare = LIMIT - sum(size for _, size, _ in found)
    for _, size, entry in sorted(found):
        if spare >= 0:
            return
        with suppress(OSError):
            entry.unlink()
            spare += size
