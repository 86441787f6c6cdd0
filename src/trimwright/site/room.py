"""One room of a site, built in a process of its own: its pack in its place, and what is kept of it."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Any

from trimwright.cache import key_of
from trimwright.drawing.cutting_plan import blank_of
from trimwright.errors import TrimwrightError
from trimwright.light.rows import light_rows
from trimwright.pack.job import Job, job_of
from trimwright.pack.verdict import warnings
from trimwright.pack.workers import Hands, Here
from trimwright.pack.write import Pictures, issue_date, write_pack
from trimwright.profile.library import find_profile
from trimwright.project.models import RoomFile
from trimwright.project.project import project_of
from trimwright.project.read import read_room_tables, read_toml, validate
from trimwright.setout.piece import Trim
from trimwright.site.records import Failure, Outcome, RoomRecord, TrimRecord
from trimwright.site.shared import with_shared
from trimwright.site.site import Site, SiteRoom
from trimwright.stock.holes import all_holes
from trimwright.stock.needs import needs_of
from trimwright.stock.offcuts import trim_words
from trimwright.stock.rates import rates_of
from trimwright.stock.spare import sold_trims

__all__ = ["RoomTask", "build_room", "record_of", "task_of"]

_ONE_AT_A_TIME = Lock()
"""Rooms are built one after the other in a process: the kernel is not for two at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomTask:
    """A room to be built: its tables with what it takes over, where its pack goes, and the sum of what it is made from.

    Nothing else is read but the profile files that the tables name.
    """

    file: Path
    tables: Mapping[str, Any]
    shared_prices: tuple[str, ...]
    place: Path
    pictures: Pictures
    step: bool
    made_from: str


def task_of(site: Site, room: SiteRoom, out: Path, pictures: Pictures, step: bool) -> RoomTask:
    """The task of a room. Raises RoomFileError if its file cannot be read."""
    tables = with_shared(read_room_tables(room.file), site.shared, room.without, site.path.absolute().parent)
    return RoomTask(
        file=room.file.absolute(),
        tables=tables,
        shared_prices=tuple(site.tables.prices.items),
        place=out.absolute() / room.folder,
        pictures=pictures,
        step=step,
        made_from=_made_from(tables, room.file, (pictures, step)),
    )


def build_room(task: RoomTask) -> Outcome:
    """Builds the pack; whatever goes wrong comes back as a Failure, so that the other rooms go on."""
    try:
        with _ONE_AT_A_TIME:
            return _built(task)
    except TrimwrightError as error:
        said = str(error)
        return Failure(said if str(task.file) in said or str(task.place) in said else f"{task.file}: {said}")
    except Exception as error:
        if os.environ.get("TRIMWRIGHT_TRACEBACK"):
            raise
        return Failure(f"{task.file}: a fault of the program: {type(error).__name__}: {error}", fault=True)


def _built(task: RoomTask) -> RoomRecord:
    tables = validate(RoomFile, task.tables, task.file)
    job = job_of(project_of(tables, task.file, task.shared_prices))
    faults = write_pack(job, task.place, lambda _: None, task.pictures, task.step, Hands(Here(), Here()))
    pack = hashlib.sha256((task.place / "pack.json").read_bytes()).hexdigest()
    return record_of(job, task.made_from, pack, faults)


def record_of(job: Job, made_from: str = "", pack: str = "", faults: Sequence[str] = ()) -> RoomRecord:
    """What the site keeps of a job; `faults` are those of joints that the kernel found."""
    done, project = job.set_out, job.project
    rates = rates_of(project)
    holes = all_holes(done, rates, [job.light.channel.trim.name] if job.light else [])
    return RoomRecord(
        made_from=made_from,
        pack=pack,
        title=done.room.name,
        pieces=len(done.pieces),
        trims=tuple(_trims(job)),
        needs=needs_of(done, rates, holes),
        light=light_rows(job.light),
        owned=tuple((offcut.trim, offcut.length, offcut.count) for offcut in project.offcuts),
        notes=done.notes,
        warnings=(*warnings(job), *faults),
    )


def _trims(job: Job) -> list[TrimRecord]:
    done = job.set_out
    words = trim_words(done.trims)
    sold = {trim.name: trim for trim in sold_trims(done, job.project.prices.items)}
    return [
        TrimRecord(
            name=trim.name,
            kind=trim.section.kind,
            same=_same(trim),
            words=words[trim.name],
            lengths=sold[trim.name].lengths if trim.name in sold else (),
            blanks=tuple(map(blank_of, done.of_trim(trim))),
            copes=sold[trim.name].copes if trim.name in sold else 0,
            mitres=sold[trim.name].mitres if trim.name in sold else 0,
        )
        for trim in done.trims
        if done.of_trim(trim)
    ]


def _same(trim: Trim) -> str:
    """The sum of what two trims must share to be cut from one bar besides their stock: section and material."""
    shape = (trim.section.name, trim.section.kind, trim.section.outline, trim.material.name)
    return hashlib.sha256(repr(shape).encode()).hexdigest()[:16]


def _made_from(tables: Mapping[str, Any], file: Path, options: tuple[object, ...]) -> str:
    """The sum of all that a pack follows from: tables, profiles, the day of an undated file, options, and the program
    itself with the libraries it works with.
    """
    room = tables.get("room")
    day = "" if isinstance(room, Mapping) and "date" in room else issue_date(None, file).isoformat()
    trims = tables.get("trim")
    names = [trim.get("profile") for trim in trims if isinstance(trim, Mapping)] if isinstance(trims, list) else []
    profiles = [_profile_sum(name, file.parent) for name in names if isinstance(name, str)]
    return key_of(json.dumps((tables, profiles, day, options), sort_keys=True, default=str))


def _profile_sum(name: str, folder: Path) -> list[str]:
    """The sum of a profile file, and of the drawing that it may be traced from; nothing for one that is not to be read.

    What is wrong with it is said when the room is built.
    """
    with suppress(TrimwrightError, OSError):
        path = find_profile(name, folder)
        traced = read_toml(path).get("outline")
        files = [path, path.parent / traced] if isinstance(traced, str) else [path]
        return [hashlib.sha256(file.read_bytes()).hexdigest() for file in files]
    return []
