"""A site file read and checked: the rooms to build, each with its place, and what they share."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from trimwright.errors import RoomFileError
from trimwright.names import file_names
from trimwright.project.project import check_trims
from trimwright.project.read import read_toml, validate
from trimwright.site.models import RoomEntry, SiteFile
from trimwright.site.shared import SHARED
from trimwright.spelling import nearest
from trimwright.stock.rates import merged_rates

__all__ = ["Site", "SiteRoom", "read_site"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteRoom:
    """A room of a site: its file, its name and mark, how many there are, the folder of its pack in that of the site."""

    number: int
    file: Path
    name: str
    mark: str
    count: int
    folder: str
    without: tuple[str, ...] = ()

    def copy_mark(self, copy: int) -> str:
        """What a copy, from 1 on, is called on bars: the room's mark alone where there is but one."""
        return f"{self.mark}.{copy}" if self.count > 1 else self.mark


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """A site file: `tables` as checked, `shared` as written, for the rooms to take over."""

    path: Path
    tables: SiteFile
    shared: Mapping[str, Any]
    rooms: tuple[SiteRoom, ...]


def read_site(path: Path) -> Site:
    """The site of a file. Raises RoomFileError that names the file and the entry for whatever is wrong with it.

    Room files are only looked for; what is wrong in one is that room's own matter.
    """
    data = read_toml(path)
    if "wall" in data and "site" not in data:
        raise RoomFileError(
            f"{path}: is a room file, not a site file, which names room files; one room is built by:"
            f" trimwright build {path}"
        )
    tables = validate(SiteFile, data, path)
    try:
        check_trims(tables.trim, path)
        rooms = _rooms(tables, path)
        _check_offcuts(tables)
        merged_rates(tables.rates, str(path))
    except RoomFileError as error:
        raise RoomFileError(f"{path}: {str(error).removeprefix(f'{path}: ')}") from None
    return Site(path=path, tables=tables, shared=data, rooms=rooms)


def _rooms(tables: SiteFile, path: Path) -> tuple[SiteRoom, ...]:
    entries = tables.room
    names = [entry.name or Path(entry.file).stem for entry in entries]
    marks = [entry.mark or str(number) for number, entry in enumerate(entries, 1)]
    for number, entry in enumerate(entries, 1):
        where = f"[[room]] {number} ({names[number - 1]})"
        _check_once(names, number, where, "name", "give each of them a name of its own")
        _check_once(marks, number, where, "mark", "give each of them a mark of its own")
        _check_without(entry, tables, where)
        if not (path.parent / entry.file).is_file():
            raise RoomFileError(f"{where}, file: there is no file {path.parent / entry.file}")
    return tuple(
        SiteRoom(
            number=number,
            file=path.parent / entry.file,
            name=name,
            mark=mark,
            count=entry.count,
            folder=folder,
            without=tuple(entry.without),
        )
        for number, (entry, name, mark, folder) in enumerate(
            zip(entries, names, marks, file_names(names), strict=True), 1
        )
    )


def _check_once(words: Sequence[str], number: int, where: str, what: str, remedy: str) -> None:
    word = words[number - 1]
    first = words.index(word) + 1
    if first < number:
        raise RoomFileError(f"{where}: [[room]] {first} has the {what} '{word}' too; {remedy}")


def _check_without(entry: RoomEntry, tables: SiteFile, where: str) -> None:
    known = [*(trim.name for trim in tables.trim), *(name for name in SHARED if name in tables.model_fields_set)]
    for name in entry.without:
        if name not in known:
            raise RoomFileError(f"{where}, without: the site shares no '{name}'{nearest(name, known)}")


def _check_offcuts(tables: SiteFile) -> None:
    """Where trims are the site's; those of a room alone are not known yet, and are checked when the plan is made."""
    names = [trim.name for trim in tables.trim]
    for number, offcut in enumerate(tables.offcut, 1):
        if names and offcut.trim not in names:
            hint = nearest(offcut.trim, names)
            raise RoomFileError(f"[[offcut]] {number}, trim: the site shares no trim '{offcut.trim}'{hint}")
